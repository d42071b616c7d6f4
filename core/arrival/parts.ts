/**
 * Files that came in parts: their writer paused, what was there was taken, and more came later under the same name. The
 * one that goes on from an earlier one stands in its stead: it has its place, and what a person said of where it belongs.
 */
import type { FileKind } from './names.ts';
import type { FileTarget } from '../deck/deck.ts';

/** A file as it came in. */
export interface ArrivedFile {
  readonly id: number;
  readonly name: string;
  readonly bytes: number;
  /** ISO 8601 instant. */
  readonly at: string;
  /** When it was last written, by its own disk; ISO 8601 instant, UTC, to the millisecond. */
  readonly modified: string;
  readonly kind: FileKind;
  readonly outcome: 'taken' | 'twice' | 'unreadable' | 'stopped';
  /** One sentence; empty where it was simply taken. */
  readonly reason: string;
  /** Of its content; null where its copying was stopped. */
  readonly sha256: string | null;
  /** The earlier file of the same name that this one begins with and goes on from; null where there is none. */
  readonly continues: number | null;
}

/** What a person said last of a file, and the order in which such words were said. */
export interface FileWord {
  readonly to: FileTarget | null;
  readonly why: string;
  readonly turn: number;
}

export interface Chains {
  /** By a file that is only part of it: the file that stands in its stead. */
  readonly heirs: ReadonlyMap<number, number>;
  /** Files that stand in the stead of one that was taken. */
  readonly ofTaken: ReadonlySet<number>;
  /** What counts as said of each file, for itself or for an earlier part of it. */
  readonly given: ReadonlyMap<number, FileWord>;
}

/**
 * A word on a part passes to the whole, unless the whole has one of its own. A part keeps for itself that it was set
 * aside, and a place that it was given after a person had spoken of the whole.
 * @param files in the order of arrival
 */
export function chainsOf(files: readonly ArrivedFile[], said: ReadonlyMap<number, FileWord>): Chains {
  const wholes = wholesOf(files);
  const heirs = new Map<number, number>();
  const ofTaken = new Set<number>();
  const given = new Map(said);
  for (const { id, outcome } of files) {
    const [whole, word] = [wholes.get(id), said.get(id)];
    if (whole === undefined || word?.to === null) continue;
    const spoken = said.get(whole);
    if (word !== undefined && spoken !== undefined && word.turn > spoken.turn) continue;
    heirs.set(id, whole);
    if (outcome === 'taken') ofTaken.add(whole);
    if (word !== undefined && word.turn > (given.get(whole)?.turn ?? -1)) given.set(whole, word);
  }
  return { heirs, ofTaken, given };
}

/** By each file that another one goes on from: the last of those. */
function wholesOf(files: readonly ArrivedFile[]): ReadonlyMap<number, number> {
  const next = Map.groupBy(files, ({ continues }) => continues);
  const wholes = new Map<number, number>();
  for (const file of files.toReversed()) {
    const whole = nextOf(file.id, file.outcome === 'unreadable', next);
    if (whole !== null) wholes.set(file.id, wholes.get(whole) ?? whole);
  }
  return wholes;
}

/** The first to come that goes on from a file; one that cannot be read stands in nobody's stead that can. */
function nextOf(
  id: number,
  mayBeUnreadable: boolean,
  next: ReadonlyMap<number | null, readonly ArrivedFile[]>,
): number | null {
  for (const later of next.get(id) ?? []) {
    if (later.outcome !== 'unreadable' || mayBeUnreadable) return later.id;
    const beyond = nextOf(later.id, false, next);
    if (beyond !== null) return beyond;
  }
  return null;
}
