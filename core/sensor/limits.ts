/** The limits that a lab judges its calibrations by, and a finding against one of them. */

/** Limits of a lab; a limit that is null is not applied. */
export interface BenchLimits {
  /** Independent non-linearity, % of full scale. */
  readonly nonlinearityPctFs: number | null;
  /** Hysteresis within a run, % of full scale. */
  readonly hysteresisPctFs: number | null;
  /** Spread over the runs, % of full scale. */
  readonly repeatabilityPctFs: number | null;
  /** Residual standard deviation, kPa. */
  readonly residualSdKpa: number | null;
  /** Expanded uncertainty of the sensitivity, % of the sensitivity. */
  readonly sensitivityExpandedPct: number | null;
  /** Change of the sensitivity against the mean of its history, ± %. */
  readonly sensitivityChangePct: number | null;
  readonly leastPoints: number | null;
  readonly leastPressures: number | null;
  /** Largest applied pressure, either way, % of the sensor’s range. */
  readonly leastCoveragePct: number | null;
  /** True where every calibration is to be read up and down. */
  readonly upAndDown: boolean;
}

export type BenchLimitName = keyof BenchLimits;

/** What a lab is offered where it has set nothing. All are common practice without a source, hence the reasons. */
export const DEFAULT_BENCH_LIMITS: BenchLimits = {
  nonlinearityPctFs: 1,
  hysteresisPctFs: 1,
  repeatabilityPctFs: 1,
  residualSdKpa: 0.1,
  sensitivityExpandedPct: 2,
  sensitivityChangePct: 3,
  leastPoints: 10,
  leastPressures: 5,
  leastCoveragePct: 50,
  upAndDown: true,
};

/** Why each default is what it is, one sentence each. */
export const BENCH_LIMIT_REASONS: Readonly<Record<BenchLimitName, string>> = {
  nonlinearityPctFs:
    'A hand area is known to a few percent at best; at 1 % of full scale the sensor’s curve is not what limits the force.',
  hysteresisPctFs:
    'A stroke loads and unloads the sensor; 1 % of full scale keeps the difference below the uncertainty of the hand area.',
  repeatabilityPctFs:
    'Two runs that differ by more than 1 % of full scale differ by more than the sensor’s curve may.',
  residualSdKpa:
    '0.1 kPa is the pressure of 10 mm of water, the depth difference between two taps that cannot be ruled out anyway.',
  sensitivityExpandedPct:
    'It passes straight into every force; 2 % stays below the uncertainty of a traced hand area.',
  sensitivityChangePct:
    'A change of more than 3 % is larger than two good calibrations differ by, so something happened to the sensor or to the bench.',
  leastPoints:
    'Five pressures up and down make ten points, which leave eight degrees of freedom for the scatter.',
  leastPressures:
    'A curve shows itself only between the ends; five pressures show it at the quarters of the range.',
  leastCoveragePct:
    'Beyond the highest pressure applied the line is only drawn on; below half the range most strokes lie there.',
  upAndDown: 'Hysteresis shows only where pressures are reached from both sides.',
};

export type Held = 'yes' | 'no' | 'not_judged';

/** One limit against what was found. */
export interface BenchFinding {
  readonly limit: BenchLimitName | 'line' | 'direction' | 'set_aside' | 'reference';
  /** What was found, in `unit`; null where it could not be found. */
  readonly value: number | null;
  readonly unit: string;
  readonly bound: number | null;
  readonly held: Held;
  /** One sentence: what was found. */
  readonly says: string;
  /** One sentence: what to do; null where there is nothing to do. */
  readonly todo: string | null;
}
