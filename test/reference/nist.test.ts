/** NIST Statistical Reference Datasets: certified values for the line, the mean, the standard deviation and the median. */
import { describe, expect, test } from 'vitest';
import { fitLine, mean, median, standardDeviation } from '../../core/base/statistics.ts';
import { expectWithin, readData, type Check } from './values.ts';

interface Norris {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly certified: Record<'B0' | 'B1' | 'se_B0' | 'se_B1' | 'residual_sd' | 'residual_ss', string>;
}
interface Univariate {
  readonly n: number;
  readonly certified_mean: string;
  readonly certified_sd: string;
  /** Digits that doubles can give: the sets NumAcc3 and NumAcc4 are made to be hard. */
  readonly sd_digits: number;
  readonly data?: readonly number[];
  readonly data_rule?: string;
}
const nist = readData<{
  source: string;
  norris: Norris;
  means: Record<string, Univariate>;
  median: Check<unknown, number>;
}>('nist.json');

/** Log relative error: how many significant digits agree with a certified value (at most 15). */
function digits(actual: number, certified: string): number {
  const wanted = Number(certified);
  return actual === wanted ? 15 : -Math.log10(Math.abs(actual - wanted) / Math.abs(wanted));
}

/** The data of a set: listed, or by the rule "1001 values: first a, then 500 pairs (b, c)". */
function dataOf({ data, data_rule: rule }: Univariate): readonly number[] {
  if (data !== undefined) return data;
  const [, first, low, high] = /first ([\d.]+), then 500 pairs \(([\d.]+), ([\d.]+)\)/.exec(rule!)!;
  return [Number(first), ...Array.from({ length: 1000 }, (_, k) => Number(k % 2 === 0 ? low : high))];
}

describe(`Norris, ${nist.source}`, () => {
  const { x, y, certified } = nist.norris;
  const line = fitLine(x, y)!;

  test.each([
    ['B0', line.intercept, 11],
    ['B1', line.slope, 13],
    ['se_B0', line.interceptU!, 11],
    ['se_B1', line.slopeU!, 11],
    ['residual_sd', line.residualSd!, 11],
    ['residual_ss', line.residualSd! ** 2 * (line.n - 2), 11],
  ] as const)('%s agrees to the digits asked for', (name, actual, wanted) => {
    expect(digits(actual, certified[name])).toBeGreaterThanOrEqual(wanted);
  });
});

describe('univariate sets', () => {
  test.each(Object.entries(nist.means))('%s: certified mean to 13 digits', (_, set) => {
    const data = dataOf(set);
    expect(data).toHaveLength(set.n);
    expect(digits(mean(data)!, set.certified_mean)).toBeGreaterThanOrEqual(13);
  });

  test.each(Object.entries(nist.means))('%s: certified standard deviation', (_, set) => {
    expect(digits(standardDeviation(dataOf(set))!, set.certified_sd)).toBeGreaterThanOrEqual(set.sd_digits);
  });

  test(`Mavro: median, ${nist.median.source}`, () => {
    expectWithin(median(nist.means['Mavro']!.data!), nist.median.expected, nist.median.tolerance);
  });
});

describe('Anscombe (1973), fits by R 4.2.2', () => {
  const { rows } = readData<{ rows: readonly Record<string, number>[] }>('anscombe.json');
  const fits =
    readData<Check<unknown, { b0: number; b1: number; sigma: number; se: [number, number] }>[]>(
      'anscombe-fits.json',
    );
  test.each(fits.map((fit) => [fit.id, fit] as const))('%s', (id, { expected, tolerance }) => {
    const set = id.at(-1)!;
    const line = fitLine(
      rows.map((row) => row[`x${set}`]!),
      rows.map((row) => row[`y${set}`]!),
    )!;
    expectWithin(line.intercept, expected.b0, tolerance);
    expectWithin(line.slope, expected.b1, tolerance);
    expectWithin(line.residualSd, expected.sigma, tolerance);
    expectWithin(line.interceptU, expected.se[0], tolerance);
    expectWithin(line.slopeU, expected.se[1], tolerance);
  });
});
