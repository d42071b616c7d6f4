/**
 * Agreement where one swimmer gives several strokes: strokes of one swimmer are alike, so that they tell less than as
 * many swimmers would.
 *
 * Limits of agreement for repeated measures: Bland & Altman 2007, Agreement between methods of measurement with
 * multiple observations per individual, J Biopharm Stat 17:571–582, section 3 (the true value varies): a one-way
 * analysis of variance of the differences by swimmer; the variance of one difference is that between swimmers and that
 * within. Their confidence limits: Zou 2013, Stat Methods Med Res 22:630–642 (method of variance estimates recovery).
 * The bias has t limits from the scatter of the swimmers, exact where all have as many pairs.
 *
 * Intraclass correlations: the variance by leaving out one swimmer at a time (jackknife; Miller 1974, Biometrika
 * 61:1–15) on Fisher's z, with t. A bootstrap by swimmer was tried and covers 78 to 87 % with 5 to 15 swimmers where 95 %
 * are claimed; test/reference/clustered.test.ts prints what this covers.
 */
import { type Outcome, failed, done } from '../base/refusal.ts';
import { coverageFactor, effectiveCoverageFactor, fQuantile, mean } from '../base/statistics.ts';
import { intraclass, type Intraclass, type Limits, type NoAgreement, type RatedPair } from './agreement.ts';

const COVERAGE = 0.95;

/** A pair and the swimmer whose stroke it is. */
export interface SwimmerPair extends RatedPair {
  readonly swimmer: string;
}

/** Agreement over several strokes of several swimmers; in the unit of the values. A difference is second − first. */
export interface ClusteredAgreement {
  readonly pairs: number;
  readonly swimmers: number;
  readonly bias: number;
  /** 95 % confidence limits of the bias; null with one swimmer. */
  readonly biasLimits: Limits | null;
  /** Standard deviation of one difference: √(between² + within²). */
  readonly sd: number;
  /** Its parts: between swimmers (0 where none shows), and from stroke to stroke of one swimmer. */
  readonly betweenSd: number;
  readonly withinSd: number;
  /** 95 % limits of agreement. */
  readonly agreement: Limits;
  /** 95 % confidence limits of each limit of agreement; null with one swimmer. */
  readonly lowerLimits: Limits | null;
  readonly upperLimits: Limits | null;
  /** SD of one difference / √2: the scatter of one rater, were both alike. */
  readonly typicalError: number;
}

/** Why limits are left out where all pairs are one swimmer's. */
export const ONE_SWIMMER =
  'All pairs are of one swimmer, so how far another would differ is not known: there are no confidence limits.';

/**
 * Agreement of two raters on repeated measures.
 * @param pairs finite values of one unit
 * Fails with a reason below two pairs.
 */
export function clusteredAgreement(pairs: readonly SwimmerPair[]): Outcome<ClusteredAgreement, NoAgreement> {
  const n = pairs.length;
  if (n < 2)
    return failed({
      code: 'too_few',
      says: `Agreement needs at least two values marked by both raters; there ${n === 1 ? 'is one' : 'is none'}.`,
    });
  const table = analysisOf(pairs);
  const { swimmers, perSwimmer, between, within, bias } = table;
  const withinVariance = within ?? 0;
  const betweenVariance = between === null ? 0 : Math.max(0, (between - withinVariance) / perSwimmer);
  const sd = Math.sqrt(betweenVariance + withinVariance);
  const z = effectiveCoverageFactor(COVERAGE, Infinity);
  const limits = between === null ? null : limitsOf(table, sd, z);
  return done({
    pairs: n,
    swimmers,
    bias,
    biasLimits: limits?.bias ?? null,
    sd,
    betweenSd: Math.sqrt(betweenVariance),
    withinSd: Math.sqrt(withinVariance),
    agreement: { lower: bias - z * sd, upper: bias + z * sd },
    lowerLimits: limits?.lower ?? null,
    upperLimits: limits?.upper ?? null,
    typicalError: sd / Math.SQRT2,
  });
}

/** One-way analysis of variance of the differences by swimmer. */
interface Analysis {
  readonly n: number;
  readonly swimmers: number;
  /** Pairs of a swimmer, as the variance between swimmers counts them. */
  readonly perSwimmer: number;
  readonly bias: number;
  /** Mean squares; null without degrees of freedom. */
  readonly between: number | null;
  readonly within: number | null;
  /** Standard uncertainty of the bias from the swimmers' scatter. */
  readonly biasU: number | null;
}

function analysisOf(pairs: readonly SwimmerPair[]): Analysis {
  const groups = [...Map.groupBy(pairs, ({ swimmer }) => swimmer).values()].map((own) =>
    own.map(({ first, second }) => second - first),
  );
  const [n, k] = [pairs.length, groups.length];
  const means = groups.map((own) => mean(own)!);
  const bias = mean(groups.flat())!;
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
  const squaresWithin = sum(groups.map((own, i) => sum(own.map((d) => (d - means[i]!) ** 2))));
  const squaresBetween = sum(groups.map((own, i) => own.length * (means[i]! - bias) ** 2));
  const spread = sum(groups.map((own, i) => (own.length * (means[i]! - bias)) ** 2));
  return {
    n,
    swimmers: k,
    perSwimmer: k < 2 ? n : (n - sum(groups.map((own) => own.length ** 2)) / n) / (k - 1),
    bias,
    between: k < 2 ? null : squaresBetween / (k - 1),
    within: n === k ? null : squaresWithin / (n - k),
    biasU: k < 2 ? null : Math.sqrt((spread * k) / (k - 1)) / n,
  };
}

/** Confidence limits of the bias, and of both limits of agreement after Zou 2013. */
function limitsOf(
  { n, swimmers: k, perSwimmer, bias, between, within, biasU }: Analysis,
  sd: number,
  z: number,
) {
  const reach = coverageFactor(COVERAGE, k - 1) * biasU!;
  // Variance of one difference = between/m + (1 − 1/m)·within, each with its own degrees of freedom.
  const parts = [
    { value: between! / perSwimmer, freedom: k - 1 },
    { value: within === null ? 0 : (1 - 1 / perSwimmer) * within, freedom: Math.max(1, n - k) },
  ];
  const outward = (tail: number) =>
    Math.sqrt(
      parts.reduce((sum, { value, freedom }) => sum + (value * (1 / overFreedom(tail, freedom) - 1)) ** 2, 0),
    );
  const tail = (1 - COVERAGE) / 2;
  const least = Math.sqrt(Math.max(0, sd * sd - outward(1 - tail)));
  const most = Math.sqrt(sd * sd + outward(tail));
  const inner = Math.hypot(reach, z * (sd - least));
  const outer = Math.hypot(reach, z * (most - sd));
  return {
    bias: { lower: bias - reach, upper: bias + reach },
    lower: { lower: bias - z * sd - outer, upper: bias - z * sd + inner },
    upper: { lower: bias + z * sd - inner, upper: bias + z * sd + outer },
  };
}

/** Degrees of freedom beyond which Snedecor's F is χ² over its own, to eight figures. */
const AS_GOOD_AS_NONE = 1e9;

/** Quantile of χ² over its degrees of freedom. */
function overFreedom(probability: number, freedom: number): number {
  return fQuantile(probability, freedom, AS_GOOD_AS_NONE);
}

/** Correlations nearer to ±1 than this are taken as this before Fisher's z. */
const NEARLY_ONE = 1 - 1e-12;

/** Fewer swimmers show nothing of their spread. */
const FEWEST_SWIMMERS = 3;

/**
 * Intraclass correlations over all strokes, with limits by swimmer; null limits below three swimmers, or where leaving
 * one out leaves no correlation. Fails as `intraclass` does.
 */
export function clusteredIntraclass(pairs: readonly SwimmerPair[]): Outcome<Intraclass, NoAgreement> {
  const rows = (some: readonly SwimmerPair[]) => some.map(({ first, second }) => [first, second]);
  const whole = intraclass(rows(pairs));
  if (!whole.ok) return whole;
  const swimmers = [...new Set(pairs.map(({ swimmer }) => swimmer))];
  const without = swimmers.map((left) => intraclass(rows(pairs.filter(({ swimmer }) => swimmer !== left))));
  // So many swimmers with equally many strokes would tell as much (Kish 1965, Survey Sampling, 11.7; from memory).
  const counts = swimmers.map((one) => pairs.filter(({ swimmer }) => swimmer === one).length);
  const effective = pairs.length ** 2 / counts.reduce((sum, count) => sum + count * count, 0);
  const limits = (which: 'icc21' | 'icc31'): Limits | null => {
    if (swimmers.length < FEWEST_SWIMMERS || without.some(({ ok }) => !ok)) return null;
    const zs = without.flatMap((one) => (one.ok ? [fisher(one.value[which].value)] : []));
    const at = fisher(whole.value[which].value);
    // About the value itself, and without the factor (k − 1)/k: the wider ways, for few swimmers are seldom alike.
    const u = Math.sqrt(zs.reduce((sum, z) => sum + (z - at) ** 2, 0));
    const reach = coverageFactor(COVERAGE, effective - 1) * u;
    return { lower: Math.tanh(at - reach), upper: Math.tanh(at + reach) };
  };
  const { icc21, icc31 } = whole.value;
  return done({
    ...whole.value,
    icc21: { value: icc21.value, limits: limits('icc21') },
    icc31: { value: icc31.value, limits: limits('icc31') },
  });
}

function fisher(r: number): number {
  return Math.atanh(Math.min(NEARLY_ONE, Math.max(-NEARLY_ONE, r)));
}
