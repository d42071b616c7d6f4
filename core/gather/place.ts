/**
 * Which trial, and which place in it, a file of the archive is for by its name. A name that is read in two ways, by two
 * patterns, or to a place that another file has too is for none. Contract: formats.md section 5.
 */
import { MAIN_CAMERA } from '../clock/clock.ts';
import { isCode } from '../base/table.ts';
import type { FileKind, FileRule } from './map.ts';
import { foldName, type NameWay, waysOf } from './pattern.ts';
import { codeOf, type KnownTrial, type People, splitTrial } from './people.ts';

/** One reading of a name. */
export interface Reading {
  readonly kind: FileKind;
  readonly trial: string;
  readonly participant: string;
  readonly attempt: number | null;
  readonly condition: string | null;
  readonly camera: string;
  /** The row that tells of the trial; null where none does. */
  readonly known: KnownTrial | null;
  /** Why the file is not taken all the same, as the end of a sentence; null where it is. */
  readonly against: string | null;
}

/** What the name of a file comes to. */
export type Placed =
  | { readonly kind: 'none'; readonly why: string }
  /** A swimmer without consent: never named. `isDoubtful` where it could be another's too. */
  | { readonly kind: 'withheld'; readonly trials: readonly string[]; readonly isDoubtful: boolean }
  | { readonly kind: 'doubtful'; readonly what: FileKind | 'none'; readonly why: string }
  | { readonly kind: 'one'; readonly reading: Reading };

/** Makes a reader of names. `cameras` are the day's; `conditionWords` the map's words for conditions. */
export function placer(
  files: readonly FileRule[],
  people: People,
  cameras: readonly string[],
  conditionWords: Readonly<Record<string, string>>,
): (path: string) => Placed {
  const byCode = new Map(people.trials.map((trial) => [foldName(trial.trial), trial]));
  const bySwimmer = Map.groupBy(people.trials, ({ participant }) => participant);
  const cameraOf = new Map([MAIN_CAMERA, ...cameras].map((camera) => [foldName(camera), camera]));
  const conditions = new Map<string, string>();
  for (const { condition } of people.trials)
    if (condition !== null) conditions.set(foldName(condition), condition);
  const words = new Map(Object.entries(conditionWords).map(([from, to]) => [foldName(from), to]));
  const spelt = (known: Map<string, string>, text: string) => {
    const folded = foldName(text);
    if (!known.has(folded)) known.set(folded, text);
    return known.get(folded)!;
  };
  const read = (kind: FileKind, way: NameWay): readonly Reading[] => {
    const condition =
      way.condition === undefined
        ? null
        : spelt(conditions, words.get(foldName(way.condition)) ?? way.condition);
    const camera = way.camera === undefined ? MAIN_CAMERA : spelt(cameraOf, way.camera);
    const named = way.participant === undefined ? null : people.codes.find(way.participant);
    const reading = (more: Omit<Reading, 'kind' | 'camera' | 'condition'>): Reading => ({
      kind,
      camera,
      condition,
      ...more,
    });
    const ofRow = (known: KnownTrial): Reading => {
      const { trial, participant } = known;
      const attempt = known.attempt ?? way.attempt ?? null;
      return reading({ trial, participant, attempt, known, against: againstRow(known) });
    };
    const fresh = (participant: string, attempt: number, code: string): Reading => {
      const other = byCode.get(foldName(code));
      const against = other === undefined ? freshFault(code) : clash(code, other, condition);
      return reading({ trial: code, participant, attempt, known: null, against });
    };
    if (way.trial !== undefined) {
      const known = byCode.get(foldName(way.trial));
      if (known !== undefined)
        return (named === null || named === known.participant) && fits(known, way.attempt, condition)
          ? [ofRow(known)]
          : [];
      const split = splitTrial(way.trial, people.codes);
      if (split !== null && (named === null || named === split.participant))
        return [fresh(split.participant, split.attempt, codeOf(split.participant, String(split.attempt)))];
      return named === null ? [] : [fresh(named, way.attempt ?? 1, way.trial)];
    }
    if (named === null) return [];
    const rows = (bySwimmer.get(named) ?? []).filter(
      (row) =>
        fits(row, way.attempt, condition) && (way.attempt === undefined || row.attempt === way.attempt),
    );
    if (rows.length > 0) return rows.map(ofRow);
    const attempt = way.attempt ?? 1;
    return [fresh(named, attempt, codeOf(named, String(attempt)))];
  };
  const isParticipant = (text: string) => people.codes.find(text) !== null;
  return (path) => {
    const readings: Reading[] = [];
    let isUnbounded = false;
    let isMatched = false;
    for (const { kind, pattern } of files) {
      const ways = waysOf(pattern, path, isParticipant);
      if (ways === null) isUnbounded = true;
      for (const way of ways ?? []) {
        isMatched = true;
        for (const one of read(kind, way)) readings.push(one);
      }
    }
    const hidden = readings.filter(({ participant }) => people.withheld.has(participant));
    if (hidden.length > 0) {
      const trials = hidden.map(({ trial }) => trial);
      return { kind: 'withheld', trials, isDoubtful: hidden.length < readings.length };
    }
    const [reading, other] = readings;
    if (isUnbounded)
      return { kind: 'doubtful', what: 'none', why: 'can be read in too many ways by a pattern of the map' };
    if (reading === undefined) {
      const why = isMatched
        ? 'fits a pattern of the map, and no row of the trials tells of such a trial'
        : 'fits no pattern of the map with a swimmer of the roster';
      return { kind: 'none', why };
    }
    if (other === undefined) return { kind: 'one', reading };
    const what = readings.every(({ kind }) => kind === reading.kind) ? reading.kind : 'none';
    return {
      kind: 'doubtful',
      what,
      why: `can be read as ${[...new Set(readings.map(saidOf))].join(' and as ')}`,
    };
  };
}

/** True where a row may be of the attempt and condition that a name tells. */
function fits(row: KnownTrial, attempt: number | undefined, condition: string | null): boolean {
  if (attempt !== undefined && row.attempt !== null && row.attempt !== attempt) return false;
  return condition === null || row.condition === null || foldName(row.condition) === foldName(condition);
}

function againstRow({ row, line, isExcluded }: KnownTrial): string | null {
  if (row !== null || !isExcluded) return null;
  return `is of a trial that line ${line} of the trials excludes, and that row was refused`;
}

function freshFault(code: string): string | null {
  return isCode(code) ? null : `gives the trial code ${code}, and a code has at most 64 characters`;
}

function clash(code: string, other: KnownTrial, condition: string | null): string {
  const why =
    condition !== null && other.condition !== null
      ? `says the condition ${condition}, and line ${other.line} of the trials says ${other.condition}`
      : `is of another swim than line ${other.line} of the trials`;
  return `would be of trial ${code} and ${why}`;
}

function saidOf({ kind, trial, camera, condition }: Reading): string {
  const parts = [kind === 'trace' ? 'the trace' : `the film of camera ${camera}`, `of ${trial}`];
  return [...parts, ...(condition === null ? [] : [`(${condition})`])].join(' ');
}
