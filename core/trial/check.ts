/**
 * Is this trial good, or must it be swum again? The protocol's acceptance limits, each with its value and a reason.
 * `swim_again`: a limit is broken, or there is no readable trace. `look`: a limit could not be judged, is broken outside
 * the section only, or the clock or a sensor cannot be believed. `good`: every limit holds. Contract: formats.md
 * section 3; what counts as judged is this project's reading of it (DEVELOPERS.md).
 */
import { type Hand, HANDS } from '../base/hand.ts';
import type { AcceptanceLimits } from '../protocol/protocol.ts';

export type TrialVerdict = 'good' | 'look' | 'swim_again';

/** The verdict as screens and pages say it; `look` is a value of formats.md. */
export const VERDICT_WORDS: Readonly<Record<TrialVerdict, string>> = {
  good: 'Good',
  look: 'In doubt',
  swim_again: 'Swim again',
};

/** One finding of the check. */
export interface CheckFinding {
  readonly verdict: Exclude<TrialVerdict, 'good'>;
  /** A sentence for the person on deck. */
  readonly says: string;
  /** The hand of which too few strokes count; absent for every other finding. */
  readonly tooFewOf?: Hand;
}

export interface TrialCheck {
  readonly verdict: TrialVerdict;
  readonly findings: readonly CheckFinding[];
}

/** What the check looks at, per hand. */
export interface HandEvidence {
  /** False where day.json names no column for this hand. */
  readonly hasColumn: boolean;
  /** False where the trial has no samples for this hand. */
  readonly hasSamples: boolean;
  /** Longest filled gap in the section and anywhere, ms; 0 without a gap. */
  readonly gapInSectionMs: number;
  readonly gapAnywhereMs: number;
  /** Share of saturated samples, 0…1. */
  readonly saturatedFraction: number;
  /** False where the sensor's raw range is not stated, so that nobody can tell a saturated sample. */
  readonly rangeStated: boolean;
  /** Number of saturated samples in the section; 0 without a section. */
  readonly saturatedInSection: number;
  /** Zero after less zero before, kPa; null without both. */
  readonly zeroShiftKpa: number | null;
  /** True where the zero was read both before and after. */
  readonly zerosRead: boolean;
  /** The deviation by which the sensor failed its known pressures, kPa; null where it did not. */
  readonly checkFailedKpa: number | null;
  readonly markedStrokes: number;
  /** Strokes whose propulsion lies in the section and that are not excluded. */
  readonly countedStrokes: number;
}

export interface TrialEvidence {
  readonly hands: Readonly<Record<Hand, HandEvidence>>;
  readonly hasTrace: boolean;
  readonly hasSection: boolean;
  /** True where the moments on both clocks contradict one another, or their rate. */
  readonly clockDoubtful: boolean;
}

/** Judges a trial by its protocol's limits. */
export function checkTrial(evidence: TrialEvidence, limits: AcceptanceLimits): TrialCheck {
  const findings: CheckFinding[] = [];
  const look = (says: string) => findings.push({ verdict: 'look', says });
  const again = (says: string, tooFewOf?: Hand) =>
    findings.push({ verdict: 'swim_again', says, ...(tooFewOf === undefined ? {} : { tooFewOf }) });
  if (!evidence.hasTrace) again('There is no readable trace, so no force.');
  if (!evidence.hasSection && needsSection(limits)) look('The section times are not set.');
  for (const hand of HANDS) {
    const found = evidence.hands[hand];
    if (evidence.hasTrace) checkSamples(hand, found, limits, look, again);
    if (found.checkFailedKpa !== null)
      look(
        `The ${hand} hand’s sensor read a known pressure wrongly by ${signed(found.checkFailedKpa)} kPa; the limit is ${limits.maxCheckDeviationKpa} kPa.`,
      );
    checkStrokes(hand, found, evidence.hasSection, limits, look, again);
  }
  if (evidence.clockDoubtful)
    look(
      'The moments seen on film and trace do not fit one another, or their clocks run at different rates.',
    );
  const verdict = findings.some((finding) => finding.verdict === 'swim_again')
    ? 'swim_again'
    : findings.length > 0
      ? 'look'
      : 'good';
  return { verdict, findings };
}

/** True where a limit is about the section. */
function needsSection({ minStrokesPerHand, maxGapMs, maxSaturatedFraction }: AcceptanceLimits): boolean {
  return minStrokesPerHand !== null || maxGapMs !== null || maxSaturatedFraction !== null;
}

type Say = (says: string) => void;

function checkSamples(
  hand: Hand,
  found: HandEvidence,
  limits: AcceptanceLimits,
  look: Say,
  again: Say,
): void {
  const { maxGapMs, maxSaturatedFraction, maxZeroShiftKpa } = limits;
  if (!found.hasSamples) {
    // A column without a sample is one gap from end to end; without a column there is nothing to judge.
    if (found.hasColumn && maxGapMs !== null) again(`The ${hand} hand has no samples.`);
    else if (maxGapMs !== null || maxSaturatedFraction !== null || maxZeroShiftKpa !== null)
      look(`The ${hand} hand has no samples to judge.`);
    return;
  }
  const gapLimit = maxGapMs === null ? Infinity : maxGapMs * (1 + 1e-6);
  if (found.gapInSectionMs > gapLimit)
    again(
      `The ${hand} hand lost ${found.gapInSectionMs.toFixed(0)} ms of samples in the section; the limit is ${maxGapMs} ms.`,
    );
  else if (found.gapAnywhereMs > gapLimit)
    look(
      `The ${hand} hand lost ${found.gapAnywhereMs.toFixed(0)} ms of samples outside the section; the limit is ${maxGapMs} ms.`,
    );
  if (maxSaturatedFraction !== null && !found.rangeStated)
    look(`The ${hand} hand’s sensor states no raw range: saturation cannot be judged.`);
  if (maxSaturatedFraction !== null && found.saturatedFraction > maxSaturatedFraction) {
    const says = `${percent(found.saturatedFraction)} of the ${hand} hand’s samples are at the end of the sensor’s range`;
    const limit = `the limit is ${percent(maxSaturatedFraction)}.`;
    if (found.saturatedInSection > 0) again(`${says}; ${limit}`);
    else look(`${says}, none of them in the section; ${limit}`);
  }
  if (maxZeroShiftKpa === null) return;
  if (found.zeroShiftKpa === null)
    look(
      found.zerosRead
        ? `The ${hand} hand’s sensor has no calibration in kPa: its zero shift is not known.`
        : `The ${hand} hand’s zero was not read both before and after the trial.`,
    );
  else if (Math.abs(found.zeroShiftKpa) > maxZeroShiftKpa)
    again(
      `The ${hand} hand’s zero moved by ${signed(found.zeroShiftKpa)} kPa; the limit is ${maxZeroShiftKpa} kPa.`,
    );
}

function checkStrokes(
  hand: Hand,
  found: HandEvidence,
  hasSection: boolean,
  limits: AcceptanceLimits,
  look: Say,
  again: (says: string, tooFewOf: Hand) => void,
): void {
  const { minStrokesPerHand } = limits;
  if (minStrokesPerHand === null) return;
  if (found.markedStrokes === 0) look(`No stroke of the ${hand} hand is marked.`);
  else if (hasSection && found.countedStrokes < minStrokesPerHand)
    again(
      `${found.countedStrokes} strokes of the ${hand} hand count in the section; the protocol asks for ${minStrokesPerHand}.`,
      hand,
    );
}

function percent(fraction: number): string {
  return `${Number((100 * fraction).toPrecision(2))} %`;
}

function signed(value: number): string {
  return `${value > 0 ? '+' : '−'}${Math.abs(value).toFixed(2)}`;
}
