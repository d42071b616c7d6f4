/**
 * The contract between the screens and the lab: every call's name, input, output and errors. The preload bridge, the
 * loopback routes and the client are derived from it. A new call is one entry here and one function in main/lab.
 */
import { z } from 'zod';
import { isCode } from './table.ts';
import type {
  DaySummary,
  DayView,
  HistoryEntry,
  JobView,
  PlaceList,
  TrialStatus,
  TrialView,
} from './views.ts';
import type { Outcome } from './refusal.ts';

/** An error that a person can cause: shown beside the thing that caused it. */
export interface LabError {
  readonly code:
    | 'not_found'
    | 'not_a_day'
    | 'place_not_allowed'
    | 'lab_folder'
    | 'bad_input'
    | 'changed_meanwhile'
    | 'cancelled';
  /** What is wrong, and where. */
  readonly says: string;
  /** What to do about it. */
  readonly todo: string;
}

interface Call<I, O> {
  readonly input: z.ZodType<I>;
  /** Carries the output's type; outputs are made by our own code and are not checked again at run time. */
  readonly output?: O;
}

function call<I, O>(input: z.ZodType<I>): Call<I, O> {
  return { input };
}

const nothing = z.strictObject({});
const dayId = z.number().int().positive();
const code = z.string().refine(isCode);
const path = z.string().min(1).max(4096);
const status = z.enum(['recorded', 'accepted', 'excluded']);
const initials = z.string().trim().min(1).max(40);

export interface AppView {
  readonly version: string;
  readonly labFolder: string;
  /** Folders in which damaged files of the lab were put aside; the person is told while there are any. */
  readonly setAside: readonly string[];
  /** Who is at work: written beside every decision. */
  readonly operator: string;
  /** The sample day: whether it lies with the program, and its id once opened. */
  readonly sample: { readonly available: boolean; readonly day: number | null };
}

export const CONTRACT = {
  'app.describe': call<Record<string, never>, AppView>(nothing),
  'app.setOperator': call<{ operator: string }, AppView>(z.strictObject({ operator: initials })),
  /** Folders a day may be opened from; `path` null lists the allowed places themselves. */
  'places.list': call<{ path: string | null }, PlaceList>(z.strictObject({ path: path.nullable() })),
  'places.allow': call<{ path: string }, PlaceList>(z.strictObject({ path })),
  'places.forbid': call<{ path: string }, PlaceList>(z.strictObject({ path })),
  'days.list': call<Record<string, never>, readonly DaySummary[]>(nothing),
  /** Starts bringing a day folder into the lab folder; follow it with `jobs.get`. */
  'days.open': call<{ path: string }, JobView>(z.strictObject({ path })),
  'days.openSample': call<Record<string, never>, JobView>(nothing),
  'days.get': call<{ day: number }, DayView>(z.strictObject({ day: dayId })),
  'jobs.get': call<{ job: number }, JobView>(z.strictObject({ job: z.number().int() })),
  'jobs.cancel': call<{ job: number }, JobView>(z.strictObject({ job: z.number().int() })),
  'trials.get': call<{ day: number; trial: string }, TrialView>(z.strictObject({ day: dayId, trial: code })),
  /** Accepts, excludes (with a reason) or takes back to recorded. */
  'trials.decide': call<
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
  ),
  'history.list': call<{ day: number }, readonly HistoryEntry[]>(z.strictObject({ day: dayId })),
  /** Takes back the latest decision of a day; null where there is none. */
  'history.undo': call<{ day: number }, HistoryEntry | null>(z.strictObject({ day: dayId })),
  'history.redo': call<{ day: number }, HistoryEntry | null>(z.strictObject({ day: dayId })),
} as const;

export type CallName = keyof typeof CONTRACT;
export type CallInput<N extends CallName> = z.infer<(typeof CONTRACT)[N]['input']>;
export type CallOutput<N extends CallName> = NonNullable<(typeof CONTRACT)[N]['output']> | NullIn<N>;
type NullIn<N extends CallName> =
  null extends Exclude<(typeof CONTRACT)[N]['output'], undefined> ? null : never;
export type CallResult<N extends CallName> = Outcome<CallOutput<N>, LabError>;

export function isCallName(name: string): name is CallName {
  return Object.hasOwn(CONTRACT, name);
}

/** The one way in for a host: carries a call to the lab. The input is checked there, whatever the host. */
export type Carry = (name: string, input: unknown) => Promise<Outcome<unknown, LabError>>;

/** The lab, typed: what the renderer's client offers. */
export type LabClient = <N extends CallName>(name: N, input: CallInput<N>) => Promise<CallResult<N>>;

/** Path (below the host's root) of a hand's force samples: little-endian float64, N. */
export function samplesPath(day: number, trial: string, hand: 'left' | 'right'): string {
  return `/samples/${day}/${trial}/${hand}`;
}

/** Path (below the host's root) of a camera's film. */
export function filmPath(day: number, trial: string, camera: string): string {
  return `/film/${day}/${trial}/${camera}`;
}
