/**
 * A calibration assessed as a metrologist would: the line with its uncertainty, bands, and the sensor's behaviour in
 * % of full scale.
 *
 * Line: ordinary least squares of raw on applied kPa (JCGM 100:2008 H.3), the same line as core/calibration.ts. What
 * the reference is uncertain by joins it: a part shared by all points moves the zero and does not average away
 * (H.3.6), a relative part goes into the sensitivity, a part of each point alone is already in the scatter and
 * counts in its place only where the points happen to scatter less.
 *
 * Behaviour, by ANSI/ISA-51.1 (Process Instrumentation Terminology) and IEC 61298-2, in % of the output span
 * |sensitivity| × range (definitions from memory; Wheeler & Ganji, Introduction to Engineering Experimentation,
 * example 2.3, uses the same):
 * - non-linearity, independent: largest deviation of the mean of upscale and downscale readings from the line laid so
 *   that this largest deviation is smallest. `terminalBased` is against the line through the lowest and highest
 *   pressure.
 * - hysteresis: largest difference of upscale and downscale readings at one pressure within one run. Dead band is
 *   not measured and so is contained in it.
 * - repeatability: largest spread of the readings at one pressure from one direction over the runs.
 * The non-linearity and hysteresis of formats.md are other definitions (least-squares line, means over all runs) and
 * stay those of core/calibration.ts.
 */
import { largest, smallest } from '../base/extent.ts';
import type { CalibrationPoint } from './calibration.ts';
import {
  type Line,
  fitLine,
  effectiveDegreesOfFreedom,
  effectiveCoverageFactor,
  mean,
} from '../base/statistics.ts';

/** A point of the bench. A point set aside keeps its place and its reason but takes no part. */
export interface BenchPoint extends CalibrationPoint {
  /** Number of the run up and down, from 1. */
  readonly run: number;
  /** Why the point takes no part; null where it does. */
  readonly setAside: string | null;
}

/** Standard uncertainty of the reference pressure. */
export interface ReferenceUncertainty {
  /** An offset shared by all points, kPa. */
  readonly sharedKpa: number;
  /** A relative error shared by all points, 1 (density and gravity, or a gauge's scale). */
  readonly scale: number;
  /** An error of each point alone, kPa. */
  readonly perPointKpa: number;
}

/** A value with its standard and expanded uncertainty, in the unit of the value; null where not known. */
export interface Estimate {
  readonly value: number;
  readonly u: number | null;
  /** Effective degrees of freedom; null where there are infinitely many, or `u` is not known. */
  readonly degreesOfFreedom: number | null;
  readonly coverageFactor: number | null;
  readonly expanded: number | null;
}

/** A point with its distance from the line, also where it was set aside. */
export interface AssessedPoint extends BenchPoint {
  readonly residualRaw: number;
  readonly residualKpa: number;
  /** Null where the sensor's range is not known. */
  readonly residualPctFs: number | null;
}

export interface CalibrationAssessment {
  readonly points: readonly AssessedPoint[];
  /** Points that take part, and the different pressures among them. */
  readonly pointCount: number;
  readonly pressureCount: number;
  readonly line: Line;
  readonly reference: ReferenceUncertainty;
  readonly rangeKpa: number | null;
  /** Coverage probability of every expanded uncertainty. */
  readonly probability: number;
  /** raw/kPa. */
  readonly sensitivity: Estimate;
  /** Raw at no pressure. */
  readonly zero: Estimate;
  /** Correlation of sensitivity and zero, the reference included; null where the uncertainties are not known. */
  readonly correlation: number | null;
  /** Residual standard deviation on `degreesOfFreedom` = n − 2; null below three points. */
  readonly residualSd: {
    readonly raw: number;
    readonly kpa: number;
    readonly degreesOfFreedom: number;
  } | null;
  /** Scatter that one reading is given, raw: that of the points, or the reference's own where that is larger. */
  readonly scatter: { readonly raw: number; readonly from: 'points' | 'reference' } | null;
  /** Independent, % of full scale; null below three pressures or without a range. */
  readonly nonlinearityPctFs: number | null;
  /** Terminal-based, % of full scale; null below three pressures or without a range. */
  readonly terminalNonlinearityPctFs: number | null;
  /** % of full scale; null where no run read one pressure up and down, or without a range. */
  readonly hysteresisPctFs: number | null;
  /** % of full scale; null where no pressure was reached from one side in two runs, or without a range. */
  readonly repeatabilityPctFs: number | null;
}

/** Pressures nearer than this part of the span of pressures are one nominal pressure: depths are set by hand. */
const ONE_PRESSURE = 0.005;

/**
 * Assesses a calibration.
 * @param points in kPa and raw, in any order
 * @param rangeKpa full scale, kPa; null where not known
 * @param reference standard uncertainties of the applied pressure; all 0 where it is taken as exact
 * @param probability coverage, 0…1
 * Returns null where no line can be fitted: fewer than two different pressures take part, or raw does not change.
 */
export function assessCalibration(
  points: readonly BenchPoint[],
  rangeKpa: number | null,
  reference: ReferenceUncertainty,
  probability = 0.95,
): CalibrationAssessment | null {
  const used = points.filter((point) => point.setAside === null);
  const line = fitLine(
    used.map((point) => point.appliedKpa),
    used.map((point) => point.raw),
  );
  if (line === null || line.slope === 0) return null;
  const size = Math.abs(line.slope);
  const fullScaleRaw = rangeKpa === null ? null : size * rangeKpa;
  const assessed = points.map((point) => {
    const residualRaw = point.raw - line.intercept - line.slope * point.appliedKpa;
    return {
      ...point,
      residualRaw,
      residualKpa: residualRaw / line.slope,
      residualPctFs: percentOf(residualRaw, fullScaleRaw),
    };
  });
  const scatter = scatterOf(line, reference);
  const basis: Basis = { line, reference, scatter, probability };
  const pressures = byNominalPressure(assessed.filter((point) => point.setAside === null));
  const { independent, terminal } = nonlinearity(pressures);
  return {
    points: assessed,
    pointCount: used.length,
    pressureCount: pressures.length,
    line,
    reference,
    rangeKpa,
    probability,
    sensitivity: estimate(basis, line.slope, [0, 1], 0),
    zero: estimate(basis, line.intercept, [1, 0], 0),
    correlation: correlationOf(basis),
    residualSd:
      line.residualSd === null
        ? null
        : { raw: line.residualSd, kpa: line.residualSd / size, degreesOfFreedom: line.n - 2 },
    scatter,
    nonlinearityPctFs: percentOf(independent, fullScaleRaw),
    terminalNonlinearityPctFs: percentOf(terminal, fullScaleRaw),
    hysteresisPctFs: percentOf(hysteresis(pressures), fullScaleRaw),
    repeatabilityPctFs: percentOf(repeatability(pressures), fullScaleRaw),
  };
}

function percentOf(raw: number | null, fullScaleRaw: number | null): number | null {
  return raw === null || fullScaleRaw === null ? null : (100 * raw) / fullScaleRaw;
}

type Basis = Pick<CalibrationAssessment, 'line' | 'reference' | 'scatter' | 'probability'>;

function scatterOf(line: Line, reference: ReferenceUncertainty): CalibrationAssessment['scatter'] {
  const fromReference = Math.abs(line.slope) * reference.perPointKpa;
  if (line.residualSd !== null && line.residualSd >= fromReference)
    return { raw: line.residualSd, from: 'points' };
  return fromReference > 0 ? { raw: fromReference, from: 'reference' } : null;
}

/**
 * Variances, raw², of weights[0]·zero + weights[1]·sensitivity: from the scatter (with covariance) and from what the
 * reference shares among the points. `extra` adds so many single readings.
 */
function variances(basis: Basis, weights: readonly [number, number], extra: number) {
  const { line, reference, scatter } = basis;
  const [onZero, onSensitivity] = weights;
  const offset = onSensitivity - onZero * line.meanX;
  return {
    scatter: (scatter?.raw ?? 0) ** 2 * (onZero ** 2 / line.n + offset ** 2 / line.sumSquaresX + extra),
    reference:
      line.slope ** 2 * ((onZero * reference.sharedKpa) ** 2 + (onSensitivity * reference.scale) ** 2),
  };
}

function estimate(
  basis: Basis,
  value: number,
  weights: readonly [number, number],
  extra: number,
  divisor = 1,
): Estimate {
  if (basis.scatter === null)
    return { value, u: null, degreesOfFreedom: null, coverageFactor: null, expanded: null };
  const parts = variances(basis, weights, extra);
  const u = Math.sqrt(parts.scatter + parts.reference) / Math.abs(divisor);
  const effective = effectiveDegreesOfFreedom([
    {
      u: Math.sqrt(parts.scatter),
      degreesOfFreedom: basis.scatter.from === 'points' ? basis.line.n - 2 : Infinity,
    },
    { u: Math.sqrt(parts.reference), degreesOfFreedom: Infinity },
  ]);
  const factor = effectiveCoverageFactor(basis.probability, effective);
  const degreesOfFreedom = Number.isFinite(effective) ? effective : null;
  return { value, u, degreesOfFreedom, coverageFactor: factor, expanded: factor * u };
}

/** Correlation by the variance of the sum: u²(a + b) = u²(a) + u²(b) + 2 u(a, b). */
function correlationOf(basis: Basis): number | null {
  if (basis.scatter === null) return null;
  const total = (weights: readonly [number, number]) => {
    const parts = variances(basis, weights, 0);
    return parts.scatter + parts.reference;
  };
  const [zero, sensitivity] = [total([1, 0]), total([0, 1])];
  const covariance = -(basis.scatter.raw ** 2 * basis.line.meanX) / basis.line.sumSquaresX;
  return zero > 0 && sensitivity > 0 ? covariance / Math.sqrt(zero * sensitivity) : null;
}

/**
 * The band at an applied pressure, raw, with the covariance of zero and sensitivity (JCGM 100 H.3.5).
 * @param appliedKpa pressure, kPa
 * @param of `line`: where the line lies; `reading`: where one further reading lies
 */
export function bandAt(
  assessment: CalibrationAssessment,
  appliedKpa: number,
  of: 'line' | 'reading',
): Estimate {
  const { line } = assessment;
  const value = line.intercept + line.slope * appliedKpa;
  return estimate(assessment, value, [1, appliedKpa], of === 'reading' ? 1 : 0);
}

/**
 * The pressure of one reading, kPa, by the line read backward: its uncertainty holds the reading's scatter, the
 * line's with covariance, and the reference's. It is for a pressure against the calibration's own zero; where the
 * zero is read anew for a trial, the budget (core/budget.ts) takes that instead.
 * @param raw one reading, raw
 */
export function pressureFromRaw(assessment: CalibrationAssessment, raw: number): Estimate {
  const { line } = assessment;
  const kpa = (raw - line.intercept) / line.slope;
  return estimate(assessment, kpa, [1, kpa], 1, line.slope);
}

function byNominalPressure(points: readonly AssessedPoint[]): AssessedPoint[][] {
  const sorted = points.toSorted((a, b) => a.appliedKpa - b.appliedKpa);
  const reach = ONE_PRESSURE * (sorted.at(-1)!.appliedKpa - sorted[0]!.appliedKpa);
  const groups: AssessedPoint[][] = [];
  for (const point of sorted) {
    const last = groups.at(-1);
    if (last !== undefined && point.appliedKpa - last[0]!.appliedKpa <= reach) last.push(point);
    else groups.push([point]);
  }
  return groups;
}

const residualsOf = (points: readonly AssessedPoint[], direction: 'up' | 'down') =>
  points.filter((point) => point.direction === direction).map((point) => point.residualRaw);

/** Largest deviations, raw, of the mean of up and down from the two straight lines of the definitions. */
function nonlinearity(pressures: readonly AssessedPoint[][]) {
  if (pressures.length < 3) return { independent: null, terminal: null };
  const x = pressures.map((group) => mean(group.map((point) => point.appliedKpa))!);
  const y = pressures.map((group) => {
    const sides = [mean(residualsOf(group, 'up')), mean(residualsOf(group, 'down'))];
    const known = sides.filter((side) => side !== null);
    return mean(known) ?? mean(group.map((point) => point.residualRaw))!;
  });
  const slopeBetween = (i: number, j: number) => (y[j]! - y[i]!) / (x[j]! - x[i]!);
  // The line of least largest deviation runs along an edge of the points' convex hull, and so along some pair.
  let independent = Infinity;
  for (let i = 0; i < x.length; i++)
    for (let j = i + 1; j < x.length; j++) {
      const slope = slopeBetween(i, j);
      const tilted = y.map((value, k) => value - slope * x[k]!);
      independent = Math.min(independent, (largest(tilted) - smallest(tilted)) / 2);
    }
  const ends = slopeBetween(0, x.length - 1);
  const terminal = largest(y.map((value, k) => Math.abs(value - y[0]! - ends * (x[k]! - x[0]!))));
  return { independent, terminal };
}

function hysteresis(pressures: readonly AssessedPoint[][]): number | null {
  const differences = pressures.flatMap((group) =>
    [...Map.groupBy(group, (point) => point.run).values()].flatMap((run) => {
      const [up, down] = [mean(residualsOf(run, 'up')), mean(residualsOf(run, 'down'))];
      return up === null || down === null ? [] : [Math.abs(up - down)];
    }),
  );
  return differences.length === 0 ? null : largest(differences);
}

function repeatability(pressures: readonly AssessedPoint[][]): number | null {
  const spreads = pressures.flatMap((group) =>
    (['up', 'down'] as const).flatMap((direction) => {
      const same = group.filter((point) => point.direction === direction);
      if (new Set(same.map((point) => point.run)).size < 2) return [];
      const raws = same.map((point) => point.residualRaw);
      return [largest(raws) - smallest(raws)];
    }),
  );
  return spreads.length === 0 ? null : largest(spreads);
}
