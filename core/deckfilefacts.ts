/** What is known of each file that came in for a running day, before it is given a place. */
import { consentHolds } from './daytables.ts';
import { DRY_RUN, type DeckBoard, type DeckRun, type DeckSwimmer, type FilePlace } from './deck.ts';
import {
  camerasOf,
  kindOf,
  mentions,
  nameReader,
  placeFrom,
  type FileKind,
  type NameReading,
} from './deckfilename.ts';

/** A file as it came in. */
export interface ArrivedFile {
  readonly id: number;
  readonly name: string;
  readonly bytes: number;
  /** ISO 8601 instant. */
  readonly at: string;
  readonly kind: FileKind;
  readonly outcome: 'taken' | 'twice' | 'unreadable' | 'stopped';
  /** One sentence; empty where it was simply taken. */
  readonly reason: string;
  /** Of its content; null where its copying was stopped. */
  readonly sha256: string | null;
}

/** What of the day's plan tells where files belong. */
export interface FilesOf {
  /** Patterns of names (`fileHabits`). */
  readonly names: readonly string[];
  readonly cameras: readonly string[];
  readonly swimmers: readonly Pick<DeckSwimmer, 'participant' | 'consents'>[];
}

export type Consent = 'measuring' | 'filming';

export interface Day {
  readonly runs: ReadonlyMap<string, DeckRun>;
  readonly read: (name: string) => readonly NameReading[];
  readonly cameras: readonly string[];
  /** The consent that a swimmer lacks for a kind of file; null where none lacks. */
  readonly lacks: (participant: string | null, kind: FileKind) => Consent | null;
  /** Swimmers who may not be measured. */
  readonly hidden: readonly string[];
  /** What people said last of each file, and the order in which they said it. */
  readonly given: ReadonlyMap<
    number,
    { readonly to: FilePlace | null; readonly why: string; readonly turn: number }
  >;
}

export function knowDay(board: Pick<DeckBoard, 'runs' | 'given'>, about: FilesOf): Day {
  const participants = [...new Set([...about.swimmers, ...board.runs].map(({ participant }) => participant))];
  const consents = new Map(about.swimmers.map((swimmer) => [swimmer.participant, swimmer.consents]));
  const lacks = (participant: string | null, kind: FileKind): Consent | null => {
    if (participant === null) return null;
    const given = consents.get(participant);
    if (given === undefined || !consentHolds(given.measuring)) return 'measuring';
    return kind === 'film' && given.filming !== 'given' ? 'filming' : null;
  };
  const codes = { patterns: about.names, runs: board.runs, participants, cameras: about.cameras };
  return {
    runs: new Map(board.runs.map((run) => [run.trial, run])),
    read: nameReader(codes),
    cameras: about.cameras,
    lacks,
    hidden: participants.filter((participant) => lacks(participant, 'trace') !== null),
    given: new Map(board.given.map(({ file, to, why }, turn) => [file, { to, why, turn }])),
  };
}

export interface Fact {
  readonly file: ArrivedFile;
  readonly readings: readonly NameReading[];
  readonly byName: FilePlace | null;
  /** Where a person put it; `stale` where that trial is no longer on the board. */
  readonly given: 'none' | 'aside' | 'stale' | 'placed';
  readonly to: FilePlace | null;
  readonly lacks: Consent | null;
  /** The name, or what stands for it where it tells of a swimmer who is to be hidden. */
  readonly shown: string;
}

export function factOf(file: ArrivedFile, day: Day): Fact {
  const readings = day.read(file.name);
  const said = day.given.get(file.id);
  const run = said?.to == null ? undefined : day.runs.get(said.to.trial);
  const placed = run !== undefined || said?.to?.trial === DRY_RUN;
  const given = said === undefined ? 'none' : said.to === null ? 'aside' : placed ? 'placed' : 'stale';
  const byPerson = given === 'placed' ? whole(said!.to!, day) : null;
  const lacks =
    byPerson === null
      ? withheldBy(readings, file.kind, day)
      : day.lacks(run?.participant ?? null, byPerson.as);
  const tells = (participant: string) => mentions(file.name, participant);
  const veiled =
    lacks !== null ||
    readings.some(({ participant }) => day.lacks(participant, file.kind) !== null) ||
    day.hidden.some(tells);
  return {
    file,
    readings,
    byName: file.outcome === 'taken' ? placeFrom(readings, file.kind, day.cameras) : null,
    given,
    to: byPerson,
    lacks,
    shown: veiled ? `file ${file.id}${ending(file.name)}` : file.name,
  };
}

/** A film without a camera is the first one's, a trace has none. */
function whole(place: FilePlace, day: Day): FilePlace {
  const camera = place.as === 'trace' ? null : (place.camera ?? camerasOf(day.cameras)[0]!);
  return { ...place, camera };
}

function ending(name: string): string {
  return kindOf(name) === 'other' ? '' : /\.[^.]*$/.exec(name)![0].toLowerCase();
}

export function withheldBy(readings: readonly NameReading[], kind: FileKind, day: Day): Consent | null {
  const lacking = readings.map(({ participant }) => day.lacks(participant, kind));
  return lacking.every((consent) => consent !== null) ? (lacking[0] ?? null) : null;
}

/** A copy of what is hidden is hidden under any name, unless a person gave it to somebody. */
export function hideCopies(facts: readonly Fact[]): readonly Fact[] {
  const hidden = new Map(
    facts.filter(({ lacks }) => lacks !== null).map((fact) => [fact.file.sha256, fact.lacks]),
  );
  return facts.map((fact) => {
    const lacks = hidden.get(fact.file.sha256) ?? null;
    if (fact.lacks !== null || lacks === null || fact.given === 'placed') return fact;
    return { ...fact, lacks, shown: `file ${fact.file.id}${ending(fact.file.name)}` };
  });
}
