/** Agreement over several strokes of several swimmers: against R's nlme, and its coverage by simulation. */
import { expect, test } from 'vitest';
import { clusteredAgreement, clusteredIntraclass, type SwimmerPair } from '../../core/rater/clustered.ts';
import { normal } from './random.ts';
import { expectWithin } from './values.ts';

function value<T>(outcome: { ok: true; value: T } | { ok: false }): T {
  if (!outcome.ok) throw new Error('no agreement');
  return outcome.value;
}

test('a balanced table: components, bias and its limits as R nlme 3.1-162 gives them, lme(d ~ 1, random = ~1 | s)', () => {
  const differences = [
    [12, 9, 14, 11],
    [-3, 1, -2, 4],
    [6, 8, 3, 7],
    [15, 18, 13, 16],
    [0, -4, 2, -1],
  ];
  const pairs = differences.flatMap((own, s) =>
    own.map((second) => ({ swimmer: `P${s}`, first: 0, second })),
  );
  const found = value(clusteredAgreement(pairs));
  expectWithin(found.betweenSd, 6.984507, { abs: 1e-5 });
  expectWithin(found.withinSd, 2.43242, { abs: 1e-5 });
  expectWithin(found.bias, 6.45, { abs: 1e-12 });
  // t on swimmers − 1 with the model's standard error (R's own limits count the strokes' degrees of freedom).
  expectWithin(found.biasLimits!.upper - found.bias, 8.80290737139, { abs: 1e-6 });
  expectWithin(found.agreement.lower, -8.04578550793, { abs: 1e-6 });
  expectWithin(found.agreement.upper, 20.94578550793, { abs: 1e-6 });
});

test('one swimmer tells nothing of others: limits of agreement, but no confidence limits', () => {
  const pairs = [1, 2, 4].map((second) => ({ swimmer: 'P1', first: 0, second }));
  const found = value(clusteredAgreement(pairs));
  expect(found).toMatchObject({ swimmers: 1, biasLimits: null, lowerLimits: null, upperLimits: null });
  expectWithin(found.sd, Math.sqrt(7 / 3), { rel: 1e-12 });
  expect(value(clusteredIntraclass(pairs)).icc21.limits).toBeNull();
});

interface Truth {
  readonly swimmers: number;
  readonly strokes: readonly number[];
}

/** Strokes of swimmers who differ, marked by two raters whose difference hangs on the swimmer too. */
const SWIMMER = 1;
const STROKE = 0.6;
const BIAS = 0.2;
const RATER_BY_SWIMMER = 0.25;
const MARK = 0.3;

function drawn({ swimmers, strokes }: Truth, draw: () => number): SwimmerPair[] {
  return Array.from({ length: swimmers }, (_, k) => {
    const level = SWIMMER * draw();
    const [one, other] = [RATER_BY_SWIMMER * draw(), RATER_BY_SWIMMER * draw()];
    return Array.from({ length: strokes[k % strokes.length]! }, () => {
      const stroke = level + STROKE * draw();
      const first = stroke + one + MARK * draw();
      return { swimmer: `P${k}`, first, second: stroke + BIAS + other + MARK * draw() };
    });
  }).flat();
}

const DRAWS = 600;

/**
 * 95 % are claimed. Of 600 draws the share that covers scatters by 0.9 %; so what is below 92 % is no chance. Strokes
 * taken as swimmers cover about half (the last column).
 */
test.each([
  [5, [8]],
  [8, [8]],
  [10, [3, 12, 6, 9]],
])('of %i swimmers with %j strokes the limits cover what they claim', (swimmers, strokes) => {
  const draw = normal(1_986 + swimmers);
  const sd = Math.sqrt(2 * (RATER_BY_SWIMMER ** 2 + MARK ** 2));
  const [low, high] = [BIAS - 1.959964 * sd, BIAS + 1.959964 * sd];
  const between = SWIMMER ** 2 + STROKE ** 2;
  const noise = RATER_BY_SWIMMER ** 2 + MARK ** 2;
  const icc = between / (between + noise);
  const covered = { bias: 0, lower: 0, upper: 0, icc: 0, naive: 0 };
  for (let k = 0; k < DRAWS; k++) {
    const pairs = drawn({ swimmers, strokes }, draw);
    const found = value(clusteredAgreement(pairs));
    const holds = (limits: { lower: number; upper: number }, truth: number) =>
      limits.lower <= truth && truth <= limits.upper ? 1 : 0;
    covered.bias += holds(found.biasLimits!, BIAS);
    covered.lower += holds(found.lowerLimits!, low);
    covered.upper += holds(found.upperLimits!, high);
    covered.icc += holds(value(clusteredIntraclass(pairs)).icc31.limits!, icc);
    const alone = value(clusteredAgreement(pairs.map((pair, own) => ({ ...pair, swimmer: String(own) }))));
    covered.naive += holds(alone.biasLimits!, BIAS);
  }
  const share = (count: number) => count / DRAWS;
  console.log(
    `agreement, ${swimmers} swimmers: covered of 95 % claimed: bias ${share(covered.bias)}, limits of agreement ${share(covered.lower)} and ${share(covered.upper)}, ICC ${share(covered.icc)}; bias with strokes taken as swimmers ${share(covered.naive)}`,
  );
  for (const name of ['bias', 'lower', 'upper', 'icc'] as const)
    expect(share(covered[name])).toBeGreaterThan(0.915);
  expect(share(covered.naive)).toBeLessThan(0.75);
});
