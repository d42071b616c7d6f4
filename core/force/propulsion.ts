/**
 * Start and end of propulsion proposed from a hand's force by a rule that a person can see and check by eye. They are
 * proposals: a person confirms them. Force tells when the hand is loaded, not when it moves backward, so the kinematic
 * definition of the phases (Chollet, Chalies & Chatard 2000) is not what this finds; no published threshold is known.
 * One published study found the hand force during entry and catch near 29 % of the mean of the propulsive phase (ISBS
 * Proceedings 38(1), 2020, paper 80), so a low threshold starts too early: see {@link LOW_THRESHOLD_NOTE}.
 *
 * The rule: the largest force that belongs to no pulse yet is the peak of a pulse. To both sides the pulse reaches as
 * far as the force stays at or above `leavePct` of that peak; it starts where, coming from the left, `enterPct` is
 * first reached, and ends where the force falls below `leavePct`. Between the two thresholds nothing begins and nothing
 * ends (hysteresis), so that a dip between pull and push does not split a stroke.
 */
import type { NewtonSeries, TraceS } from '../base/units.ts';
import { type Outcome, failed, done } from '../base/refusal.ts';
import { median } from '../base/statistics.ts';

export interface PropulsionRule {
  /** Threshold that begins a pulse, % of the pulse's peak, above 0 and below 100. */
  readonly enterPct: number;
  /** Lower threshold that ends it, % of the pulse's peak, above 0 and at most `enterPct`. */
  readonly leavePct: number;
  /** Shorter pulses are no propulsion, s. */
  readonly leastS: number;
  /** Lower peaks are no propulsion, N; above 0. */
  readonly leastPeakN: number;
}

/**
 * The rule a lab begins with: of the thresholds tried, those that lie nearest to film over the invented sample day and
 * variants of it (test/bench/propulsion.ts prints the bias: about 19 ms late and 10 ms early there, against 60 and 31 ms
 * at 25 and 15 %). For a pulse shaped like half a sine the published entry-and-catch force lies near 19 % of the peak:
 * where a swimmer's force stands so high before the hand moves backward, the threshold is to be raised.
 */
export const DEFAULT_PROPULSION_RULE: PropulsionRule = {
  enterPct: 8,
  leavePct: 4,
  leastS: 0.15,
  leastPeakN: 20,
};

/** For the screen, beside the threshold. */
export const LOW_THRESHOLD_NOTE =
  'One published study found the hand force during entry and catch near 29 % of the mean force of the propulsive phase (ISBS Proceedings 38(1), 2020, paper 80): a low threshold starts propulsion too early.';

/** One pulse of force; its times lie on samples. */
export interface PropulsionProposal {
  /** s, on the trace's clock. */
  readonly startS: TraceS;
  readonly endS: TraceS;
  /** Largest force of the pulse, N, and when, s. */
  readonly peakN: number;
  readonly peakS: number;
  /** Standard uncertainty of the moments for the thresholds, which all pulses of the hand share, s. */
  readonly startSharedUS: number;
  readonly endSharedUS: number;
  /** Standard uncertainty of each moment alone, s: reading to a sample, and how unlike the pulses rise and fall. */
  readonly startUS: number;
  readonly endUS: number;
}

export interface PropulsionFault {
  readonly code: 'rule_unusable' | 'nothing_found';
  readonly says: string;
  readonly todo: string;
}

/** What is wrong with a rule, one sentence; null where it can be used. */
export function ruleFault(rule: PropulsionRule): string | null {
  const { enterPct, leavePct, leastS, leastPeakN } = rule;
  if (!(enterPct > 0 && enterPct < 100))
    return 'The threshold must lie above 0 % and below 100 % of the peak.';
  if (!(leavePct > 0 && leavePct <= enterPct))
    return 'The threshold that ends a pulse must lie above 0 % and not above the one that begins it.';
  if (!(leastS >= 0)) return 'The least duration must not be below 0 s.';
  return leastPeakN > 0 ? null : 'The least peak force must be above 0 N.';
}

/**
 * Proposes the propulsion of every pulse of a hand's force, in the order of time.
 * @param forceN force on the trace's grid, N; a sample that is NaN belongs to no pulse
 * @param grid sample k lies at startS + k / rateHz
 * Fails where the rule cannot be used or no pulse fulfils it. A pulse cut off by an end of the trace is none. Whether a
 * pulse touches a filled gap is for the caller to ask (`touchesGap`).
 */
export function proposePropulsion(
  forceN: NewtonSeries,
  grid: { readonly startS: number; readonly rateHz: number },
  rule: PropulsionRule,
): Outcome<readonly PropulsionProposal[], PropulsionFault> {
  const fault = ruleFault(rule);
  if (fault !== null)
    return failed({ code: 'rule_unusable', says: fault, todo: 'Correct the setting of the rule.' });
  const taken = new Uint8Array(forceN.length);
  const at = (k: number) => grid.startS + k / grid.rateHz;
  const found: Found[] = [];
  for (const peak of peaksOf(forceN, rule.leastPeakN)) {
    if (taken[peak] === 1) continue;
    const pulse = pulseAround(forceN, taken, peak, rule);
    if (pulse === null || at(pulse.end) - at(pulse.start) < rule.leastS) continue;
    found.push({
      pulse: { startS: at(pulse.start), endS: at(pulse.end), peakN: forceN[peak]!, peakS: at(peak) },
      startU: thresholdU(forceN, peak, -1, rule.enterPct) / grid.rateHz,
      endU: thresholdU(forceN, peak, 1, rule.leavePct) / grid.rateHz,
    });
  }
  if (found.length === 0)
    return failed({
      code: 'nothing_found',
      says: `No pulse of this hand’s force reaches ${rule.leastPeakN} N for ${rule.leastS} s.`,
      todo: 'See that zero, calibration and hand area are right; or lower the least peak or duration; or mark by hand.',
    });
  return done(withUncertainty(found, 1 / grid.rateHz).toSorted((a, b) => a.startS - b.startS));
}

interface Found {
  readonly pulse: Pick<PropulsionProposal, 'startS' | 'endS' | 'peakN' | 'peakS'>;
  /** Standard uncertainties for the thresholds, s. */
  readonly startU: number;
  readonly endU: number;
}

/** What the hand's pulses have in common is shared; what is left of each, and reading to a sample, is its own. */
function withUncertainty(found: readonly Found[], stepS: number): readonly PropulsionProposal[] {
  const startSharedUS = median(found.map(({ startU }) => startU))!;
  const endSharedUS = median(found.map(({ endU }) => endU))!;
  const reading = stepS / Math.sqrt(12);
  return found.map(({ pulse, startU, endU }) => ({
    ...pulse,
    startSharedUS,
    endSharedUS,
    startUS: Math.hypot(reading, startU - startSharedUS),
    endUS: Math.hypot(reading, endU - endSharedUS),
  }));
}

/**
 * Standard uncertainty of a crossing for its threshold, samples. Propulsion may begin anywhere from no force at all to
 * twice the threshold (no source), rectangular (JCGM 100 4.3.7): as far from the crossing, by the slope that the force
 * has from the threshold to twice it, or to halfway from it to the peak where that is less.
 * @param step −1 for the start, 1 for the end
 */
function thresholdU(forceN: Float64Array, peak: number, step: 1 | -1, pct: number): number {
  const higherPct = Math.min(2 * pct, (pct + 100) / 2);
  const crossing = (levelPct: number) => {
    const level = (levelPct / 100) * forceN[peak]!;
    let k = peak;
    while (k + step >= 0 && k + step < forceN.length && forceN[k + step]! >= level) k += step;
    return Math.abs(k - peak);
  };
  const across = crossing(pct) - crossing(higherPct);
  return (across * (pct / (higherPct - pct))) / Math.sqrt(3);
}

/** Samples that are no lower than their neighbours and high enough, the highest first. */
function peaksOf(forceN: NewtonSeries, leastN: number): readonly number[] {
  const peaks: number[] = [];
  for (let k = 1; k + 1 < forceN.length; k++) {
    const force = forceN[k]!;
    if (force >= leastN && force >= forceN[k - 1]! && force >= forceN[k + 1]!) peaks.push(k);
  }
  return peaks.sort((a, b) => forceN[b]! - forceN[a]! || a - b);
}

/**
 * The pulse around a peak, as samples; takes what it reaches over. Null where it is cut off by an end of the trace, or
 * is only the foot of a larger pulse: between the two the force must have been below the threshold that begins one.
 */
function pulseAround(
  forceN: NewtonSeries,
  taken: Uint8Array,
  peak: number,
  rule: PropulsionRule,
): { readonly start: number; readonly end: number } | null {
  const enter = (rule.enterPct / 100) * forceN[peak]!;
  const leave = (rule.leavePct / 100) * forceN[peak]!;
  const reach = (step: 1 | -1) => {
    let k = peak;
    let lowest = peak;
    for (;;) {
      const next = k + step;
      if (next < 0 || next >= forceN.length) return { ends: 'trace', k, lowest } as const;
      if (taken[next] === 1) return { ends: 'pulse', k, lowest } as const;
      if (!(forceN[next]! >= leave)) return { ends: 'force', k, lowest: k } as const;
      k = next;
      if (forceN[k]! < forceN[lowest]!) lowest = k;
    }
  };
  const [left, right] = [reach(-1), reach(1)];
  taken.fill(1, left.k, right.k + 1);
  if (left.ends === 'trace' || right.ends === 'trace') return null;
  if ([left, right].some(({ ends, lowest }) => ends === 'pulse' && forceN[lowest]! >= enter)) return null;
  let start = left.lowest;
  while (forceN[start]! < enter) start++;
  const end = right.lowest;
  return {
    start: nearer(forceN, start - 1, start, enter),
    end: right.ends === 'force' ? nearer(forceN, end, end + 1, leave) : end,
  };
}

/** Of two neighbouring samples, the one nearer to where a straight line between them crosses the level. */
function nearer(forceN: NewtonSeries, before: number, after: number, level: number): number {
  const [from, to] = [forceN[before]!, forceN[after]!];
  if (Number.isNaN(from)) return after;
  if (Number.isNaN(to)) return before;
  return (level - from) / (to - from) < 0.5 ? before : after;
}
