/**
 * Intraclass correlations of raters on values of one unit, and their confidence limits where every subject stands for
 * itself: Shrout & Fleiss 1979, Psychol Bull 86:420–428, with the degrees of freedom of ICC(2,1) after Satterthwaite as
 * there. Several strokes of one swimmer: see `clustered`. Entry position, which is no number: see `kappa`.
 */
import { type Outcome, failed, done } from '../base/refusal.ts';
import { mean, fQuantile } from '../base/statistics.ts';

/** What the limits cover, 0…1. */
const COVERAGE = 0.95;

/** The same thing seen by two raters, in one unit. */
export interface RatedPair {
  readonly first: number;
  readonly second: number;
}

/** The ends of an interval, in the unit of what they belong to. */
export interface Limits {
  readonly lower: number;
  readonly upper: number;
}

/** Why a measure of agreement is empty. */
export interface NoAgreement {
  readonly code: 'too_few' | 'no_variation' | 'one_category';
  /** One sentence. */
  readonly says: string;
}

function tooFew(count: number, what: string): NoAgreement {
  const says = `Agreement needs at least two values ${what}; there ${count === 1 ? 'is one' : 'is none'}.`;
  return { code: 'too_few', says };
}

/** A correlation, dimensionless. */
export interface Correlation {
  readonly value: number;
  /** 95 % confidence limits; null where there are too few subjects, or too little between them, for limits. */
  readonly limits: Limits | null;
}

/** Mean squares of a two-way table of ratings, in the unit of the values squared. */
export interface MeanSquares {
  readonly betweenSubjects: number;
  readonly betweenRaters: number;
  readonly residual: number;
}

export interface Intraclass {
  readonly subjects: number;
  readonly raters: number;
  readonly meanSquares: MeanSquares;
  /** ICC(2,1): one rating of a rater drawn at random; a shift between the raters counts as disagreement. */
  readonly icc21: Correlation;
  /** ICC(3,1): one rating of these raters; a shift between them does not count. */
  readonly icc31: Correlation;
}

/**
 * Intraclass correlations after Shrout & Fleiss 1979.
 * @param ratings one row per subject (a mark, a stroke), one finite value per rater; rows of equal length ≥ 2
 * Fails with a reason below two subjects, where neither the subjects nor the ratings of one differ, and where two
 * raters gave two subjects each other's values.
 * Throws a RangeError where the rows are not of equal length ≥ 2: that is a fault of the caller.
 */
export function intraclass(ratings: readonly (readonly number[])[]): Outcome<Intraclass, NoAgreement> {
  const n = ratings.length;
  if (n < 2) return failed(tooFew(n, 'rated by every rater'));
  const k = ratings[0]!.length;
  if (k < 2 || ratings.some((row) => row.length !== k))
    throw new RangeError('Every subject needs one rating per rater, and at least two raters.');
  const squares = meanSquaresOf(ratings, n, k);
  if (squares.betweenSubjects === 0 && squares.residual === 0)
    return failed({
      code: 'no_variation',
      says: 'A correlation needs values that differ; all strokes have the same one.',
    });
  // Two subjects whose ratings two raters gave the other way round: the denominator of ICC(2,1) is 0.
  const { betweenSubjects, betweenRaters, residual } = squares;
  if (n === 2 && k === 2 && betweenSubjects + betweenRaters <= 1e-12 * residual)
    return failed({
      code: 'no_variation',
      says: 'A correlation needs values that differ on the whole; here neither the two strokes nor the two raters do.',
    });
  return done({
    subjects: n,
    raters: k,
    meanSquares: squares,
    icc21: absoluteAgreement(squares, n, k),
    icc31: consistency(squares, n, k),
  });
}

function meanSquaresOf(ratings: readonly (readonly number[])[], n: number, k: number): MeanSquares {
  // Offsets from one rating lose no digits where all are large.
  const base = ratings[0]![0]!;
  const rows = ratings.map((row) => mean(row.map((value) => value - base))!);
  const columns = ratings[0]!.map((_, j) => mean(ratings.map((row) => row[j]! - base))!);
  const grand = mean(rows)!;
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
  const residual = sum(
    ratings.flatMap((row, i) => row.map((value, j) => (value - base - rows[i]! - columns[j]! + grand) ** 2)),
  );
  return {
    betweenSubjects: (k * sum(rows.map((value) => (value - grand) ** 2))) / (n - 1),
    betweenRaters: (n * sum(columns.map((value) => (value - grand) ** 2))) / (k - 1),
    residual: residual / ((n - 1) * (k - 1)),
  };
}

function consistency(squares: MeanSquares, n: number, k: number): Correlation {
  const { betweenSubjects: between, residual } = squares;
  const of = (low: number) => (between - low * residual) / (between + (k - 1) * low * residual);
  const [subjects, rest] = [n - 1, (n - 1) * (k - 1)];
  return correlation(of(1), of(upperF(subjects, rest)), of(1 / upperF(rest, subjects)));
}

function absoluteAgreement(squares: MeanSquares, n: number, k: number): Correlation {
  const { betweenSubjects: between, betweenRaters: raters, residual } = squares;
  const value = (between - residual) / (between + (k - 1) * residual + (k * (raters - residual)) / n);
  // Both parts are multiplied by the residual mean square, so that ratings without a residual need no case of their own.
  const ofRaters = k * value * raters;
  const ofResidual = (n * (1 + (k - 1) * value) - k * value) * residual;
  const freedom =
    ((n - 1) * (k - 1) * (ofRaters + ofResidual) ** 2) / ((n - 1) * ofRaters ** 2 + ofResidual ** 2);
  // Without any difference between ratings of one subject the agreement is whole, and so are its limits.
  if (!(freedom > 0)) return correlation(value, value, value);
  const noise = k * raters + (k * n - k - n) * residual;
  const low = upperF(n - 1, freedom);
  const high = upperF(freedom, n - 1);
  return correlation(
    value,
    (n * (between - low * residual)) / (low * noise + n * between),
    (n * (high * between - residual)) / (noise + n * high * between),
  );
}

/** The approximate degrees of freedom can come out so small that the limits are no numbers or miss the value. */
function correlation(value: number, lower: number, upper: number): Correlation {
  return { value, limits: lower <= value && value <= upper ? { lower, upper } : null };
}

/** The value of F that is exceeded with half of what the limits leave out. */
function upperF(numerator: number, denominator: number): number {
  return fQuantile((1 + COVERAGE) / 2, numerator, denominator);
}
