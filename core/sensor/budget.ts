/**
 * Uncertainty budgets: propagation through y = f(x₁…xₙ) by the law of propagation of uncertainty with correlation
 * (JCGM 100:2008 5.1.2, 5.2.2), effective degrees of freedom (G.4.1), and the budget of the force of one hand.
 */
import { smallest } from '../base/extent.ts';
import { effectiveDegreesOfFreedom, effectiveCoverageFactor } from '../base/statistics.ts';

/** One input quantity. */
export interface BudgetInput {
  readonly name: string;
  readonly value: number;
  /** Standard uncertainty, in the unit of `value`. */
  readonly u: number;
  /** Degrees of freedom of `u`; ∞ for one that is taken as known. */
  readonly degreesOfFreedom: number;
  /** Inputs that name the same scatter took their `u` from it; it counts once in the degrees of freedom. */
  readonly scatter?: string;
}

/** The model: a function, whose sensitivity coefficients are found numerically, or its value and coefficients. */
export type BudgetModel =
  | { readonly evaluate: (x: readonly number[]) => number }
  | { readonly value: number; readonly coefficients: readonly number[] };

export interface Propagated {
  readonly value: number;
  /** ∂f/∂xᵢ, in the order of the inputs. */
  readonly coefficients: readonly number[];
  /** cᵢ·u(xᵢ), signed, in the unit of y. */
  readonly components: readonly number[];
  /** Combined standard uncertainty, unit of y. */
  readonly u: number;
  /** Effective degrees of freedom; ∞ where none of the parts has finite ones. */
  readonly degreesOfFreedom: number;
  readonly coverageFactor: number;
  readonly expanded: number;
}

/**
 * Propagates uncertainty.
 * Numerical coefficients are the difference quotient over ±u (JCGM 100 5.1.3 note 2). The Welch–Satterthwaite
 * formula holds for independent parts: inputs that are correlated, or name one scatter, count as one part with the
 * fewest degrees of freedom among them.
 * @param correlation matrix of correlation coefficients; null where the inputs are independent
 * @param probability coverage, 0…1
 * Throws RangeError for a matrix that is no correlation matrix of these inputs.
 */
export function propagate(
  model: BudgetModel,
  inputs: readonly BudgetInput[],
  correlation: readonly (readonly number[])[] | null = null,
  probability = 0.95,
): Propagated {
  if (correlation !== null) checkCorrelation(correlation, inputs.length);
  const at = inputs.map(({ value }) => value);
  const value = 'evaluate' in model ? model.evaluate(at) : model.value;
  const coefficients =
    'evaluate' in model
      ? inputs.map((input, i) => quotient(model.evaluate, at, i, input.u))
      : model.coefficients;
  const components = inputs.map((input, i) => coefficients[i]! * input.u);
  const r = (i: number, j: number) => correlation?.[i]?.[j] ?? (i === j ? 1 : 0);
  const variance = (members: readonly number[]) =>
    members.reduce(
      (sum, i) => sum + members.reduce((row, j) => row + r(i, j) * components[i]! * components[j]!, 0),
      0,
    );
  const total = variance(inputs.map((_, i) => i));
  const squares = components.reduce((sum, component) => sum + component * component, 0);
  if (total < -1e-9 * squares) throw new RangeError('The correlations contradict each other.');
  const degreesOfFreedom = effectiveDegreesOfFreedom(
    partsOf(inputs, r).map((members) => ({
      u: Math.sqrt(Math.max(0, variance(members))),
      degreesOfFreedom: smallest(members.map((i) => inputs[i]!.degreesOfFreedom)),
    })),
  );
  const u = Math.sqrt(Math.max(0, total));
  const coverageFactor = effectiveCoverageFactor(probability, degreesOfFreedom);
  return {
    value,
    coefficients,
    components,
    u,
    degreesOfFreedom,
    coverageFactor,
    expanded: coverageFactor * u,
  };
}

function checkCorrelation(matrix: readonly (readonly number[])[], size: number): void {
  const fits =
    matrix.length === size &&
    matrix.every(
      (row, i) =>
        row.length === size && row[i] === 1 && row.every((r, j) => Math.abs(r) <= 1 && r === matrix[j]?.[i]),
    );
  if (!fits) throw new RangeError(`Not a correlation matrix of ${size} inputs.`);
}

function quotient(
  evaluate: (x: readonly number[]) => number,
  at: readonly number[],
  index: number,
  u: number,
): number {
  const step = u > 0 ? u : 1e-6 * Math.max(1, Math.abs(at[index]!));
  return (
    (evaluate(at.with(index, at[index]! + step)) - evaluate(at.with(index, at[index]! - step))) / (2 * step)
  );
}

/** The inputs in parts that are independent of each other. */
function partsOf(inputs: readonly BudgetInput[], r: (i: number, j: number) => number): number[][] {
  const part = inputs.map((_, i) => i);
  const related = (i: number, j: number) =>
    r(i, j) !== 0 || (inputs[i]!.scatter !== undefined && inputs[i]!.scatter === inputs[j]!.scatter);
  for (let i = 0; i < inputs.length; i++)
    for (let j = 0; j < i; j++)
      if (related(i, j)) {
        const [from, to] = [part[i]!, part[j]!];
        part.forEach((own, k) => {
          if (own === from) part[k] = to;
        });
      }
  return [...Map.groupBy(inputs.keys(), (i) => part[i]!).values()];
}

/** The line's own uncertainty at no pressure, for a zero that is the calibration's intercept. */
export interface FittedZero {
  /** Standard uncertainty of the intercept, kPa. */
  readonly uKpa: number;
  /** Correlation of intercept and sensitivity as fitted, −1…1. */
  readonly correlation: number;
}

export interface ForceBudgetInput {
  /** The force the budget is for, N. */
  readonly forceN: number;
  readonly areaCm2: number;
  /** Standard uncertainty, cm². */
  readonly areaUCm2: number;
  /** raw/kPa; only the ratio to its uncertainty counts. */
  readonly sensitivity: number;
  /** Standard uncertainty from the scatter about the line, raw/kPa. */
  readonly sensitivityFitU: number;
  /** Standard uncertainty of the reference's scale, relative; 0 where it is not stated. */
  readonly referenceScale: number;
  /** Residual standard deviation of the calibration, kPa. */
  readonly residualSdKpa: number;
  /** n − 2 of the calibration. */
  readonly calibrationDegreesOfFreedom: number;
  /** Standard uncertainty of the zero, kPa: how far it may have moved, and the reference's own zero where it counts. */
  readonly zeroUKpa: number;
  /** Null where the zero was read. */
  readonly fittedZero: FittedZero | null;
  /** Standard uncertainty for the depth of the two taps, kPa. */
  readonly tapUKpa: number;
}

export type ForceSource = 'sensitivity' | 'reference' | 'zero' | 'area' | 'tap_depth' | 'noise';

export interface ForceBudget {
  /** Every source's standard uncertainty in N, and its share of the sum of squares, %. */
  readonly parts: readonly { readonly source: ForceSource; readonly uN: number; readonly sharePct: number }[];
  /** The total of formats.md section 2: the one that stands beside forces everywhere. */
  readonly total: ForceTotal;
  /**
   * Where the zero is the calibration's intercept: the total with what the fit leaves uncertain about it, and its
   * correlation with the sensitivity, which formats.md leaves out; else null.
   */
  readonly withFittedZero: ForceTotal | null;
}

/** Standard and expanded (95 %) uncertainty of the force, N. */
export interface ForceTotal {
  readonly uN: number;
  readonly expandedN: number;
  readonly coverageFactor: number;
  /** Null where infinite. */
  readonly degreesOfFreedom: number | null;
}

/** N per kPa·cm². */
const N_PER_KPA_CM2 = 0.1;

/**
 * The budget of the force of one hand, F = 0.1·A·((raw − zero)/S + tap depth + noise), kPa and cm².
 * Sensitivity and area are propagated in proportion to the force, the others do not depend on it. The fit's part of
 * the sensitivity, a fitted zero and the noise rest on one scatter, with the calibration's degrees of freedom. With
 * Δp = (raw − a)/S the parts of a and S are −u(a)/S and −Δp·u(S)/S: a reversed sensor turns both, and the sign of
 * their covariance stays.
 * Returns null where the calibration leaves no degree of freedom (two points), for then its scatter is not known.
 */
export function forceBudget(input: ForceBudgetInput): ForceBudget | null {
  const { areaCm2, forceN, fittedZero } = input;
  if (!(input.calibrationDegreesOfFreedom >= 1)) return null;
  const fitted = { degreesOfFreedom: input.calibrationDegreesOfFreedom, scatter: 'calibration' };
  const taken = { degreesOfFreedom: Infinity };
  const perKpa = N_PER_KPA_CM2 * areaCm2;
  const fitU = Math.abs(input.sensitivityFitU / input.sensitivity);
  const sources: readonly (BudgetInput & { readonly name: ForceSource; readonly coefficient: number })[] = [
    { name: 'sensitivity', value: 1, u: fitU, coefficient: -forceN, ...fitted },
    { name: 'reference', value: 1, u: input.referenceScale, coefficient: -forceN, ...taken },
    { name: 'zero', value: 0, u: input.zeroUKpa, coefficient: -perKpa, ...taken },
    { name: 'area', value: areaCm2, u: input.areaUCm2, coefficient: forceN / areaCm2, ...taken },
    { name: 'tap_depth', value: 0, u: input.tapUKpa, coefficient: perKpa, ...taken },
    { name: 'noise', value: 0, u: input.residualSdKpa, coefficient: perKpa, ...fitted },
  ];
  const model = { value: forceN, coefficients: sources.map(({ coefficient }) => coefficient) };
  const stated = propagate(model, sources);
  const squares = stated.u ** 2;
  const parts = sources.map(({ name: source }, i) => {
    const uN = Math.abs(stated.components[i]!);
    return { source, uN, sharePct: squares > 0 ? (100 * uN * uN) / squares : 0 };
  });
  const withFittedZero = fittedZero && totalOf(propagateFitted(model, sources, perKpa, fittedZero, fitted));
  return { parts, total: totalOf(stated), withFittedZero };
}

/** The budget with the fitted zero put before the other sources; the next one is the fitted sensitivity. */
function propagateFitted(
  model: { readonly value: number; readonly coefficients: readonly number[] },
  sources: readonly BudgetInput[],
  perKpaN: number,
  { uKpa, correlation }: FittedZero,
  fitted: Pick<BudgetInput, 'degreesOfFreedom' | 'scatter'>,
): Propagated {
  const inputs: readonly BudgetInput[] = [{ name: 'fitted zero', value: 0, u: uKpa, ...fitted }, ...sources];
  const matrix = inputs.map((_, i) => inputs.map((__, j) => (i === j ? 1 : i + j === 1 ? correlation : 0)));
  return propagate({ value: model.value, coefficients: [-perKpaN, ...model.coefficients] }, inputs, matrix);
}

function totalOf({ u, expanded, coverageFactor, degreesOfFreedom }: Propagated): ForceTotal {
  return {
    uN: u,
    expandedN: expanded,
    coverageFactor,
    degreesOfFreedom: Number.isFinite(degreesOfFreedom) ? degreesOfFreedom : null,
  };
}
