/**
 * Restricted maximum likelihood of a model with group means and a random intercept per participant (Patterson &
 * Thompson 1971; Pinheiro & Bates 2000, 2.2). With θ = participant variance / residual variance, the covariance of n_i
 * trials of one participant is σ²(I + θJ), whose inverse is known in closed form; θ is sought where the derivative of
 * the restricted likelihood is 0, or is 0 itself where the likelihood falls from there on.
 */
import { rootBetween } from './solve.ts';

/** A participant's trials: for each, the value and the index of its group. */
export type Trials = readonly { readonly value: number; readonly group: number }[];

export interface MixedFit {
  /** Mean of the first group, then what each further group differs from it; unit of the values. */
  readonly coefficients: readonly number[];
  readonly errors: readonly number[];
  readonly participantSd: number;
  readonly residualSd: number;
}

type Matrix = readonly (readonly number[])[];

/** Solves A·X = B for a symmetric positive definite A by Cholesky; null where A is not. */
function solveSymmetric(a: Matrix, b: Matrix): number[][] | null {
  const n = a.length;
  const l = a.map((row) => row.map(() => 0));
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let sum = a[i]![j]!;
      for (let k = 0; k < j; k++) sum -= l[i]![k]! * l[j]![k]!;
      if (i === j && !(sum > 0)) return null;
      l[i]![j] = i === j ? Math.sqrt(sum) : sum / l[j]![j]!;
    }
  const x = b.map((row) => [...row]);
  for (let c = 0; c < x[0]!.length; c++) {
    for (let i = 0; i < n; i++) {
      for (let k = 0; k < i; k++) x[i]![c]! -= l[i]![k]! * x[k]![c]!;
      x[i]![c]! /= l[i]![i]!;
    }
    for (let i = n - 1; i >= 0; i--) {
      for (let k = i + 1; k < n; k++) x[i]![c]! -= l[k]![i]! * x[k]![c]!;
      x[i]![c]! /= l[i]![i]!;
    }
  }
  return x;
}

interface Step {
  readonly means: readonly number[];
  /** Inverse of X'V⁻¹X, V in units of σ². */
  readonly inverse: Matrix;
  readonly sigma2: number;
  /** Derivative of −2 × restricted log likelihood by θ. */
  readonly slope: number;
  readonly deviance: number;
}

/** Everything at one θ, by group means (their differences are taken at the end). */
function stepAt(people: readonly Trials[], groups: number, theta: number): Step | null {
  const info = Array.from({ length: groups }, () => new Array<number>(groups).fill(0));
  const right = Array.from({ length: groups }, () => [0]);
  let trials = 0;
  let logV = 0;
  const tallies = people.map((own) => {
    const counts = new Array<number>(groups).fill(0);
    const sums = new Array<number>(groups).fill(0);
    for (const { value, group } of own) {
      counts[group]!++;
      sums[group]! += value;
    }
    const w = 1 / (1 + own.length * theta);
    trials += own.length;
    logV += Math.log1p(own.length * theta);
    const all = sums.reduce((sum, value) => sum + value, 0);
    for (let g = 0; g < groups; g++) {
      info[g]![g]! += counts[g]!;
      right[g]![0]! += sums[g]! - theta * w * counts[g]! * all;
      for (let h = 0; h < groups; h++) info[g]![h]! -= theta * w * counts[g]! * counts[h]!;
    }
    return { counts, w, n: own.length };
  });
  const unit = info.map((row, i) => row.map((_, j) => (i === j ? 1 : 0)));
  const inverse = solveSymmetric(info, unit);
  const solved = solveSymmetric(info, right);
  if (inverse === null || solved === null) return null;
  const means = solved.map(([value]) => value!);
  let quadratic = 0;
  let score = 0;
  let trace = 0;
  people.forEach((own, i) => {
    const { counts, w, n } = tallies[i]!;
    let residual = 0;
    let squares = 0;
    for (const { value, group } of own) {
      const away = value - means[group]!;
      residual += away;
      squares += away * away;
    }
    quadratic += squares - theta * w * residual * residual;
    score += (w * residual) ** 2;
    trace += n * w;
    for (let g = 0; g < groups; g++)
      for (let h = 0; h < groups; h++) trace -= w * w * counts[g]! * counts[h]! * inverse[g]![h]!;
  });
  const df = trials - groups;
  return {
    means,
    inverse,
    sigma2: quadratic / df,
    slope: trace - (df * score) / quadratic,
    deviance: df * Math.log(quadratic) + logV - Math.log(determinant(inverse)),
  };
}

/** Determinant of a symmetric positive definite matrix. */
function determinant(a: Matrix): number {
  const l = a.map((row) => [...row]);
  let product = 1;
  for (let k = 0; k < l.length; k++) {
    product *= l[k]![k]!;
    for (let i = k + 1; i < l.length; i++) {
      const part = l[i]![k]! / l[k]![k]!;
      for (let j = k; j < l.length; j++) l[i]![j]! -= part * l[k]![j]!;
    }
  }
  return product;
}

/** θ looked at to find the best one: the likelihood may have more than one rise. */
const GRID = Array.from({ length: 121 }, (_, k) => 10 ** (-6 + k / 10));

/**
 * Fits the model. Null where a group has no trial or nothing is left to estimate σ from.
 * @param people two or more, one with two trials or more
 * @param groups number of groups, each with a trial
 */
export function fitMixed(people: readonly Trials[], groups: number): MixedFit | null {
  const base = people[0]![0]!.value;
  const shifted = people.map((own) => own.map(({ value, group }) => ({ value: value - base, group })));
  const steps = [0, ...GRID].map((theta) => ({ theta, step: stepAt(shifted, groups, theta) }));
  if (steps.some(({ step }) => step === null || !(step.sigma2 > 0))) return null;
  const best = steps.reduce((least, own) => (own.step!.deviance < least.step!.deviance ? own : least));
  const place = steps.indexOf(best);
  const slopeAt = (theta: number) => stepAt(shifted, groups, theta)!.slope;
  let theta = best.theta;
  const [low, high] = [steps[Math.max(0, place - 1)]!, steps[Math.min(steps.length - 1, place + 1)]!];
  if (place === 0 && best.step!.slope >= 0) theta = 0;
  else if (best.step!.slope > 0 && low.step!.slope < 0) theta = rootBetween(slopeAt, low.theta, best.theta);
  else if (best.step!.slope < 0 && high.step!.slope > 0) theta = rootBetween(slopeAt, best.theta, high.theta);
  const { means, inverse, sigma2 } = stepAt(shifted, groups, theta)!;
  const errorOf = (g: number) =>
    Math.sqrt(sigma2 * (g === 0 ? inverse[0]![0]! : inverse[g]![g]! + inverse[0]![0]! - 2 * inverse[0]![g]!));
  return {
    coefficients: means.map((own, g) => (g === 0 ? base + own : own - means[0]!)),
    errors: means.map((_, g) => errorOf(g)),
    participantSd: Math.sqrt(theta * sigma2),
    residualSd: Math.sqrt(sigma2),
  };
}
