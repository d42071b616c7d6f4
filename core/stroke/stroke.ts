/**
 * Arm strokes and their seven events: order rules, and strokes put together from marks.
 * Contract: formats.md section 1 (events.csv). Phases after Chollet, Chalies & Chatard 2000,
 * Int J Sports Med 21:54–59, and Seifert et al. 2007, J Sports Sci 25:131–141.
 */
import { SAME_MOMENT_S } from '../clock/clock.ts';
import type { TraceS } from '../base/units.ts';
import type { Hand } from '../base/hand.ts';
import { type Measured, rootSumSquares } from '../base/uncertainty.ts';

export const EVENTS = [
  'water_entry',
  'full_reach',
  'hand_below_shoulder',
  'propulsion_start',
  'shoulder_plane',
  'propulsion_end',
  'water_exit',
] as const;

export type EventName = (typeof EVENTS)[number];

/** Names of events in day folders and lab folders written before version 0.2, and what they are called since. */
const FORMER_EVENTS: ReadonlyMap<string, EventName> = new Map([
  ['arm_entry_complete', 'full_reach'],
  ['below_shoulder_level', 'hand_below_shoulder'],
]);

/** The name of an event today; what is none of the former names comes back as it was. */
export function currentEvent(name: string): string {
  return FORMER_EVENTS.get(name) ?? name;
}

/** A mark on the trial's clock. */
export interface Mark {
  /** s, on the trial's clock. */
  readonly timeS: TraceS;
  /** Standard uncertainty of the mark, s; null where the frame interval or rate is not known. */
  readonly uS: number | null;
  readonly clock: 'trace' | 'video';
  /** Standard uncertainty that all marks of this event in the trial share, s. */
  readonly sharedUS: number;
  /**
   * Standard uncertainty of the clock line at this mark, s: 0 on the trace's own clock, null where it is not known.
   * It counts where a mark on film is held against one on the trace.
   */
  readonly clockUS: number | null;
}

export type Marks = Partial<Readonly<Record<EventName, Mark>>>;

/** How a hand may be judged against the shoulder; `undecided` counts for none of the three classes. */
export const ENTRY_WORDS = ['above', 'level', 'below', 'undecided'] as const;

export type EntryWord = (typeof ENTRY_WORDS)[number];

export type EntryPosition = Exclude<EntryWord, 'undecided'>;

/** One arm stroke: its marks and what a person judged of it. */
export interface Stroke {
  readonly hand: Hand;
  /** Number of the stroke, from 1 per hand. */
  readonly number: number;
  /** Its marks; one that no clock could place on the trial's clock is not among them. */
  readonly marks: Marks;
  /** The clocks on which its propulsion start and end were marked, placed or not. */
  readonly propulsionClocks: readonly Mark['clock'][];
  readonly entryPosition: EntryWord | null;
  /** Hand above the shoulder at full reach, cm, with its standard uncertainty; null where it was not measured. */
  readonly entryHeightCm: Measured | null;
  readonly breath: 'none' | 'left' | 'right' | null;
  readonly exclusionReason: string | null;
}

/**
 * Standard uncertainty, s, that the difference of two marks of different events shares with that of every other stroke:
 * what each event's marks share, and the clock's line where one mark is on film and the other on the trace.
 * Null where it is not known.
 */
export function sharedUS(one: Mark, other: Mark): number | null {
  const film = one.clock === 'video' ? one : other;
  return rootSumSquares([one.sharedUS, other.sharedUS, one.clock === other.clock ? 0 : film.clockUS]);
}

/** The chain of events that follow one another; `hand_below_shoulder` hangs beside it. */
const CHAIN: readonly EventName[] = [
  'water_entry',
  'full_reach',
  'propulsion_start',
  'shoulder_plane',
  'propulsion_end',
  'water_exit',
];

/** Between these neighbours of the chain the later mark must be strictly later. */
const STRICT_AFTER: ReadonlySet<EventName> = new Set(['shoulder_plane', 'propulsion_end']);

const WORDS: Readonly<Record<EventName, string>> = {
  water_entry: 'water entry',
  full_reach: 'full reach',
  hand_below_shoulder: 'hand below shoulder',
  propulsion_start: 'propulsion start',
  shoulder_plane: 'shoulder plane',
  propulsion_end: 'propulsion end',
  water_exit: 'water exit',
};

/** The event's name in words, as a person reads it. */
export function eventWords(event: EventName): string {
  return WORDS[event];
}

/**
 * Checks the order of a stroke's marks, over those that are there.
 * Returns null where the order holds, else a sentence that names the two events and times (s).
 */
export function orderFault(marks: Marks): string | null {
  let before: EventName | null = null;
  let strict = false;
  for (const event of CHAIN) {
    strict ||= STRICT_AFTER.has(event);
    const mark = marks[event];
    if (mark === undefined) continue;
    if (before !== null && outOfOrder(marks[before]!, mark, strict)) return fault(marks, before, event);
    before = event;
    strict = false;
  }
  const entry = marks.full_reach !== undefined ? 'full_reach' : 'water_entry';
  const [first, second] = [marks[entry], marks.hand_below_shoulder];
  if (first !== undefined && second !== undefined && outOfOrder(first, second, false))
    return fault(marks, entry, 'hand_below_shoulder');
  return null;
}

function outOfOrder(first: Mark, second: Mark, strict: boolean): boolean {
  const gap = second.timeS - first.timeS;
  return strict ? !(gap > SAME_MOMENT_S) : gap < -SAME_MOMENT_S;
}

function fault(marks: Marks, first: EventName, second: EventName): string {
  const at = (event: EventName) => `${WORDS[event]} (${marks[event]!.timeS.toFixed(4)} s)`;
  return `${at(second)} must come after ${at(first)}`;
}

/**
 * Checks that a stroke begins after the one before it on the same hand has ended.
 * Returns null where it does, else a sentence.
 */
export function successionFault(previous: Marks, next: Marks): string | null {
  const last = CHAIN.findLast((event) => previous[event] !== undefined);
  if (last === undefined) return null;
  const leading = [CHAIN.find((event) => next[event] !== undefined), 'hand_below_shoulder' as const];
  const first = leading.find((event) => {
    const mark = event === undefined ? undefined : next[event];
    return mark !== undefined && outOfOrder(previous[last]!, mark, false);
  });
  if (first === undefined) return null;
  return `${WORDS[first]} (${next[first]!.timeS.toFixed(4)} s) lies before the ${WORDS[last]} of the stroke before it (${previous[last]!.timeS.toFixed(4)} s)`;
}

/** True where a stroke's propulsion lies whole in the closed section [startS, endS], s. */
export function liesInSection(stroke: Stroke, section: Section | null): boolean {
  const { propulsion_start: start, propulsion_end: end } = stroke.marks;
  if (section === null || start === undefined || end === undefined) return false;
  return isInSection(start.timeS, section) && isInSection(end.timeS, section);
}

/** The measured section's times on the trial's clock, s. */
export interface Section {
  readonly startS: TraceS;
  readonly endS: TraceS;
}

/** True where a time (s) lies in the closed section. */
export function isInSection(timeS: TraceS, section: Section): boolean {
  return timeS >= section.startS - SAME_MOMENT_S && timeS <= section.endS + SAME_MOMENT_S;
}

/** True where a stroke counts for its trial: propulsion in the section and not excluded. */
export function strokeCounts(stroke: Stroke, section: Section | null): boolean {
  return stroke.exclusionReason === null && liesInSection(stroke, section);
}

const byHand = new WeakMap<readonly Stroke[], Readonly<Record<Hand, readonly Stroke[]>>>();

/** The strokes of one hand, by number; sorted once for one list of strokes. */
export function strokesOf(strokes: readonly Stroke[], hand: Hand): readonly Stroke[] {
  const known = byHand.get(strokes);
  if (known !== undefined) return known[hand];
  const of = (which: Hand) =>
    strokes.filter((stroke) => stroke.hand === which).toSorted((a, b) => a.number - b.number);
  const sorted = { left: of('left'), right: of('right') };
  byHand.set(strokes, sorted);
  return sorted[hand];
}
