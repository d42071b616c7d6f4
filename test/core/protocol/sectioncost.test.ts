/** What a protocol's choices cost, in words. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { ProtocolContent } from '../../../core/protocol/content.ts';
import { PROTOCOL_STARTERS } from '../../../core/protocol/starters.ts';
import { sectionCosts, sectionNumbers } from '../../../core/protocol/sectioncost.ts';

/** A protocol with nothing but information to say. */
const calm: ProtocolContent = {
  ...PROTOCOL_STARTERS.find(({ code }) => code === 'mid-pool-10')!.content,
  markingUS: 0,
};
const costs = (part: Partial<ProtocolContent>) => sectionCosts({ ...calm, ...part });
const timing = (part: Partial<ProtocolContent['timing']>): Partial<ProtocolContent> => ({
  timing: { ...calm.timing, ...part },
});
const expected = (part: Partial<ProtocolContent['expected']>) => ({
  expected: { ...calm.expected, ...part },
});

test('the protocol that the others are held against has neither fault nor caution', () =>
  expect(sectionCosts(calm).filter(({ level }) => level !== 'info')).toEqual([]));

type Case = readonly [string, Partial<ProtocolContent>, 'fault' | 'caution', keyof ProtocolContent, RegExp];

const CASES: readonly Case[] = [
  [
    'no length',
    { sectionFromWallM: [10, 10] },
    'fault',
    'sectionFromWallM',
    /10 m from the wall: it has no length/,
  ],
  [
    'wrong way round',
    { sectionFromWallM: [5, 15] },
    'fault',
    'sectionFromWallM',
    /wrong way round: give the farther/,
  ],
  [
    'outside the run',
    { sectionFromWallM: [30, 5] },
    'fault',
    'sectionFromWallM',
    /30 m .* but the run only 25 m/,
  ],
  [
    'touches the wall',
    { sectionFromWallM: [10, 0] },
    'caution',
    'sectionFromWallM',
    /reach: .* 0\.5 m .* 0\.29 s/,
  ],
  [
    'the head at the wall',
    { sectionFromWallM: [10, 0] },
    'fault',
    'sectionPoints',
    /still about 0\.5 m from it/,
  ],
  [
    'the hip near the wall',
    { sectionFromWallM: [11, 1], sectionPoints: { start: 'hip', end: 'hip' } },
    'caution',
    'sectionPoints',
    /still about 1\.3 m from it .*: end the section 2 m/,
  ],
  [
    'points that differ',
    { sectionPoints: { start: 'head', end: 'hand' } },
    'caution',
    'sectionPoints',
    /0\.5 m of body and arm .* 5 % of the section, is hidden .* too high/,
  ],
  [
    'points that differ the other way',
    { sectionPoints: { start: 'head', end: 'hip' } },
    'caution',
    'sectionPoints',
    /0\.8 m .* 8 % .* too low/,
  ],
  [
    'within the glide',
    { sectionFromWallM: [20, 10] },
    'caution',
    'sectionFromWallM',
    /begins 5 m after the start, within the 7 m that the push-off carries: 2 m .* SW 5\.3 .* 15 m/,
  ],
  [
    'within the dive',
    { start: 'dive', ...expected({ glideM: 12 }) },
    'caution',
    'sectionFromWallM',
    /begins 10 m after the start, within the 12 m that the dive carries: 2 m/,
  ],
  [
    'at the start itself',
    { start: 'in_water', sectionFromWallM: [25, 5], ...expected({ glideM: 0 }) },
    'caution',
    'sectionFromWallM',
    /begins at the start, so it holds the getting up to speed/,
  ],
  ['a glide beyond the rule', expected({ glideM: 16 }), 'caution', 'expected', /16 m .* 15 m only/],
  ['a turn', { runM: 50 }, 'caution', 'runM', /run of 50 m in a pool of 25 m needs a turn/],
  ['two turns', { runM: 75 }, 'caution', 'runM', /needs 2 turns/],
  [
    'a turn in the section',
    { runM: 50, sectionFromWallM: [30, 5] },
    'caution',
    'sectionFromWallM',
    /turn 25 m from/,
  ],
  [
    'after a turn',
    { runM: 50, sectionFromWallM: [20, 5] },
    'caution',
    'sectionFromWallM',
    /begins 5 m after the turn, within the 7 m that the push-off carries/,
  ],
  [
    'a push off no wall',
    { runM: 20 },
    'caution',
    'start',
    /push-off needs a wall, but the run begins 5 m from/,
  ],
  [
    'too few strokes',
    { accept: { ...calm.accept, minStrokesPerHand: 6 } },
    'caution',
    'accept',
    /About 5 stroke cycles .* in 10 m \(2 m each\), 5 of them whole, fewer than the 6 .* 14 m or longer/,
  ],
  [
    'just enough strokes',
    { accept: { ...calm.accept, minStrokesPerHand: 5 } },
    'caution',
    'accept',
    /just the 5 asked for/,
  ],
  ['no camera named', timing({ camera: null }), 'fault', 'timing', /no camera is named for it/],
  ['a camera that is not there', timing({ camera: 'C' }), 'fault', 'timing', /has no camera C: add it/],
  [
    'a gate without uncertainty',
    timing({ method: 'gate', gateUS: 0 }),
    'caution',
    'timing',
    /of the gate is given as 0/,
  ],
  [
    'a hand too good',
    timing({ method: 'stopwatch', stopwatchUS: 0.02 }),
    'caution',
    'timing',
    /given 20 ms; timekeepers .* 70 ms/,
  ],
  [
    'parallax',
    timing({ views: { start: { acrossM: 5, alongM: 2, markAcrossM: 6.25, strayM: 0 }, end: null } }),
    'caution',
    'timing',
    /1\.75 m\/s come out 0\.07 m\/s too high \(4 %\), beside a standard uncertainty of 0\.0043/,
  ],
  ['an exact section', { sectionUM: 0 }, 'caution', 'sectionUM', /given as 0 m/],
  [
    'one camera twice',
    { cameras: [calm.cameras[0]!, calm.cameras[0]!] },
    'fault',
    'cameras',
    /Camera A is there twice/,
  ],
  [
    'film without a camera',
    { cameras: [], ...timing({ method: 'gate' }) },
    'caution',
    'measures',
    /Only film shows high-hand time, entry position/,
  ],
  [
    'a filter beyond half the rate',
    { rateHz: 100, filter: { kind: 'butterworth', order: 2, cutoffHz: 50 } },
    'fault',
    'filter',
    /cutoff of 50 Hz is not below half the sampling rate, 50 Hz/,
  ],
  [
    'gaps shorter than a sample',
    { rateHz: 50, accept: { ...calm.accept, maxGapMs: 10 } },
    'caution',
    'accept',
    /10 ms are accepted, less than one sample \(20 ms at 50 Hz\)/,
  ],
  ['a condition twice', { conditions: ['a', 'a'] }, 'fault', 'conditions', /Condition a is there twice/],
  ['nothing to balance', { order: 'balanced' }, 'caution', 'order', /nothing to balance/],
  [
    'swimmers that do not fill the design',
    {
      order: 'balanced',
      conditions: ['a', 'b', 'c'],
      comparison: {
        kind: 'paired',
        quantity: 'velocity, m/s',
        first: 8,
        second: 8,
        difference: 0.1,
        sd: 0.1,
        alpha: 0.05,
        sides: 'two',
      },
    },
    'caution',
    'order',
    /take 6 sequences, and 8 swimmers .* 4 more swimmers/,
  ],
];

describe('says what it costs', () => {
  test.each(CASES)('%s', (_, part, level, about, says) => {
    const found = costs(part).filter((one) => one.level === level && one.about === about);
    expect(found.map((one) => one.says).join('\n')).toMatch(says);
  });

  test('what to expect: strokes, velocity, highHand, runs', () => {
    const says = costs({ attempts: 3, restMinS: 240 }).map((one) => one.says);
    const text = says.join('\n');
    expect(text).toContain('About 5 stroke cycles per hand are expected in 10 m (2 m each), 5 of them whole');
    expect(text).toContain('A velocity of 1.75 m/s comes with a standard uncertainty of 0.0043 m/s (0.25 %)');
    expect(text).toContain('at 50 Hz, comes with a standard uncertainty of 8.2 ms');
    expect(text).toContain('Each swimmer swims 3 times, with 8 min of rest');
  });

  test('faults stand first, information last', () => {
    const levels = costs({ sectionFromWallM: [10, 0], conditions: ['a', 'a'] }).map(({ level }) => level);
    const rank = { fault: 0, caution: 1, info: 2 };
    expect(levels).toEqual(levels.toSorted((a, b) => rank[a] - rank[b]));
    expect(levels[0]).toBe('fault');
  });
});

test('numbers of a section: length, time, strokes, distance from the wall pushed off from', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 100 }),
      fc.integer({ min: 0, max: 99 }),
      fc.integer({ min: 1, max: 100 }),
      fc.constantFrom(25, 50),
      (begin, end, runM, poolLengthM) => {
        const numbers = sectionNumbers({ ...calm, sectionFromWallM: [begin, end], runM, poolLengthM });
        if (begin <= end || begin > runM) {
          expect(numbers).toBeNull();
          return;
        }
        expect(numbers!.lengthM).toBe(begin - end);
        expect(numbers!.timeS * calm.expected.velocityMS).toBeCloseTo(begin - end, 9);
        expect(numbers!.cyclesPerHand * calm.expected.strokeLengthM).toBeCloseTo(begin - end, 9);
        // By counting the walls between the start and the section.
        let from = runM;
        for (let wall = poolLengthM; wall < runM; wall += poolLengthM)
          if (wall >= begin) from = Math.min(from, wall);
        expect(numbers!.afterWallOrStartM).toBeCloseTo(from - begin, 9);
      },
    ),
  );
});
