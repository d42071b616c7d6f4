/**
 * A sensor's sensitivity over time: its mean, the limits about it, each calibration in or out, and the drift per year
 * by ordinary least squares (JCGM 100 H.3).
 */
import { mean, fitLine, effectiveCoverageFactor } from '../base/statistics.ts';
import { rootSumSquares } from '../base/uncertainty.ts';
import { figures } from '../base/words.ts';

/** One accepted calibration of the sensor. */
export interface PastCalibration {
  readonly id: string;
  /** Moment, ms since 1970-01-01 UTC. */
  readonly atMs: number;
  /** raw/kPa. */
  readonly sensitivity: number;
  /** Standard uncertainty, raw/kPa; null where not known. */
  readonly sensitivityU: number | null;
}

export interface SensitivityHistory {
  /** Mean sensitivity, raw/kPa, and the limits about it. */
  readonly meanRawPerKpa: number;
  readonly lowerRawPerKpa: number;
  readonly upperRawPerKpa: number;
  /** In the order of time; `changePct` is against the mean. */
  readonly entries: readonly (PastCalibration & { readonly changePct: number; readonly within: boolean })[];
  /**
   * Drift, % of the mean per year, and its standard uncertainty: from the scatter about the line, with two
   * calibrations from their own uncertainties. Null where they lie within less than thirty days.
   */
  readonly driftPctPerYear: number | null;
  readonly driftUPctPerYear: number | null;
  /** Expanded uncertainty of the drift, 95 %, from t; null where the standard one is not known. */
  readonly driftExpandedPctPerYear: number | null;
  /** One sentence: what the history says. */
  readonly says: string;
}

const MS_PER_DAY = 86_400_000;

const MS_PER_YEAR = 365.25 * MS_PER_DAY;

/** Calibrations within fewer days tell of the bench, not of a year (common practice, no source). */
const LEAST_DAYS = 30;

const COVERAGE = 0.95;

/**
 * The history of a sensor's sensitivity.
 * @param past accepted calibrations, in any order
 * @param limitPct limits about the mean, ± %
 * Returns null for an empty list, or where the mean sensitivity is 0: there is nothing to compare with.
 */
export function sensitivityHistory(
  past: readonly PastCalibration[],
  limitPct: number,
): SensitivityHistory | null {
  const centre = mean(past.map(({ sensitivity }) => sensitivity));
  if (centre === null || centre === 0) return null;
  const entries = past
    .toSorted((a, b) => a.atMs - b.atMs)
    .map((entry) => {
      const changePct = 100 * (entry.sensitivity / centre - 1);
      return { ...entry, changePct, within: Math.abs(changePct) <= limitPct };
    });
  const drift = driftOf(entries, centre);
  const reach = (Math.abs(centre) * limitPct) / 100;
  return {
    meanRawPerKpa: centre,
    lowerRawPerKpa: centre - reach,
    upperRawPerKpa: centre + reach,
    entries,
    driftPctPerYear: drift.slope,
    driftUPctPerYear: drift.u,
    driftExpandedPctPerYear: drift.expanded,
    says: sentence(entries, drift, limitPct),
  };
}

interface Drift {
  readonly slope: number | null;
  readonly u: number | null;
  readonly expanded: number | null;
}

function driftOf(entries: SensitivityHistory['entries'], centre: number): Drift {
  const first = entries[0]!;
  const years = entries.map(({ atMs }) => (atMs - first.atMs) / MS_PER_YEAR);
  if (years.at(-1)! * MS_PER_YEAR < LEAST_DAYS * MS_PER_DAY) return { slope: null, u: null, expanded: null };
  const line = fitLine(
    years,
    entries.map(({ changePct }) => changePct),
  );
  if (line === null) return { slope: null, u: null, expanded: null };
  if (line.slopeU !== null) {
    const expanded = effectiveCoverageFactor(COVERAGE, line.n - 2) * line.slopeU;
    return { slope: line.slope, u: line.slopeU, expanded };
  }
  const both = rootSumSquares(entries.map(({ sensitivityU }) => sensitivityU));
  const u = both === null ? null : (100 * both) / Math.abs(centre) / years[1]!;
  const expanded = u === null ? null : effectiveCoverageFactor(COVERAGE, Infinity) * u;
  return { slope: line.slope, u, expanded };
}

function sentence(entries: SensitivityHistory['entries'], drift: Drift, limitPct: number): string {
  if (entries.length === 1) return 'There is one calibration so far; drift shows from the second on.';
  const outside = entries.filter(({ within }) => !within).length;
  const inside =
    outside === 0
      ? `All ${entries.length} calibrations lie within ±${limitPct} % of their mean`
      : `${outside} of ${entries.length} calibrations ${outside === 1 ? 'lies' : 'lie'} outside ±${limitPct} % of their mean`;
  const { slope, expanded } = drift;
  if (slope === null)
    return `${inside}; they were made within ${LEAST_DAYS} days, too close together for a drift per year.`;
  const rate = `${figures(slope, 2)} % per year`;
  if (expanded === null) return `${inside}; the drift is ${rate}, its uncertainty is not known.`;
  const known = `${rate} ± ${figures(expanded, 2)} % per year (95 %)`;
  if (Math.abs(slope) <= expanded) return `${inside}; a drift cannot be told from none (${known}).`;
  const last = entries.at(-1)!;
  const left = (limitPct - Math.sign(slope) * last.changePct) / Math.abs(slope);
  return left <= 0
    ? `${inside}; the sensor drifts by ${known} and has reached its limit: calibrate it before every day or rest it.`
    : `${inside}; the sensor drifts by ${known} and at that rate reaches its limit about ${figures(left, 2)} years after the last calibration.`;
}
