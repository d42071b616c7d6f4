/** Propulsion proposed from force: laws of the rule, and what it finds on the invented sample day. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import {
  DEFAULT_PROPULSION_RULE,
  LOW_THRESHOLD_NOTE,
  proposePropulsion,
  ruleFault,
  type PropulsionProposal,
  type PropulsionRule,
} from '../../../core/force/propulsion.ts';
import { trialForces } from '../../../core/trial/trial.ts';
import { folderSource } from '../../../main/files/source.ts';
import { inputOf, openDay, readTrialFiles } from '../../../main/lab/kept/process.ts';

const RATE = 100;
const grid = { startS: 3, rateHz: RATE };
const RULE = DEFAULT_PROPULSION_RULE;

function proposals(forceN: Float64Array, rule: PropulsionRule = RULE): readonly PropulsionProposal[] {
  const outcome = proposePropulsion(forceN, grid, rule);
  return outcome.ok ? outcome.value : [];
}

interface Pulse {
  readonly restS: number;
  readonly lastsS: number;
  readonly peakN: number;
}

/** Pulses shaped like half a sine, each after a rest; then another rest. */
function swim(pulses: readonly Pulse[]): { forceN: Float64Array; starts: number[]; ends: number[] } {
  const samples: number[] = [];
  const [starts, ends]: [number[], number[]] = [[], []];
  const rest = (seconds: number) => samples.push(...Array<number>(Math.round(seconds * RATE)).fill(0));
  for (const { restS, lastsS, peakN } of pulses) {
    rest(restS);
    const count = Math.round(lastsS * RATE);
    starts.push(grid.startS + (samples.length - 1) / RATE);
    for (let k = 1; k < count; k++) samples.push(peakN * Math.sin((Math.PI * k) / count));
    ends.push(grid.startS + samples.length / RATE);
  }
  rest(0.5);
  return { forceN: Float64Array.from(samples), starts, ends };
}

const pulse = fc.record({
  restS: fc.double({ min: 0.2, max: 1, noNaN: true }),
  lastsS: fc.double({ min: 0.4, max: 0.8, noNaN: true }),
  peakN: fc.double({ min: 25, max: 300, noNaN: true }),
});
const pulses = fc.array(pulse, { minLength: 1, maxLength: 8 });

describe('the rule', () => {
  test('finds every clean pulse, inside it, at the thresholds of half a sine', () => {
    fc.assert(
      fc.property(pulses, (made) => {
        const { forceN, starts, ends } = swim(made);
        const found = proposals(forceN);
        expect(found).toHaveLength(made.length);
        found.forEach(({ startS, endS, peakN, peakS }, k) => {
          const lasts = ends[k]! - starts[k]!;
          const crossing = (pct: number) => (lasts * Math.asin(pct / 100)) / Math.PI;
          // A sample, and the peak that falls between two samples, are the room.
          expect(Math.abs(startS - (starts[k]! + crossing(RULE.enterPct)))).toBeLessThan(1.1 / RATE);
          expect(Math.abs(endS - (ends[k]! - crossing(RULE.leavePct)))).toBeLessThan(1.1 / RATE);
          expect(peakN).toBeLessThanOrEqual(made[k]!.peakN);
          expect(peakS).toBeGreaterThan(startS);
          expect(peakS).toBeLessThan(endS);
        });
      }),
    );
  });

  test('whatever the force: in order, apart, on samples, long and strong enough, peak inside', () => {
    const force = fc.array(
      fc.oneof({ weight: 9, arbitrary: fc.double({ min: -20, max: 200, noNaN: true }) }, fc.constant(NaN)),
      { maxLength: 300 },
    );
    const rule = fc
      .record({
        enterPct: fc.double({ min: 1, max: 99, noNaN: true }),
        part: fc.double({ min: 0.05, max: 1, noNaN: true }),
        leastS: fc.double({ min: 0, max: 0.1, noNaN: true }),
        leastPeakN: fc.double({ min: 1, max: 100, noNaN: true }),
      })
      .map(({ part, ...rest }) => ({ ...rest, leavePct: part * rest.enterPct }));
    fc.assert(
      fc.property(force, rule, (values, chosen) => {
        const forceN = Float64Array.from(values);
        let last = -Infinity;
        for (const { startS, endS, peakN, peakS } of proposals(forceN, chosen)) {
          expect(startS).toBeGreaterThanOrEqual(last);
          expect(endS - startS).toBeGreaterThanOrEqual(chosen.leastS);
          expect(peakN).toBeGreaterThanOrEqual(chosen.leastPeakN);
          for (const timeS of [startS, endS, peakS]) {
            const at = (timeS - grid.startS) * RATE;
            expect(Math.abs(at - Math.round(at))).toBeLessThan(1e-6);
          }
          const [from, to, top] = [startS, endS, peakS].map((t) => Math.round((t - grid.startS) * RATE)) as [
            number,
            number,
            number,
          ];
          expect(top).toBeGreaterThanOrEqual(from);
          expect(top).toBeLessThanOrEqual(to);
          expect(forceN[top]).toBe(peakN);
          expect(forceN.subarray(from + 1, to).every((value) => value <= peakN)).toBe(true);
          last = endS;
        }
      }),
      { numRuns: 300 },
    );
  });

  test('a dip between pull and push does not split a stroke; one below the lower threshold does', () => {
    const stroke = (dipN: number) =>
      Float64Array.from({ length: 120 }, (_, k) => {
        const s = Math.sin((Math.PI * (k - 10)) / 100);
        const force = k < 10 || k > 110 ? 0 : 120 * Math.min(1, 3 * s);
        return Math.abs(k - 60) < 8 ? dipN : force;
      });
    expect(proposals(stroke(25))).toHaveLength(1);
    expect(proposals(stroke(3))).toHaveLength(2);
  });

  test('the thresholds’ uncertainty is shared, and of a straight rise the whole way to no force over √3', () => {
    // Rises by 1 N a sample to 100 N, falls by 2 N a sample: 8 and 4 samples, so that no crossing lies on one.
    const ramp = Float64Array.from({ length: 220 }, (_, k) =>
      Math.max(0, Math.min(k - 20.5, 2 * (170.25 - k))),
    );
    const [one, ...others] = proposals(ramp, { ...RULE, enterPct: 20, leavePct: 10 });
    expect(others).toEqual([]);
    const peakN = one!.peakN;
    expect(one!.startSharedUS).toBeCloseTo((0.2 * peakN) / Math.sqrt(3) / RATE, 2);
    expect(one!.endSharedUS).toBeCloseTo((0.1 * peakN) / 2 / Math.sqrt(3) / RATE, 2);
    expect(one!.startUS).toBeCloseTo(1 / (RATE * Math.sqrt(12)), 12);
  });

  test('a moment lies on the sample nearer to the crossing', () => {
    const rule = { ...RULE, enterPct: 20, leavePct: 10 };
    const pulse = (before: number, after: number) =>
      Float64Array.of(
        0,
        0,
        before,
        after,
        ...Array<number>(20).fill(60),
        100,
        ...Array<number>(20).fill(60),
        0,
        0,
      );
    expect(proposals(pulse(10, 22), rule)[0]!.startS).toBeCloseTo(grid.startS + 3 / RATE, 9);
    expect(proposals(pulse(18, 40), rule)[0]!.startS).toBeCloseTo(grid.startS + 2 / RATE, 9);
  });

  test('the foot of a larger pulse, a short pulse, and one cut off by the start are no propulsion', () => {
    const hump = (peakN: number, length: number) =>
      Array.from({ length }, (_, k) => peakN * Math.sin((Math.PI * (k + 1)) / (length + 1)));
    const rest = Array<number>(30).fill(0);
    // Between the two the force stays above the threshold that would begin the smaller one.
    const foot = Float64Array.of(...rest, ...hump(100, 40), 3.5, 3.5, ...hump(30, 30), ...rest);
    expect(proposals(foot)).toHaveLength(1);
    expect(proposals(Float64Array.of(...rest, ...hump(100, 12), ...rest))).toEqual([]);
    expect(proposals(Float64Array.of(...hump(100, 60).slice(10), ...rest))).toEqual([]);
  });

  test('a pulse cut off by an end of the trace is none; nothing found has a reason', () => {
    const half = Float64Array.from({ length: 50 }, (_, k) => 100 * Math.cos((Math.PI * k) / 100));
    const outcome = proposePropulsion(half, grid, RULE);
    expect(outcome.ok ? null : outcome.error.code).toBe('nothing_found');
    expect(proposePropulsion(new Float64Array(0), grid, RULE).ok).toBe(false);
  });

  test('a rule that makes no sense is refused in words', () => {
    expect(ruleFault(RULE)).toBeNull();
    for (const wrong of [
      { enterPct: 100 },
      { leavePct: 9 },
      { leavePct: 0 },
      { leastS: -1 },
      { leastPeakN: 0 },
    ]) {
      expect(ruleFault({ ...RULE, ...wrong })).toMatch(/must/);
      expect(proposePropulsion(new Float64Array(9), grid, { ...RULE, ...wrong })).toMatchObject({
        ok: false,
        error: { code: 'rule_unusable' },
      });
    }
  });

  test('the warning names its source', () => expect(LOW_THRESHOLD_NOTE).toMatch(/29 %.*paper 80/));
});

interface TruthStroke {
  readonly in_section: boolean;
  readonly events_s: { readonly propulsion_start: number; readonly propulsion_end: number };
}
interface Truth {
  readonly trials: readonly {
    readonly trial: string;
    readonly hands: Readonly<Record<Hand, { readonly strokes: readonly TruthStroke[] }>>;
  }[];
}

test('on the sample day every true propulsion in the section is found once', async () => {
  const truth = JSON.parse(readFileSync('sample-sessions/truth.json', 'utf8')) as Truth;
  const source = folderSource('sample-sessions/harbour-morning');
  const opened = await openDay(source);
  if (!opened.ok) throw new Error(opened.error.reason);
  const { book } = opened.value;
  let strokes = 0;
  const [starts, ends]: [number[], number[]] = [[], []];
  for (const entry of book.trials) {
    const reading = await readTrialFiles(source, book, entry);
    if (reading.trace === null) continue;
    const forces = trialForces(inputOf(book, entry, reading).input);
    const hands = truth.trials.find(({ trial }) => trial === entry.row.trial)!.hands;
    for (const hand of HANDS) {
      const outcome = proposePropulsion(forces[hand]!, reading.trace, RULE);
      const found = outcome.ok ? outcome.value : [];
      for (const { in_section: counts, events_s: at } of hands[hand].strokes) {
        if (!counts) continue;
        strokes++;
        const own = found.filter(({ peakS }) => peakS > at.propulsion_start && peakS < at.propulsion_end);
        if (own.length !== 1) continue;
        starts.push(1000 * (own[0]!.startS - at.propulsion_start));
        ends.push(1000 * (own[0]!.endS - at.propulsion_end));
      }
    }
  }
  const meanMs = (errors: number[]) => errors.reduce((sum, error) => sum + error, 0) / errors.length;
  console.log(
    `propulsion proposed on the sample day: ${starts.length} of ${strokes} found once; mean error of start ${meanMs(starts).toFixed(1)} ms, of end ${meanMs(ends).toFixed(1)} ms`,
  );
  expect(strokes).toBeGreaterThan(100);
  expect(starts.length).toBeGreaterThanOrEqual(0.95 * strokes);
  expect(Math.abs(meanMs(starts))).toBeLessThan(25);
  expect(Math.abs(meanMs(ends))).toBeLessThan(15);
});
