/** From what a day's tables and files say of a trial to the input of its analysis. */
import type { SampledTrace } from '../force/trace.ts';
import { type TrialEntry, type Daybook, sensorWorn, traceColumnsOf } from '../day/book.ts';
import type { Sensor } from '../day/day.ts';
import type { Elsewhere } from '../day/elsewhere.ts';
import { pressureOutcome } from '../day/checks.ts';
import { NO_ZEROS } from '../sensor/calibration.ts';
import type { Section } from '../stroke/stroke.ts';
import type { TrialInput, HandInput } from './result.ts';
import type { Refusal } from '../base/refusal.ts';
import { assembleStrokes, clockFlags, clocksOf } from '../marking/marking.ts';
import { MAIN_CAMERA } from '../clock/clock.ts';
import { type Hand, HANDS } from '../base/hand.ts';

/** What the files of a trial gave. */
export interface TrialFiles {
  readonly trace: SampledTrace | null;
  /** Median frame interval of each film that could be read, s, by camera. */
  readonly filmStepS: ReadonlyMap<string, number>;
}

/** The measured section of a trial; null where a time is missing. */
export function sectionOf(entry: TrialEntry): Section | null {
  const { section_start_s: startS, section_end_s: endS } = entry.row;
  return startS === null || endS === null || endS <= startS ? null : { startS, endS };
}

/** Puts the input of a trial's analysis together; marks that cannot be used come back refused. */
export function toTrialInput(
  book: Daybook,
  entry: TrialEntry,
  files: TrialFiles,
): { readonly input: TrialInput; readonly refused: readonly Refusal[] } {
  const { day } = book;
  const frameStepS = new Map<string, number>();
  for (const { camera, frameRateHz } of day.cameras)
    if (frameRateHz !== null) frameStepS.set(camera, 1 / frameRateHz);
  for (const [camera, step] of files.filmStepS) frameStepS.set(camera, step);
  const clocks = {
    sampleStepS: files.trace === null ? null : 1 / files.trace.rateHz,
    frameStepS,
    pairs: entry.pairs,
    markingUS: day.protocol.markingUS,
  };
  const marking = assembleStrokes(entry.events, entry.judgements, clocks);
  const flags = [...marking.flags, ...clockFlags(clocks)];
  const input: TrialInput = {
    protocol: day.protocol,
    pool: day.pool,
    trace: files.trace,
    hands: { left: handOf(book, entry, 'left'), right: handOf(book, entry, 'right') },
    section: sectionOf(entry),
    timingUS: entry.row.timing_u_s,
    strokes: marking.strokes,
    clock: clocksOf(entry.pairs).get(MAIN_CAMERA) ?? null,
    rater: entry.events[0]?.value.rater ?? null,
    flags,
  };
  const estimated = HANDS.some(
    (hand) =>
      files.trace?.[hand] != null &&
      input.hands[hand].elsewhere?.quantity !== 'force' &&
      areaUsed(entry, hand)?.method === 'estimated',
  );
  return {
    input: estimated ? { ...input, flags: [...flags, 'area_estimated'] } : input,
    refused: marking.refused,
  };
}

/** What the tables of a day say of one hand of a trial. */
export function handOf(book: Daybook, entry: TrialEntry, hand: Hand): HandInput {
  const code = sensorWorn(book.day, entry.row, hand);
  const known = code === null ? undefined : book.calibrations.get(code);
  const about = known?.sensor ?? book.day.sensors.find(({ sensor }) => sensor === code);
  const area = areaUsed(entry, hand);
  const column = traceColumnsOf(book.day, entry.row)[hand];
  const elsewhere = column?.elsewhere ?? null;
  const calibration = elsewhere === null ? (known?.calibration ?? null) : null;
  const limits = rawLimits(about, elsewhere);
  return {
    calibration,
    calibrationVerdict: elsewhere === null ? (known?.verdict ?? null) : null,
    elsewhere,
    zeros: (code === null ? undefined : entry.zeros.get(code)) ?? NO_ZEROS,
    dayZeros: (code === null ? undefined : book.dayZeros.get(code)) ?? NO_ZEROS,
    hasColumn: column !== null,
    check: code === null ? null : pressureOutcome(book.checks.get(code) ?? [], calibration, elsewhere),
    areaCm2: area?.cm2 ?? null,
    areaUCm2: area?.uCm2 ?? null,
    rawMin: limits?.rawMin ?? null,
    rawMax: limits?.rawMax ?? null,
  };
}

/** The ends of a sensor's raw range; null where the trace holds another unit than theirs. */
function rawLimits(sensor: Sensor | undefined, elsewhere: Elsewhere | null): Sensor | null {
  if (sensor === undefined) return null;
  return elsewhere === null || sensor.rawUnit === elsewhere.unit ? sensor : null;
}

/** The area of a hand that a trial's force is computed with, and how it was come by; null where none is known. */
export function areaUsed(entry: TrialEntry, hand: Hand): AreaUsed | null {
  const kept = entry.areas?.[hand];
  if (kept) return { cm2: kept.cm2, uCm2: kept.uCm2, method: kept.method, says: kept.says };
  const { participant } = entry;
  const [cm2, ownU, method] =
    hand === 'left'
      ? [participant.left_hand_area_cm2, participant.left_hand_area_u_cm2, participant.left_hand_area_method]
      : [
          participant.right_hand_area_cm2,
          participant.right_hand_area_u_cm2,
          participant.right_hand_area_method,
        ];
  if (cm2 === null) return null;
  const uCm2 = ownU ?? participant.hand_area_u_cm2;
  return { cm2, uCm2, method: method ?? 'roster', says: 'As roster.csv gives it.' };
}

/** The hand area that a force is computed with. */
export interface AreaUsed {
  readonly cm2: number;
  /** Standard uncertainty, cm²; null where it is not known. */
  readonly uCm2: number | null;
  readonly method: 'roster' | 'traced' | 'typed' | 'estimated';
  /** One sentence: where it comes from and how far it can be trusted. */
  readonly says: string;
}
