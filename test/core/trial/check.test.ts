/**
 * Good, look, or swim again: the protocol's limits one by one. formats.md names the limits and the words; which word
 * stands for what is this project's reading (core/trialcheck.ts).
 */
import { describe, expect, test } from 'vitest';
import type { Hand } from '../../../core/base/hand.ts';
import { checkTrial, type HandEvidence, type TrialEvidence } from '../../../core/trial/check.ts';
import { PROTOCOL } from '../build.ts';

const HAND: HandEvidence = {
  hasColumn: true,
  hasSamples: true,
  zerosRead: true,
  gapInSectionMs: 0,
  gapAnywhereMs: 0,
  saturatedFraction: 0,
  rangeStated: true,
  saturatedInSection: 0,
  zeroShiftKpa: 0.05,
  checkFailedKpa: null,
  markedStrokes: 5,
  countedStrokes: 4,
};
const limits = {
  minStrokesPerHand: 3,
  maxGapMs: 20,
  maxSaturatedFraction: 0.001,
  maxZeroShiftKpa: 0.15,
  maxCheckDeviationKpa: 0.3,
};
const judge = (
  hand: Partial<HandEvidence> = {},
  trial: Partial<TrialEvidence> = {},
  own: Partial<typeof PROTOCOL.accept> = {},
  which: Hand = 'left',
) =>
  checkTrial(
    {
      hands: { left: HAND, right: HAND, [which]: { ...HAND, ...hand } },
      hasTrace: true,
      hasSection: true,
      clockDoubtful: false,
      ...trial,
    },
    { ...limits, ...own },
  );

test('every limit holds: good, without a word', () => {
  expect(judge()).toEqual({ verdict: 'good', findings: [] });
});

describe.each(['left', 'right'] as const)('%s hand', (hand) => {
  test.each<[string, Partial<HandEvidence>, 'good' | 'look' | 'swim_again']>([
    ['no samples', { hasSamples: false }, 'swim_again'],
    ['a gap at the limit', { gapInSectionMs: 20, gapAnywhereMs: 20 }, 'good'],
    ['a gap over the limit in the section', { gapInSectionMs: 21, gapAnywhereMs: 21 }, 'swim_again'],
    ['a gap over the limit outside the section', { gapAnywhereMs: 21 }, 'look'],
    ['saturation at the limit', { saturatedFraction: 0.001 }, 'good'],
    ['saturation that nobody can tell', { rangeStated: false }, 'look'],
    ['saturation over it', { saturatedFraction: 0.0011, saturatedInSection: 1 }, 'swim_again'],
    ['saturation over it, outside the section only', { saturatedFraction: 0.0011 }, 'look'],
    ['no column, so nothing to judge', { hasColumn: false, hasSamples: false }, 'look'],
    ['a known pressure read wrongly', { checkFailedKpa: -0.4 }, 'look'],
    ['a zero shift at the limit', { zeroShiftKpa: -0.15 }, 'good'],
    ['a zero shift over it', { zeroShiftKpa: 0.151 }, 'swim_again'],
    ['a zero shift under minus it', { zeroShiftKpa: -0.151 }, 'swim_again'],
    ['no zero shift', { zeroShiftKpa: null }, 'look'],
    ['strokes at the limit', { countedStrokes: 3 }, 'good'],
    ['too few strokes', { countedStrokes: 2 }, 'swim_again'],
    ['no stroke marked yet', { markedStrokes: 0, countedStrokes: 0 }, 'look'],
  ])('%s: %s', (_, evidence, verdict) => {
    const found = judge(evidence, {}, {}, hand);
    expect(found.verdict).toBe(verdict);
    expect(found.findings).toHaveLength(verdict === 'good' ? 0 : 1);
    for (const { says } of found.findings) expect(says).toContain(hand);
  });
});

test('a limit that is not set is not applied', () => {
  const none = {
    minStrokesPerHand: null,
    maxGapMs: null,
    maxSaturatedFraction: null,
    maxZeroShiftKpa: null,
    maxCheckDeviationKpa: null,
  };
  const bad = {
    gapInSectionMs: 900,
    gapAnywhereMs: 900,
    saturatedFraction: 1,
    saturatedInSection: 9,
    zeroShiftKpa: 9,
    countedStrokes: 0,
  };
  expect(judge(bad, {}, none).verdict).toBe('good');
  expect(judge({ hasSamples: false }, { hasSection: false }, none).verdict).toBe('good');
});

test('the worst finding is the verdict, and all are said', () => {
  const found = judge({ zeroShiftKpa: null, countedStrokes: 1 });
  expect(found.verdict).toBe('swim_again');
  expect(found.findings.map(({ verdict }) => verdict).toSorted()).toEqual(['look', 'swim_again']);
});

test('a clock that cannot be believed is to be looked at', () => {
  expect(judge({}, { clockDoubtful: true }).verdict).toBe('look');
});

test('no trace: swim again, said once', () => {
  const found = judge({ hasSamples: false }, { hasTrace: false });
  expect(found.verdict).toBe('swim_again');
  expect(found.findings).toHaveLength(1);
});

test('section times that are not set yet are to be looked at: no stroke can be counted, so none is too few', () => {
  const none = { countedStrokes: 0 };
  const found = checkTrial(
    {
      hands: { left: { ...HAND, ...none }, right: { ...HAND, ...none } },
      hasTrace: true,
      hasSection: false,
      clockDoubtful: false,
    },
    limits,
  );
  expect(found.verdict).toBe('look');
});

test('numbers in the sentences carry their unit and the limit', () => {
  expect(judge({ zeroShiftKpa: 0.31 }).findings[0]!.says).toMatch(/\+0\.31 kPa.*0\.15 kPa/);
  expect(judge({ gapInSectionMs: 44, gapAnywhereMs: 44 }).findings[0]!.says).toMatch(/44 ms.*20 ms/);
  expect(judge({ saturatedFraction: 0.0123, saturatedInSection: 3 }).findings[0]!.says).toMatch(
    /1\.2 %.*0\.1 %/,
  );
});
