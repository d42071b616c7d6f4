/**
 * How well a swimmer's own trials agree: typical error (Bland & Altman 1996, BMJ 312:1654; a change from attempt to
 * attempt is in it) and intraclass correlations ICC(2,1), ICC(3,1) (Shrout & Fleiss 1979) with limits after McGraw &
 * Wong 1996, Psychol Methods 1:30–46, table 7.
 */
import { fQuantile } from '../base/statistics.ts';
import { intraclass } from '../rater/agreement.ts';
import { chiSquareQuantile } from './distributions.ts';
import { isDust, momentsOf } from './moments.ts';
import { done } from '../base/refusal.ts';
import { noAnswer, term, type Answer, type Limits } from './term.ts';

/** How far two trials of a swimmer differ by chance alone 95 times in 100, in typical errors. */
const CHANGE = 1.96 * Math.SQRT2;

/**
 * Repeatability of trials.
 * @param swimmers the trials of each swimmer in the order they were swum, two or more each; unit of the outcome
 */
export function repeatability(swimmers: readonly (readonly number[])[], confidence: number): Answer {
  const m = swimmers.length;
  if (m < 2)
    return noAnswer(
      `${m === 0 ? 'No swimmer has' : 'One swimmer has'} two trials or more; repeatability needs two such swimmers.`,
    );
  const trials = swimmers.reduce((sum, own) => sum + own.length, 0);
  const df = trials - m;
  const within = Math.sqrt(swimmers.reduce((sum, own) => sum + momentsOf(own).squares, 0) / df);
  if (isDust(within, swimmers.flat()))
    return noAnswer("Each swimmer's trials have one value; limits of an agreement divide by their spread.");
  const tail = (1 - confidence) / 2;
  const scaled = (probability: number) => within * Math.sqrt(df / chiSquareQuantile(probability, df));
  const limits = { low: scaled(1 - tail), high: scaled(tail) };
  const k = swimmers.reduce((least, own) => Math.min(least, own.length), Infinity);
  const table = swimmers.map((own) => own.slice(0, k));
  const classes = intraclass(table);
  if (!classes.ok) return noAnswer('The values that an agreement is computed from do not differ.');
  const { betweenSubjects: rows, betweenRaters: columns, residual } = classes.value.meanSquares;
  if (isDust(Math.sqrt(residual), table.flat()))
    return noAnswer(
      "The swimmers' trials differ by the same amounts; limits of an agreement divide by the rest.",
    );
  const icc = (name: string, [estimate, own]: Icc) => term({ term: name, estimate, limits: own, n: m * k });
  return done([
    term({ term: 'typical_error', df1: df, estimate: within, limits }),
    term({
      term: 'change_95',
      estimate: CHANGE * within,
      limits: { low: CHANGE * limits.low, high: CHANGE * limits.high },
    }),
    icc('icc_2_1', absolute(rows, columns, residual, m, k, tail)),
    icc('icc_3_1', consistent(rows, residual, m, k, tail)),
  ]);
}

type Icc = readonly [number, Limits];

/** ICC(2,1): one trial; a shift from attempt to attempt counts against it. */
function absolute(rows: number, columns: number, error: number, n: number, k: number, tail: number): Icc {
  const value = (rows - error) / (rows + (k - 1) * error + (k * (columns - error)) / n);
  const a = (k * value) / (n * (1 - value));
  const b = 1 + (k * value * (n - 1)) / (n * (1 - value));
  const df =
    (a * columns + b * error) ** 2 / ((a * columns) ** 2 / (k - 1) + (b * error) ** 2 / ((n - 1) * (k - 1)));
  const noise = k * columns + (k * n - k - n) * error;
  const low = fQuantile(1 - tail, n - 1, df);
  const high = fQuantile(1 - tail, df, n - 1);
  return [
    value,
    {
      low: (n * (rows - low * error)) / (low * noise + n * rows),
      high: (n * (high * rows - error)) / (noise + n * high * rows),
    },
  ];
}

/** ICC(3,1): one trial; a shift that all swimmers share does not count. */
function consistent(rows: number, error: number, n: number, k: number, tail: number): Icc {
  const f = rows / error;
  const [subjects, rest] = [n - 1, (n - 1) * (k - 1)];
  const low = f / fQuantile(1 - tail, subjects, rest);
  const high = f * fQuantile(1 - tail, rest, subjects);
  const of = (ratio: number) => (ratio - 1) / (ratio + k - 1);
  return [of(f), { low: of(low), high: of(high) }];
}
