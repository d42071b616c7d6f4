/**
 * How far the marking of a trial has come: strokes done of strokes expected, and what is missing. Strokes are expected
 * where the force shows one in the measured section; that is an estimate (core/force/strokecounter.ts) for the person who
 * marks, and enters no number and no file.
 */
import { largest, smallest } from '../base/extent.ts';
import { type Hand, HANDS } from '../base/hand.ts';
import { countStrokes } from '../force/strokecounter.ts';
import type { Section, Stroke } from '../stroke/stroke.ts';
import type { SampledTrace } from '../force/trace.ts';
import type { TrialCheck } from './check.ts';
import type { TrialSeries } from './result.ts';

/** A hand's strokes in the measured section. */
export interface HandProgress {
  /** With a propulsion start and end, left out or not. */
  readonly done: number;
  /** About how many there are; null where neither force nor section tells. */
  readonly expected: number | null;
  /** What is missing, as sentences; empty where nothing is known to be. */
  readonly missing: readonly string[];
}

export type MarkingProgress = Readonly<Record<Hand, HandProgress>>;

/** What the progress is read from. */
export interface MarkedTrial {
  readonly strokes: readonly Stroke[];
  readonly section: Section | null;
  readonly trace: Pick<SampledTrace, 'startS' | 'rateHz'> | null;
}

/** How far each hand is marked. `series` is the hands' force, N, or pressure, kPa, on the trace's grid. */
export function markingProgress(trial: MarkedTrial, series: TrialSeries): MarkingProgress {
  const of = (hand: Hand) => handProgress(hand, trial, series[hand].forceN ?? series[hand].pressureKpa);
  return { left: of('left'), right: of('right') };
}

function handProgress(
  hand: Hand,
  { strokes, section, trace }: MarkedTrial,
  load: Float64Array | null,
): HandProgress {
  const own = strokes.filter((stroke) => stroke.hand === hand);
  const touching = own.filter((stroke) => touches(stroke, section));
  const whole = touching.filter(isWhole);
  const done = section === null ? whole.length : whole.filter((stroke) => liesWithin(stroke, section)).length;
  const begun = touching.filter((stroke) => !isWhole(stroke) && stroke.exclusionReason === null);
  const seen =
    load === null || trace === null || section === null
      ? null
      : countStrokes(load, trace).filter(
          ({ startS, endS }) => startS >= section.startS && endS <= section.endS,
        );
  const open = (seen ?? []).filter(
    ({ startS, endS }) => !own.some((stroke) => overlaps(stroke, startS, endS)),
  );
  const missing = begun.map(
    (stroke) => `${capital(hand)} stroke ${stroke.number} lacks its ${lacks(stroke)}.`,
  );
  if (open.length > 0) {
    const [about, are] = open.length === 1 ? ['1 stroke', 'is'] : [`${open.length} strokes`, 'are'];
    missing.push(
      `About ${about} of the ${hand} hand ${are} not marked yet, by its force: the first at ${open[0]!.startS.toFixed(1)} s.`,
    );
  }
  return { done, expected: seen === null ? null : done + begun.length + open.length, missing };
}

/** True where any mark of a stroke lies in the section, or there is none. */
function touches({ marks }: Stroke, section: Section | null): boolean {
  return (
    section === null ||
    Object.values(marks).some(({ timeS }) => timeS >= section.startS && timeS <= section.endS)
  );
}

function isWhole({ marks }: Stroke): boolean {
  return marks.propulsion_start !== undefined && marks.propulsion_end !== undefined;
}

function liesWithin({ marks }: Stroke, { startS, endS }: Section): boolean {
  return marks.propulsion_start!.timeS >= startS && marks.propulsion_end!.timeS <= endS;
}

/** True where what is marked of a stroke meets a stretch of time, s. */
function overlaps({ marks }: Stroke, fromS: number, toS: number): boolean {
  const times = Object.values(marks).map(({ timeS }) => timeS);
  return smallest(times) < toS && largest(times) > fromS;
}

function lacks({ marks }: Stroke): string {
  const none = [
    marks.propulsion_start === undefined ? 'propulsion start' : null,
    marks.propulsion_end === undefined ? 'propulsion end' : null,
  ];
  return none.filter((event) => event !== null).join(' and ');
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** What a check is called while its trial is marked by half. */
export const UNFINISHED_WORDS = 'Marking not finished';

/** A check as a screen shows it. */
export interface ShownCheck extends TrialCheck {
  /** True where too few strokes count because they are not marked yet. */
  readonly unfinished: boolean;
}

/**
 * The check of a trial for a screen: too few strokes of a hand that is marked by half do not ask for another swim, what
 * is missing stands in their place. In files the check stays as formats.md defines it.
 */
export function shownCheck(check: TrialCheck, progress: MarkingProgress): ShownCheck {
  const halfMarked = (hand: Hand | undefined) => hand !== undefined && progress[hand].missing.length > 0;
  const unfinished = check.findings.some(({ tooFewOf }) => halfMarked(tooFewOf));
  if (!unfinished) return { ...check, unfinished };
  const rest = check.findings.filter(({ tooFewOf }) => !halfMarked(tooFewOf));
  const missing = HANDS.flatMap((hand) => progress[hand].missing).map(
    (says) => ({ verdict: 'look', says }) as const,
  );
  const verdict = rest.some((finding) => finding.verdict === 'swim_again') ? 'swim_again' : 'look';
  return { verdict, findings: [...rest, ...missing], unfinished };
}
