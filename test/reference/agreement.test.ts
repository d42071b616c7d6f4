/** Agreement of two raters against Bland & Altman 1986, Shrout & Fleiss 1979 and published kappas. */
import { describe, expect, test } from 'vitest';
import { intraclass, type Correlation } from '../../core/rater/agreement.ts';
import { clusteredAgreement, type ClusteredAgreement } from '../../core/rater/clustered.ts';
import { kappaOf, type KappaWeights } from '../../core/rater/kappa.ts';
import { check, checks, expectWithin, titleOf } from './values.ts';

const FILE = 'agreement.json';

describe('limits of agreement', () => {
  interface Readings {
    readonly wright1: number[];
    readonly mini1: number[];
  }
  /** The paper subtracts the mini meter from the large one. */
  function agreement({ wright1, mini1 }: Readings): ClusteredAgreement {
    const outcome = clusteredAgreement(
      mini1.map((first, k) => ({ swimmer: String(k), first, second: wright1[k]! })),
    );
    if (!outcome.ok) throw new Error(outcome.error.says);
    return outcome.value;
  }

  const full = check<
    Readings,
    {
      n: number;
      bias: number;
      sd: number;
      lower_z: number;
      upper_z: number;
      lower_2sd: number;
      bias_ci: [number, number];
      lower_2sd_ci: [number, number];
    }
  >(FILE, 'ba.pefr.full');
  test(titleOf(full), () => {
    const found = agreement(full.inputs);
    const { expected, tolerance } = full;
    expect(found.pairs).toBe(expected.n);
    expectWithin(found.bias, expected.bias, tolerance);
    expectWithin(found.sd, expected.sd, tolerance);
    expectWithin(found.agreement.lower, expected.lower_z, tolerance);
    expectWithin(found.agreement.upper, expected.upper_z, tolerance);
    expectWithin(found.biasLimits!.lower, expected.bias_ci[0], tolerance);
    expectWithin(found.biasLimits!.upper, expected.bias_ci[1], tolerance);
    // The paper's √(3/n) is an approximation that takes both ends alike; that of Zou 2013 reaches farther outward.
    const [low, high] = expected.lower_2sd_ci;
    const shift = expected.lower_2sd - expected.lower_z;
    expectWithin(found.lowerLimits!.lower + shift, low, { rel: 0.2 });
    expectWithin(found.lowerLimits!.upper + shift, high, { rel: 0.2 });
    expect(found.lowerLimits!.lower + shift).toBeLessThan(low);
    expect(found.withinSd).toBe(0);
  });

  const paper = check<Readings, { bias: number; sd: number }>(FILE, 'ba.pefr.paper');
  test(titleOf(paper), () => {
    const found = agreement(paper.inputs);
    expectWithin(found.bias, paper.expected.bias, paper.tolerance);
    expectWithin(found.sd, paper.expected.sd, paper.tolerance);
    // Hopkins 2000, Sports Med 30:1–15 (from memory): typical error = SD of the differences / √2.
    expect(found.typicalError).toBeCloseTo(found.sd / Math.sqrt(2), 12);
  });
});

describe('intraclass correlation', () => {
  interface Ratings {
    readonly rows_subjects_cols_judges: number[][];
  }
  function found(inputs: Ratings) {
    const outcome = intraclass(inputs.rows_subjects_cols_judges);
    if (!outcome.ok) throw new Error(outcome.error.says);
    return outcome.value;
  }

  const squares = check<Ratings, { BMS: number; JMS: number; EMS: number }>(FILE, 'icc.shrout.ms');
  test(titleOf(squares), () => {
    const { meanSquares } = found(squares.inputs);
    expectWithin(meanSquares.betweenSubjects, squares.expected.BMS, squares.tolerance);
    expectWithin(meanSquares.betweenRaters, squares.expected.JMS, squares.tolerance);
    expectWithin(meanSquares.residual, squares.expected.EMS, squares.tolerance);
  });

  const printed = check<Ratings, Record<'ICC(2,1)' | 'ICC(3,1)', number>>(FILE, 'icc.shrout.printed');
  test(titleOf(printed), () => {
    const { icc21, icc31 } = found(printed.inputs);
    expectWithin(icc21.value, printed.expected['ICC(2,1)'], printed.tolerance);
    expectWithin(icc31.value, printed.expected['ICC(3,1)'], printed.tolerance);
  });

  interface Full {
    readonly icc: number;
    readonly lower: number;
    readonly upper: number;
  }
  const full = check<Ratings, Record<'ICC2' | 'ICC3', Full>>(FILE, 'icc.shrout.full');
  test(titleOf(full), () => {
    const { icc21, icc31, subjects, raters } = found(full.inputs);
    expect([subjects, raters]).toEqual([6, 4]);
    const compare = (actual: Correlation, { icc, lower, upper }: Full) => {
      expectWithin(actual.value, icc, full.tolerance);
      expectWithin(actual.limits!.lower, lower, full.tolerance);
      expectWithin(actual.limits!.upper, upper, full.tolerance);
    };
    compare(icc21, full.expected.ICC2);
    compare(icc31, full.expected.ICC3);
  });
});

describe('kappa', () => {
  interface Table {
    readonly table: number[][];
    readonly weights: KappaWeights;
  }
  interface Expected {
    readonly kappa: number;
    readonly u?: number;
    readonly lower?: number;
    readonly upper?: number;
  }
  test.each(checks<Table, Expected>(FILE, 'kappa.').map((row) => [titleOf(row), row] as const))(
    '%s',
    (_, { inputs, expected, tolerance }) => {
      const outcome = kappaOf(inputs.table, inputs.weights);
      if (!outcome.ok) throw new Error(outcome.error.says);
      const { value, u, limits } = outcome.value;
      expectWithin(value, expected.kappa, tolerance);
      if (expected.u !== undefined) expectWithin(u!, expected.u, tolerance);
      if (expected.lower !== undefined) expectWithin(limits!.lower, expected.lower, tolerance);
      if (expected.upper !== undefined) expectWithin(limits!.upper, expected.upper, tolerance);
    },
  );
});
