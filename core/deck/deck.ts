/**
 * A testing day while it is being run, as two values of the day's log: the plan (who swims, with which sensors) and the
 * board (what was swum, in which order, which file belongs where, what was noted). Every act of a person makes one new
 * value of one of them, so that it can be taken back in one step.
 * Moments are milliseconds since 1970-01-01T00:00Z.
 */
import { z } from 'zod';
import { plainCode as code, hand, notNegative, positive } from '../base/codes.ts';
import { fileHabits } from '../protocol/content.ts';
import { CONSENTS, FILM_CONSENTS } from '../day/tables.ts';
import type { Hand } from '../base/hand.ts';
import { type SectionWord, sectionWord } from '../marking/words.ts';

/** A code that leaves room for the number of the attempt in the trial's code. */
const participantCode = code.max(56, 'takes at most 56 characters');

/** The pseudo-trial before the first swimmer: its files are kept, looked at, and never part of the dataset. */
export const DRY_RUN = 'dry-run';

export const deckSetup = z.strictObject({
  date: z.iso.date('takes a date such as 2026-03-14'),
  venue: z.string().trim().max(200),
  poolLengthM: positive,
  waterTemperatureC: z.number().min(0).max(40).nullable(),
  latitudeDeg: z.number().min(-90).max(90).nullable(),
  altitudeM: z.number().nullable(),
  files: fileHabits,
});

export type DeckSetup = z.infer<typeof deckSetup>;

export const deckSwimmer = z.strictObject({
  participant: participantCode,
  sex: z.enum(['female', 'male', 'unspecified']).nullable(),
  birthYear: z.number().int().min(1900).max(2100).nullable(),
  heightCm: positive.nullable(),
  massKg: positive.nullable(),
  leftHandAreaCm2: positive.nullable(),
  rightHandAreaCm2: positive.nullable(),
  handAreaUCm2: notNegative.nullable(),
  consents: z.strictObject({
    measuring: z.enum(CONSENTS),
    filming: z.enum(FILM_CONSENTS),
    sharing: z.enum(FILM_CONSENTS),
  }),
  /** The version of the consent text that was signed; empty where not noted. */
  consentTextVersion: z.string().trim().max(60),
  note: z.string().trim().max(1000),
});

export type DeckSwimmer = z.infer<typeof deckSwimmer>;

/** A sensor of the day with the calibration that was in force when it was put on. */
export interface AssignedSensor {
  readonly sensor: string;
  readonly hand: Hand;
  readonly rangeKpa: number | null;
  readonly rawUnit: string | null;
  readonly rawMin: number | null;
  readonly rawMax: number | null;
  readonly calibration: {
    readonly id: number;
    readonly at: string;
    readonly verdict: 'accepted' | 'remark';
    readonly points: readonly {
      readonly appliedKpa: number;
      readonly raw: number;
      readonly direction: 'up' | 'down' | null;
    }[];
    /** Standard uncertainty of its reference: relative, and of its zero, kPa; 0 where none is stated. */
    readonly reference: { readonly scale: number; readonly zeroKpa: number };
  } | null;
}

export interface DeckPlan {
  readonly setup: DeckSetup;
  readonly swimmers: readonly DeckSwimmer[];
  /** Every sensor worn this day. */
  readonly sensors: readonly AssignedSensor[];
  /** What the next swimmer wears. */
  readonly worn: Readonly<Record<Hand, string | null>>;
}

export type BoardState = 'planned' | 'swimming' | 'swum' | 'skipped';

/** What a person made of a trial: kept, to be swum again, or left out without a repeat. */
export type TrialAnswer = 'keep' | 'again' | 'leave';

export interface BoardTrial {
  readonly trial: string;
  readonly participant: string;
  readonly attempt: number;
  readonly condition: string | null;
  readonly state: BoardState;
  readonly beganMs: number | null;
  readonly endedMs: number | null;
  /** Sensors of this trial, from its beginning on; null before. */
  readonly worn: Readonly<Record<Hand, string | null>> | null;
  /** True where each hand wore the other's sensor: the trace's columns are read the other way round. */
  readonly handsSwapped: boolean;
  /** The trial it repeats; null for a planned one. */
  readonly repeatOf: string | null;
  readonly answer: { readonly what: TrialAnswer; readonly reason: string } | null;
  /** Why it was skipped; empty otherwise. */
  readonly skippedWhy: string;
  /** What stopped the swimmer in it, such as shoulder pain; null where nothing did. */
  readonly stopped: { readonly says: string; readonly atMs: number } | null;
  /** Who decided that a swimmer who had been stopped before may swim it; null where nobody had to. */
  readonly clearedBy: string | null;
}

/** Where a file belongs. */
export const fileTarget = z.strictObject({
  /** A trial's code, or `dry-trial`. */
  trial: code,
  as: z.enum(['trace', 'film']),
  /** Of a film; null for a trace. */
  camera: code.nullable(),
});

export type FileTarget = z.infer<typeof fileTarget>;

export interface DeckNote {
  readonly id: number;
  readonly kind: 'note' | 'incident';
  readonly trial: string | null;
  readonly participant: string | null;
  readonly says: string;
  readonly atMs: number;
  readonly who: string;
}

export const CHECKLISTS = ['before', 'close'] as const;

export type Checklist = (typeof CHECKLISTS)[number];

export interface DeckTick {
  readonly list: Checklist;
  readonly item: string;
  readonly initials: string;
  readonly atMs: number;
}

/** A zero read out of the water, or in it with both taps level, at the start and at the end of the day. */
export interface DayZero {
  readonly sensor: string;
  readonly when: 'start' | 'end';
  readonly raw: number;
  readonly atMs: number;
}

/** A known pressure put on a sensor at the start or the end of the day. */
export interface KnownPressure {
  readonly sensor: string;
  readonly when: 'start' | 'end';
  readonly appliedKpa: number;
  readonly raw: number;
  readonly atMs: number;
}

export interface DeckBoard {
  readonly seed: string;
  /** In the order they are to be swum, or were. */
  readonly trials: readonly BoardTrial[];
  /** What a person said of files, by the number of the arrival; the latest counts. Null sets a file aside. */
  readonly given: readonly { readonly file: number; readonly to: FileTarget | null; readonly why: string }[];
  readonly notes: readonly DeckNote[];
  readonly ticks: readonly DeckTick[];
  /** Sensors that trials turned out to have been swum with, though they were never put on for the day. */
  readonly sensors: readonly AssignedSensor[];
  /** Section times typed or from a file, by trial. */
  readonly sections: readonly { readonly trial: string; readonly section: SectionWord }[];
  /** Swimmers who swim no more today; what they swam stays. */
  readonly resting: readonly {
    readonly participant: string;
    readonly why: string;
    readonly atMs: number;
    readonly who: string;
  }[];
  readonly dryRun: { readonly initials: string; readonly says: string; readonly atMs: number } | null;
  readonly zeros: readonly DayZero[];
  readonly checks: readonly KnownPressure[];
  readonly closed: { readonly initials: string; readonly atMs: number } | null;
}

const initials = z.string().trim().min(1, 'takes initials').max(12, 'takes at most 12 characters');

const why = z.string().trim().max(500);

const worn = z.strictObject({ left: code.nullable(), right: code.nullable() });

/** What a person does to a testing day. */
export const deckAct = z.discriminatedUnion('act', [
  z.strictObject({ act: z.literal('setup'), setup: deckSetup }),
  /** Adds swimmers, as typed or from a file; none may be there already. */
  z.strictObject({ act: z.literal('swimmers.add'), swimmers: z.array(deckSwimmer).min(1).max(500) }),
  /** Changes a swimmer; `participant` is the code before the change. */
  z.strictObject({ act: z.literal('swimmer.change'), participant: code, swimmer: deckSwimmer }),
  z.strictObject({ act: z.literal('swimmer.remove'), participant: code }),
  /** Stops a swimmer and hides all that was recorded of them. */
  z.strictObject({ act: z.literal('swimmer.withdraw'), participant: code }),
  /** Takes a withdrawal back: nothing else does, undo neither. */
  z.strictObject({
    act: z.literal('swimmer.return'),
    participant: code,
    consents: z.strictObject({
      measuring: z.enum(['given', 'assent_and_guardian']),
      filming: z.enum(FILM_CONSENTS),
      sharing: z.enum(FILM_CONSENTS),
    }),
    reason: why.min(1, 'needs a reason'),
  }),
  /** Puts a sensor on a hand for the trials to come; null takes it off. */
  z.strictObject({ act: z.literal('sensor.wear'), hand, sensor: code.nullable() }),
  /** Plans the trials of every swimmer who consents and has none planned yet, by the protocol's order. */
  z.strictObject({ act: z.literal('order.make'), seed: z.string().trim().min(1).max(100) }),
  z.strictObject({ act: z.literal('trial.add'), participant: code, condition: code.nullable() }),
  /** `clearedBy`: who decided that a swimmer who was stopped before may swim on. */
  z.strictObject({ act: z.literal('trial.begin'), trial: code, clearedBy: initials.optional() }),
  /** Something stopped the swimmer, such as pain: the trial ends at once, and an incident is noted. */
  z.strictObject({
    act: z.literal('trial.stop'),
    trial: code,
    says: z.string().trim().min(1, 'must not be empty').max(300),
  }),
  /** A swimmer swims no more today: the planned trials are skipped, the data stay. */
  z.strictObject({ act: z.literal('trial.rest'), participant: code, why: why.min(1, 'must not be empty') }),
  /** A swimmer who was to swim no more today does after all. */
  z.strictObject({ act: z.literal('trial.return'), participant: code, clearedBy: initials }),
  z.strictObject({ act: z.literal('trial.end'), trial: code }),
  /** A trial that was swum though nobody began it on the board: its files came, its times are not known. */
  z.strictObject({ act: z.literal('trial.swum'), trial: code }),
  z.strictObject({ act: z.literal('trial.skip'), trial: code, why }),
  /** Puts a skipped trial back as the next one. */
  z.strictObject({ act: z.literal('trial.unskip'), trial: code }),
  /** Moves a planned trial before another planned one; null puts it last. */
  z.strictObject({ act: z.literal('trial.move'), trial: code, before: code.nullable() }),
  z.strictObject({
    act: z.literal('trial.answer'),
    trial: code,
    what: z.enum(['keep', 'again', 'leave']),
    reason: why,
  }),
  /** Corrects the sensors worn; with `onward`, also of the swum trials after it. */
  z.strictObject({ act: z.literal('trial.worn'), trial: code, worn, onward: z.boolean() }),
  z.strictObject({ act: z.literal('trial.hands'), trial: code, swapped: z.boolean() }),
  /** A trial that was swum but not on the board; `file` is what caught it, such as a camera's film. */
  z.strictObject({
    act: z.literal('trial.caught'),
    participant: code,
    condition: code.nullable(),
    file: z.number().int().nullable(),
    camera: code.nullable(),
  }),
  /** Says where a file belongs; null sets it aside. */
  z.strictObject({ act: z.literal('file.give'), file: z.number().int(), to: fileTarget.nullable(), why }),
  z.strictObject({
    act: z.literal('note.add'),
    kind: z.enum(['note', 'incident']),
    trial: code.nullable(),
    participant: code.nullable(),
    says: z.string().trim().min(1, 'must not be empty').max(1000),
  }),
  z.strictObject({
    act: z.literal('line.tick'),
    list: z.enum(CHECKLISTS),
    item: z.string().min(1).max(300),
    initials,
  }),
  z.strictObject({
    act: z.literal('line.untick'),
    list: z.enum(CHECKLISTS),
    item: z.string().min(1).max(300),
  }),
  /** Section times of several trials at once; null takes them away. */
  z.strictObject({
    act: z.literal('sections.set'),
    rows: z
      .array(z.strictObject({ trial: code, section: sectionWord.nullable() }))
      .min(1)
      .max(500),
  }),
  z.strictObject({
    act: z.literal('dry.confirm'),
    initials,
    says: z.string().trim().min(1).max(500),
  }),
  z.strictObject({
    act: z.literal('day.zero'),
    sensor: code,
    when: z.enum(['start', 'end']),
    raw: z.number(),
  }),
  /** A pressure of 0 is no known pressure but the zero: it goes by `day.zero`. */
  z.strictObject({
    act: z.literal('day.pressure'),
    sensor: code,
    when: z.enum(['start', 'end']),
    appliedKpa: z.number().refine((kpa) => kpa !== 0, 'must not be 0: that is the zero'),
    raw: z.number(),
  }),
  z.strictObject({ act: z.literal('day.close'), initials }),
  z.strictObject({ act: z.literal('day.reopen') }),
]);

export type DeckAct = z.infer<typeof deckAct>;
