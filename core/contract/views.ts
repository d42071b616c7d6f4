/** What screens are given to show. Quantities carry their unit in the name; null is "cannot be computed". */
import type { FilmS, TraceS } from '../base/units.ts';
import type { LabError, Refusal } from '../base/refusal.ts';
import type { Hand } from '../base/hand.ts';
import type { Shown } from '../base/shown.ts';
import type { CalibrationVerdict } from '../sensor/calibration.ts';
import type { TrialResult } from '../trial/result.ts';
import type { MarkingProgress } from '../trial/progress.ts';
import type { AreaUsed } from '../trial/input.ts';
import type { Protocol } from '../protocol/protocol.ts';
import type { ClockLine } from '../clock/clock.ts';
import type { Section } from '../stroke/stroke.ts';
import type { TrialMarking } from '../marking/words.ts';

/** Long work: how far it is, and what came of it. */
export interface JobView {
  readonly job: number;
  readonly what: string;
  readonly state: 'running' | 'done' | 'failed' | 'cancelled';
  /** Steps done of steps known so far; of the step under way the share that is done. */
  readonly done: number;
  readonly total: number;
  /** The day that was opened, once done. */
  readonly day: number | null;
  /** What came of it, in a sentence, once done; empty where there is nothing to tell. */
  readonly says: string;
  readonly error: LabError | null;
}

export interface PlaceEntry {
  readonly name: string;
  readonly path: string;
  /** True where the folder holds a day.json. */
  readonly isDay: boolean;
}

export interface PlaceList {
  /** The folder listed; null for the list of allowed places. */
  readonly path: string | null;
  /** The folder above, where it is allowed too. */
  readonly parent: string | null;
  readonly isDay: boolean;
  readonly entries: readonly PlaceEntry[];
}

export interface DaySummary {
  readonly id: number;
  readonly day: string;
  readonly date: string | null;
  readonly venue: string | null;
  readonly swimmers: number;
  readonly trials: number;
  readonly good: number;
  readonly look: number;
  readonly swimAgain: number;
  readonly refused: number;
  /** ISO 8601 instant at which the day was last opened from its folder, or begun here. */
  readonly openedAt: string;
  /** True where the day is run here, from a protocol. */
  readonly onDeck: boolean;
  /** Trials known to rest on damaged evidence. */
  readonly damaged: number;
  /** Why the day cannot be read; null where it can. What is not known of it is 0 or null then. */
  readonly fault: LabError | null;
}

export interface CalibrationView {
  readonly sensor: string;
  readonly hand: Hand | null;
  readonly verdict: CalibrationVerdict;
  readonly sensitivityRawPerKpa: number | null;
  readonly sensitivityU: number | null;
  readonly nonlinearityPctFs: number | null;
  readonly hysteresisPctFs: number | null;
  readonly residualSdKpa: number | null;
  /** Largest deviation from a known pressure at the start and the end of the day, kPa; null where none was read. */
  readonly checkStartKpa: number | null;
  readonly checkEndKpa: number | null;
}

/** The calibration that a force is computed with. */
export interface CalibrationUsed {
  /** One sentence: which one, by which rule, or why there is none. */
  readonly says: string;
  /** Ids of the calibrations it comes from, where the register has them. */
  readonly from: readonly string[];
  readonly verdict: CalibrationVerdict;
}

export type TrialStatus = 'recorded' | 'accepted' | 'excluded';

/** A file that numbers rest on and that is no longer what came in. */
export interface EvidenceFault {
  readonly file: string;
  /** One sentence. */
  readonly says: string;
}

/** A trial in the day's list. */
export interface TrialSummary {
  readonly trial: Shown<string>;
  readonly participant: Shown<string>;
  readonly attempt: number | null;
  readonly condition: string | null;
  readonly status: TrialStatus;
  readonly exclusionReason: Shown<string> | null;
  readonly hasTrace: boolean;
  readonly hasFilm: boolean;
  readonly result: Omit<TrialResult, 'strokes'>;
  readonly progress: MarkingProgress;
  readonly areas: Readonly<Record<Hand, AreaUsed | null>>;
  /** Null for a hand without a sensor. */
  readonly calibrations: Readonly<Record<Hand, CalibrationUsed | null>>;
  /** Damaged files that its numbers rest on. */
  readonly evidence: readonly EvidenceFault[];
}

export interface DayView {
  readonly id: number;
  readonly day: string;
  readonly date: string | null;
  readonly venue: string | null;
  readonly poolLengthM: number | null;
  readonly protocol: Protocol;
  readonly trials: readonly TrialSummary[];
  readonly calibrations: readonly CalibrationView[];
  readonly refused: readonly Refusal[];
  /** Left out because consent is withdrawn or missing: counts only. */
  readonly leftOut: { readonly swimmers: number; readonly trials: number };
  readonly openedAt: string;
  /** True where the day is run here, from a protocol. */
  readonly onDeck: boolean;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

/** A camera's film of a trial. */
export interface FilmView {
  readonly camera: string;
  readonly file: string;
  /** Presentation time of each frame, s, ascending. */
  readonly frameTimesS: readonly FilmS[];
  /** Median frame interval, s; null where the film could not be read. */
  readonly frameIntervalS: number | null;
  readonly codec: string | null;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Trace clock against this camera's; null where nothing ties them. */
  readonly clock: Pick<ClockLine, 'offsetS' | 'rate'> | null;
  /** Why the film cannot be shown; null where it can. */
  readonly fault: string | null;
}

/** The trace's grid: sample k lies at startS + k / rateHz. */
export interface TraceView {
  readonly startS: TraceS;
  readonly rateHz: number;
  readonly count: number;
  /** Filled gaps of each hand longer than the protocol allows, s. */
  readonly gaps: Readonly<Record<Hand, readonly { readonly startS: TraceS; readonly endS: TraceS }[]>>;
  readonly hasForce: Readonly<Record<Hand, boolean>>;
  /** Unit of each hand's readings as they stand in the trace; null where it is not stated. */
  readonly units: Readonly<Record<Hand, string | null>>;
}

/** One input a trial's numbers came from. */
export interface InputView {
  readonly what: string;
  readonly file: string;
  readonly sha256: string;
}

export interface TrialView {
  readonly dayId: number;
  readonly day: string;
  readonly trial: Shown<string>;
  readonly participant: Shown<string>;
  readonly attempt: number | null;
  readonly condition: string | null;
  readonly status: TrialStatus;
  readonly exclusionReason: Shown<string> | null;
  readonly timingMethod: string | null;
  readonly section: Section | null;
  readonly protocol: Protocol;
  readonly poolLengthM: number | null;
  readonly trace: TraceView | null;
  readonly films: readonly FilmView[];
  readonly result: TrialResult;
  readonly progress: MarkingProgress;
  readonly areas: Readonly<Record<Hand, AreaUsed | null>>;
  /** Null for a hand without a sensor. */
  readonly calibrations: Readonly<Record<Hand, CalibrationUsed | null>>;
  readonly inputs: readonly InputView[];
  /** Damaged files that its numbers rest on. */
  readonly evidence: readonly EvidenceFault[];
  readonly marking: TrialMarking;
  /** Why a person chose the rater who is reported; null where nobody did, empty where it was not asked for then. */
  readonly reportedWhy: Shown<string> | null;
  readonly previousTrial: Shown<string> | null;
  readonly nextTrial: Shown<string> | null;
  /** The next trial without a mark, of those of the person at work, else of the day; null where none is left. */
  readonly nextUnmarked: Shown<string> | null;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

/** One recorded decision. */
export interface HistoryEntry {
  readonly id: number;
  readonly trial: Shown<string> | null;
  /** What was decided, as a sentence. */
  readonly says: Shown<string>;
  readonly who: string;
  /** ISO 8601 instant. */
  readonly at: string;
  readonly undone: boolean;
}
