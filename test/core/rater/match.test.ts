/** Strokes of two raters matched by when they begin. Our own definition; the laws hold for any rater. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { StrokeResult, TrialResult } from '../../../core/trial/result.ts';
import { analyseTrial } from '../../../core/trial/trial.ts';
import { compareRaters, matchStrokes } from '../../../core/rater/match.ts';
import { pull, trialInput } from '../build.ts';

/** A trial of left pulls that begin at these times, s, numbered from `first`. */
function rated(startsS: readonly number[], first = 1): TrialResult {
  return analyseTrial(
    trialInput({
      trace: null,
      strokes: startsS.map((startS, k) => pull('left', first + k, startS, startS + 0.4)),
    }),
  );
}
const numbers = (pairs: readonly (readonly [StrokeResult, StrokeResult])[]) =>
  pairs.map(([one, other]) => [one.stroke.number, other.stroke.number]);

test('a rater who counts from another number, or saw one more stroke, is matched all the same', () => {
  const first = rated([1, 2, 3, 4]);
  expect(
    numbers(matchStrokes({ swimmer: 'P1', first, second: rated([0.1, 1.05, 2.02, 2.95, 4.03], 7) })),
  ).toEqual([
    [1, 8],
    [2, 9],
    [3, 10],
    [4, 11],
  ]);
});

test('half a cycle apart or more is another stroke', () => {
  const first = rated([1, 2, 3]);
  expect(numbers(matchStrokes({ swimmer: 'P1', first, second: rated([1.6, 10]) }))).toEqual([[2, 1]]);
  expect(matchStrokes({ swimmer: 'P1', first, second: rated([7, 8]) })).toEqual([]);
});

test('small errors of either rater leave every stroke with its own, and change of sides changes nothing', () => {
  const error = fc.double({ min: -0.24, max: 0.24, noNaN: true });
  fc.assert(
    fc.property(fc.array(fc.tuple(error, error), { minLength: 2, maxLength: 6 }), (errors) => {
      const first = rated(errors.map(([one], k) => 1 + k + one / 2));
      const second = rated(errors.map(([, other], k) => 1 + k + other / 2));
      const own = errors.map((_, k) => [k + 1, k + 1]);
      expect(numbers(matchStrokes({ swimmer: 'P1', first, second }))).toEqual(own);
      expect(numbers(matchStrokes({ swimmer: 'P1', first: second, second: first }))).toEqual(own);
    }),
  );
});

test('a rater agrees with themselves in everything that is compared', () => {
  const trial = rated([1, 2, 3]);
  const compared = compareRaters([{ swimmer: 'P1', first: trial, second: trial }]);
  const starts = compared.find(({ name, isMoment }) => isMoment && /propulsion start/i.test(name))!;
  expect(starts.pairs).toMatchObject([1, 2, 3].map((timeS) => ({ first: timeS, second: timeS })));
  for (const { pairs } of compared) for (const { first, second } of pairs) expect(first).toBe(second);
});
