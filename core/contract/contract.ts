/**
 * The contract between the screens and the lab: every call's name, input, output and errors. The preload bridge, the
 * loopback routes and the client are derived from it. A new call is one entry here and one function in main/lab.
 */
import { type RecordingTime, recordingTime } from '../base/recordingtime.ts';
import { z } from 'zod';
import '../base/schemawords.ts';
import type { Hand } from '../base/hand.ts';
import { code, hand } from '../base/codes.ts';
import { call, change, dayId, path } from './call.ts';
import type {
  PlaceList,
  DaySummary,
  JobView,
  DayView,
  TrialView,
  TrialStatus,
  HistoryEntry,
} from './views.ts';
import {
  type MarkRow,
  markRows,
  type JudgementRow,
  judgementRows,
  type PairRow,
  pairRows,
  type SectionWord,
  sectionWord,
} from '../marking/words.ts';
import type { BlindSession, BlindTrial, AgreementView } from './review.ts';
import {
  type BenchView,
  type SensorView,
  type RecordingView,
  type DayZerosView,
  type ZeroProposals,
  type DayAreasView,
  handAreaEntry,
  type ChoiceView,
  type ChoicePreview,
  type BudgetView,
} from './bench.ts';
import {
  type SensorCard,
  sensorCard,
  benchLimits,
  type BenchDraft,
  benchDraft,
  type KeptCalibration,
} from '../sensor/draft.ts';
import type { BenchLimits } from '../sensor/limits.ts';
import type { HandArea } from '../force/handarea.ts';
import { type CalibrationRule, CALIBRATION_RULES } from '../sensor/choice.ts';
import { DECK_CALLS } from './deckcalls.ts';
import { QUEUE_CALLS } from './queue.ts';
import { CLEANING_CALLS } from './cleaning.ts';
import { PLAN_CALLS } from './plans.ts';
import { RELEASE_CALLS } from './releases.ts';
import { RENEWAL_CALLS } from './renewal.ts';
import type { Outcome, LabError } from '../base/refusal.ts';

const nothing = z.strictObject({});

const status = z.enum(['recorded', 'accepted', 'excluded']);

const initials = z.string().trim().min(1).max(40);

const says = z.string().trim().min(1).max(300);

interface Edit<T> {
  readonly day: number;
  readonly trial: string;
  readonly seen: T;
  readonly now: T;
  readonly says: string;
}

function edit<T>(value: z.ZodType<T>): z.ZodType<Edit<T>> {
  return z.strictObject({ day: dayId, trial: code, seen: value, now: value, says });
}

interface BlindEdit<T> {
  readonly session: number;
  readonly item: number;
  readonly seen: T;
  readonly now: T;
  readonly says: string;
}

function blindEdit<T>(value: z.ZodType<T>): z.ZodType<BlindEdit<T>> {
  return z.strictObject({ session: z.number().int(), item: z.number().int(), seen: value, now: value, says });
}

/** What must be known of the lab folder. */
export interface LabNotice extends LabError {
  /** By which a person takes note of it, so that it is shown no more; null where it lasts as long as its cause. */
  readonly note: string | null;
  /** The screen that goes into it; left out where there is none. */
  readonly leads?: 'versions';
}

/** A backup of the lab folder that was made and read back. */
export interface BackupNote {
  readonly says: string;
  /** ISO 8601 instant. */
  readonly at: string;
  readonly folder: string;
  /** True where it is time for the next one. */
  readonly isOld: boolean;
}

/** How often the lab folder is backed up by itself, days, and in which place; null where it is not. */
export interface BackupPlan {
  readonly everyDays: number;
  readonly path: string;
}

export interface AppView {
  readonly version: string;
  readonly labFolder: string;
  /** Folders in which damaged files of the lab were put aside; the person is told while there are any. */
  readonly setAside: readonly string[];
  /** That the lab folder is only looked at, what of it is damaged or lost; without what somebody took note of. */
  readonly notices: readonly LabNotice[];
  /** The latest backup; null where none was made. */
  readonly backup: BackupNote | null;
  readonly backupPlan: BackupPlan | null;
  /** Who is at work: written beside every decision. */
  readonly operator: string;
  /** The lab as it names itself on certificates; null where it does not. */
  readonly labName: string | null;
  /** The sample day: whether it lies with the program, and its id once opened. */
  readonly sample: { readonly available: boolean; readonly day: number | null };
}

/** Which films go along with a day that is written out: all, those that may be shown to others, none. */
export const FILMS_TO_EXPORT = ['all', 'shareable', 'none'] as const;

export type FilmsToExport = (typeof FILMS_TO_EXPORT)[number];

export const CONTRACT = {
  'app.describe': call<Record<string, never>, AppView>(nothing),
  /** Names the lab on its certificates; empty takes the name away. */
  'app.setLabName': call<{ name: string }, AppView>(z.strictObject({ name: z.string().trim().max(200) })),
  'app.setOperator': call<{ operator: string }, AppView>(z.strictObject({ operator: initials })),
  /** Folders a day may be opened from; `path` null lists the allowed places themselves. */
  'places.list': call<{ path: string | null }, PlaceList>(z.strictObject({ path: path.nullable() })),
  'places.allow': call<{ path: string }, PlaceList>(z.strictObject({ path })),
  'places.forbid': call<{ path: string }, PlaceList>(z.strictObject({ path })),
  'days.list': call<Record<string, never>, readonly DaySummary[]>(nothing),
  /** Starts bringing a day folder into the lab folder; follow it with `jobs.get`. */
  'days.open': call<{ path: string }, JobView>(z.strictObject({ path })),
  'days.openSample': call<Record<string, never>, JobView>(nothing),
  'days.get': call<{ day: number }, DayView>(z.strictObject({ day: dayId }), 'day'),
  /** Writes down that the person at work has read a notice of the lab folder. */
  'lab.takeNote': call<{ note: string }, AppView>(z.strictObject({ note: z.string().min(1).max(100) })),
  /** Reads the whole lab folder through: raw files, seals, the chain of acts, the database. */
  'lab.verify': call<Record<string, never>, JobView>(nothing),
  /** Keeps one backup of the lab folder in a place, copying only what changed, and reads back what it copied. */
  'lab.backup': call<{ path: string }, JobView>(z.strictObject({ path })),
  /** Backs up by itself every so many days while the program runs; null ends it. */
  'lab.planBackup': call<{ plan: BackupPlan | null }, AppView>(
    z.strictObject({
      plan: z.strictObject({ everyDays: z.number().int().min(1).max(90), path }).nullable(),
    }),
  ),
  /** Restores a backup into a new or empty folder, as a lab folder to work with. */
  'lab.restore': call<{ from: string; to: string }, JobView>(z.strictObject({ from: path, to: path })),
  'jobs.get': call<{ job: number }, JobView>(z.strictObject({ job: z.number().int() })),
  'jobs.cancel': call<{ job: number }, JobView>(z.strictObject({ job: z.number().int() })),
  'trials.get': call<{ day: number; trial: string }, TrialView>(
    z.strictObject({ day: dayId, trial: code }),
    'trial',
  ),
  /** Accepts, excludes (with a reason) or takes back to recorded. */
  'trials.decide': change<
    { day: number; trial: string; seen: TrialStatus; status: TrialStatus; reason: string },
    TrialView
  >(
    z.strictObject({
      day: dayId,
      trial: code,
      /** The status that was on the screen: where it has changed since, nothing is decided. */
      seen: status,
      status,
      reason: z.string().trim().max(500),
    }),
    'trial',
  ),
  'history.list': call<{ day: number }, readonly HistoryEntry[]>(z.strictObject({ day: dayId })),
  /** Takes back the latest decision of a day; null where there is none. */
  'history.undo': change<{ day: number }, HistoryEntry | null>(z.strictObject({ day: dayId })),
  'history.redo': change<{ day: number }, HistoryEntry | null>(z.strictObject({ day: dayId })),

  /**
   * Puts a trial's marks, judgements, moments on both clocks or section times as the screen has them: one step of the
   * day's history, told in `says`. `seen` is what the screen had before; where it has changed, nothing is kept.
   */
  'marks.edit': change<Edit<readonly MarkRow[]>, TrialView>(edit(markRows), 'trial'),
  'marks.judge': change<Edit<readonly JudgementRow[]>, TrialView>(edit(judgementRows), 'trial'),
  'clock.edit': change<Edit<readonly PairRow[]>, TrialView>(edit(pairRows), 'trial'),
  'section.edit': change<Edit<SectionWord | null>, TrialView>(edit(sectionWord.nullable()), 'trial'),
  /** Chooses, for a reason, the rater whose marks are reported for a trial; both originals stay. */
  'marks.adjudicate': change<
    { day: number; trial: string; rater: string | null; seen: string | null; reason: string },
    TrialView
  >(
    z.strictObject({
      day: dayId,
      trial: code,
      rater: code.nullable(),
      seen: code.nullable(),
      reason: z.string().trim().min(1, 'must not be empty').max(500),
    }),
    'trial',
  ),
  /** Writes the day with all its decisions as a day folder, which `lanebench process` reads to the same numbers. */
  'days.export': call<{ day: number; path: string; films: FilmsToExport }, { path: string; files: number }>(
    z.strictObject({ day: dayId, path, films: z.enum(FILMS_TO_EXPORT) }),
  ),
  'blind.list': call<{ day: number }, readonly BlindSession[]>(z.strictObject({ day: dayId })),
  'blind.start': change<
    { day: number; rater: string; seed: string; trials: readonly string[] },
    BlindSession
  >(
    z.strictObject({
      day: dayId,
      rater: code,
      seed: z.string().min(1).max(100),
      trials: z.array(code).min(1),
    }),
  ),
  'blind.get': call<{ session: number; item: number }, BlindTrial>(
    z.strictObject({ session: z.number().int(), item: z.number().int() }),
    'trial',
  ),
  'blind.marks': change<BlindEdit<readonly MarkRow[]>, BlindTrial>(blindEdit(markRows), 'trial'),
  'blind.judge': change<BlindEdit<readonly JudgementRow[]>, BlindTrial>(blindEdit(judgementRows), 'trial'),
  'blind.close': change<{ session: number }, BlindSession>(z.strictObject({ session: z.number().int() })),
  'agreement.get': call<{ day: number }, AgreementView>(z.strictObject({ day: dayId })),

  /** The lab's sensors with their calibrations. `bench.undo` and `bench.redo` step through what was decided here. */
  'bench.get': call<Record<string, never>, BenchView>(nothing, 'sensors'),
  'bench.undo': call<Record<string, never>, HistoryEntry | null>(nothing),
  'bench.redo': call<Record<string, never>, HistoryEntry | null>(nothing),
  /** Registers a sensor, or changes its card; `seen` is the card on the screen, null for a new sensor. */
  'sensors.save': call<{ card: SensorCard; seen: SensorCard | null }, BenchView>(
    z.strictObject({ card: sensorCard, seen: sensorCard.nullable() }),
    'sensors',
  ),
  'bench.setLimits': call<{ limits: BenchLimits }, BenchView>(
    z.strictObject({ limits: benchLimits }),
    'sensors',
  ),
  /** Keeps the calibration being made as it stands on the screen; null discards it. */
  'bench.draft': call<{ sensor: string; draft: BenchDraft | null }, SensorView>(
    z.strictObject({ sensor: code, draft: benchDraft.nullable() }),
  ),
  /** Ends the draft: it becomes a calibration of the sensor, judged by the lab's limits. */
  'bench.keep': call<{ sensor: string }, KeptCalibration>(z.strictObject({ sensor: code })),
  'calibrations.get': call<{ id: number }, KeptCalibration>(z.strictObject({ id: z.number().int() })),
  /** Opens a recording for the bench; its time is a column (s, ms, us) or a rate. */
  'bench.record': call<{ path: string; time: RecordingTime }, RecordingView>(
    z.strictObject({ path, time: recordingTime }),
  ),
  'zeros.get': call<{ day: number }, DayZerosView>(z.strictObject({ day: dayId })),
  'zeros.propose': call<{ day: number; trial: string; hand: Hand }, ZeroProposals>(
    z.strictObject({ day: dayId, trial: code, hand }),
  ),
  /** Confirms a zero reading, raw; null takes back to what the day's file says. */
  'zeros.confirm': change<
    {
      day: number;
      trial: string;
      sensor: string;
      when: 'before' | 'after';
      raw: number | null;
      seen: number | null;
    },
    DayZerosView
  >(
    z.strictObject({
      day: dayId,
      trial: code,
      sensor: code,
      when: z.enum(['before', 'after']),
      raw: z.number().nullable(),
      seen: z.number().nullable(),
    }),
  ),
  'areas.get': call<{ day: number }, DayAreasView>(z.strictObject({ day: dayId })),
  /** Keeps a hand area for a swimmer of a day; null takes back to what the roster says. */
  'areas.keep': change<
    {
      day: number;
      participant: string;
      hand: Hand;
      area: HandArea | null;
      seen: HandArea | null;
      sure?: boolean | undefined;
    },
    DayAreasView
  >(
    z.strictObject({
      day: dayId,
      participant: code,
      hand,
      area: handAreaEntry.nullable(),
      seen: handAreaEntry.nullable(),
      sure: z.boolean().optional(),
    }),
  ),
  'choice.get': call<{ day: number }, ChoiceView>(z.strictObject({ day: dayId })),
  /** What another rule would change; nothing is kept. */
  'choice.try': call<{ day: number; rule: CalibrationRule }, ChoicePreview>(
    z.strictObject({ day: dayId, rule: z.enum(CALIBRATION_RULES) }),
  ),
  'choice.keep': change<{ day: number; rule: CalibrationRule; seen: CalibrationRule }, ChoiceView>(
    z.strictObject({ day: dayId, rule: z.enum(CALIBRATION_RULES), seen: z.enum(CALIBRATION_RULES) }),
  ),
  /** The uncertainty budget of one hand's force in one trial, at a force in N. */
  'trials.budget': call<{ day: number; trial: string; hand: Hand; forceN: number }, BudgetView>(
    z.strictObject({ day: dayId, trial: code, hand, forceN: z.number().positive() }),
  ),
  ...DECK_CALLS,
  ...QUEUE_CALLS,
  ...CLEANING_CALLS,
  ...PLAN_CALLS,
  ...RELEASE_CALLS,
  ...RENEWAL_CALLS,
} as const;

export type CallName = keyof typeof CONTRACT;

export type CallInput<N extends CallName> = z.infer<(typeof CONTRACT)[N]['input']>;

export type CallOutput<N extends CallName> = NonNullable<(typeof CONTRACT)[N]['output']> | NullIn<N>;

type NullIn<N extends CallName> =
  null extends Exclude<(typeof CONTRACT)[N]['output'], undefined> ? null : never;

export type CallResult<N extends CallName> = Outcome<CallOutput<N>, LabError>;

/** True for the name of a call of the contract. */
export function isCallName(name: string): name is CallName {
  return Object.hasOwn(CONTRACT, name);
}

/** The one way in for a host: carries a call to the lab. The input is checked there, whatever the host. */
export type Carry = (name: string, input: unknown) => Promise<Outcome<unknown, LabError>>;

/** The lab, typed: what the renderer's client offers. */
export type LabClient = <N extends CallName>(name: N, input: CallInput<N>) => Promise<CallResult<N>>;
