/** What is known of each file that came in for a running day, before it is given a place. */
import { type DeckSwimmer, type BoardTrial, type DeckBoard, type FileTarget, DRY_RUN } from '../deck/deck.ts';
import {
  type NameReading,
  type FileKind,
  nameReader,
  placeFrom,
  mentions,
  camerasOf,
  kindOf,
} from './names.ts';
import { type FileWord, type ArrivedFile, chainsOf } from './parts.ts';
import { consentHolds } from '../day/tables.ts';

/** What of the day's plan tells where files belong. */
export interface FilesOf {
  /** Patterns of names (`fileHabits`). */
  readonly names: readonly string[];
  readonly cameras: readonly string[];
  readonly swimmers: readonly Pick<DeckSwimmer, 'participant' | 'consents'>[];
  /**
   * A file that was last written before is not placed by its name: it may be of another day. ISO 8601 instant, written
   * as `ArrivedFile.modified` is; null where any may be of the day.
   */
  readonly staleBefore: string | null;
}

export type Consent = 'measuring' | 'filming';

export interface Day {
  readonly trials: ReadonlyMap<string, BoardTrial>;
  readonly read: (name: string) => readonly NameReading[];
  readonly cameras: readonly string[];
  /** The consent that a swimmer lacks for a kind of file; null where none lacks. */
  readonly lacks: (participant: string | null, kind: FileKind) => Consent | null;
  /** Swimmers who may not be measured. */
  readonly hidden: readonly string[];
  readonly staleBefore: string | null;
  /** What people said last of each file. */
  readonly given: ReadonlyMap<number, FileWord>;
}

/** What a running day knows that its files are sorted by: who swims, who consents to what, and what people said. */
export function knowDay(board: Pick<DeckBoard, 'trials' | 'given'>, about: FilesOf): Day {
  const participants = [
    ...new Set([...about.swimmers, ...board.trials].map(({ participant }) => participant)),
  ];
  const consents = new Map(about.swimmers.map((swimmer) => [swimmer.participant, swimmer.consents]));
  const lacks = (participant: string | null, kind: FileKind): Consent | null => {
    if (participant === null) return null;
    const given = consents.get(participant);
    if (given === undefined || !consentHolds(given.measuring)) return 'measuring';
    return kind === 'film' && given.filming !== 'given' ? 'filming' : null;
  };
  const codes = { patterns: about.names, trials: board.trials, participants, cameras: about.cameras };
  return {
    trials: new Map(board.trials.map((swim) => [swim.trial, swim])),
    read: nameReader(codes),
    cameras: about.cameras,
    lacks,
    staleBefore: about.staleBefore,
    hidden: participants.filter((participant) => lacks(participant, 'trace') !== null),
    given: new Map(board.given.map(({ file, to, why }, turn) => [file, { to, why, turn }])),
  };
}

export interface Fact {
  readonly file: ArrivedFile;
  readonly readings: readonly NameReading[];
  readonly byName: FileTarget | null;
  /** True where its name tells a place, but it was written before the day. */
  readonly stale: boolean;
  /** The file that goes on from it and stands in its stead. */
  readonly heir: number | null;
  /** Where a person put it; `gone` where that trial is no longer on the board. */
  readonly given: 'none' | 'aside' | 'gone' | 'placed';
  readonly to: FileTarget | null;
  readonly lacks: Consent | null;
  /** The name, or what stands for it where it tells of a swimmer who is to be hidden. */
  readonly shown: string;
}

/** What is known of each file, and the day with what counts as said of each. */
export function factsOf(
  files: readonly ArrivedFile[],
  day: Day,
): { readonly facts: readonly Fact[]; readonly day: Day } {
  const { heirs, ofTaken, given } = chainsOf(files, day.given);
  const known = { ...day, given };
  const facts = files.map((file) => {
    const isNamed =
      file.outcome === 'taken' ||
      (file.outcome === 'twice' && (ofTaken.has(file.id) || !tellsEarlier(file, files, known)));
    return factOf(file, known, isNamed, heirs.get(file.id) ?? null);
  });
  return { facts: hideKin(facts), day: known };
}

/** True where an earlier copy of the same content has told a place itself, by its name or a person's word. */
function tellsEarlier(file: ArrivedFile, files: readonly ArrivedFile[], day: Day): boolean {
  return files.some(
    (other) =>
      other.id < file.id &&
      other.sha256 === file.sha256 &&
      (day.given.get(other.id)?.to != null ||
        placeFrom(day.read(other.name), other.kind, day.cameras) !== null),
  );
}

function factOf(file: ArrivedFile, day: Day, isNamed: boolean, heir: number | null): Fact {
  const readings = day.read(file.name);
  const said = day.given.get(file.id);
  const swim = said?.to == null ? undefined : day.trials.get(said.to.trial);
  const placed = swim !== undefined || said?.to?.trial === DRY_RUN;
  const given = said === undefined ? 'none' : said.to === null ? 'aside' : placed ? 'placed' : 'gone';
  const byPerson = given === 'placed' ? whole(said!.to!, day) : null;
  const lacks =
    byPerson === null
      ? withheldBy(readings, file.kind, day)
      : day.lacks(swim?.participant ?? null, byPerson.as);
  const tells = (participant: string) => mentions(file.name, participant);
  const veiled =
    lacks !== null ||
    readings.some(({ participant }) => day.lacks(participant, file.kind) !== null) ||
    day.hidden.some(tells);
  const named = isNamed ? placeFrom(readings, file.kind, day.cameras) : null;
  const stale = named !== null && day.staleBefore !== null && file.modified < day.staleBefore;
  return {
    file,
    readings,
    byName: stale ? null : named,
    stale,
    heir,
    given,
    to: byPerson,
    lacks,
    shown: veiled ? `file ${file.id}${ending(file.name)}` : file.name,
  };
}

/** A film without a camera is the first one's, a trace has none. */
function whole(place: FileTarget, day: Day): FileTarget {
  const camera = place.as === 'trace' ? null : (place.camera ?? camerasOf(day.cameras)[0]!);
  return { ...place, camera };
}

function ending(name: string): string {
  return kindOf(name) === 'other' ? '' : /\.[^.]*$/.exec(name)![0].toLowerCase();
}

/** The consent for want of which a file stays hidden: every swimmer that its name can mean lacks one; null where one may be shown. */
export function withheldBy(readings: readonly NameReading[], kind: FileKind, day: Day): Consent | null {
  const lacking = readings.map(({ participant }) => day.lacks(participant, kind));
  return lacking.every((consent) => consent !== null) ? (lacking[0] ?? null) : null;
}

/** A copy or a part of what is hidden is hidden under any name, unless a person gave it to somebody. */
function hideKin(facts: readonly Fact[]): readonly Fact[] {
  const hidden = new Map<string | number, Consent>();
  for (const fact of facts)
    if (fact.lacks !== null) for (const key of kinship(fact)) hidden.set(key, fact.lacks);
  const found = facts.map((fact) => {
    if (fact.lacks !== null || (fact.given === 'placed' && fact.heir === null)) return fact;
    const lacks = kinship(fact).flatMap((key) => hidden.get(key) ?? [])[0];
    return lacks === undefined
      ? fact
      : { ...fact, lacks, shown: `file ${fact.file.id}${ending(fact.file.name)}` };
  });
  return found.every((fact, index) => fact === facts[index]) ? found : hideKin(found);
}

/** Files that have one of these in common hold the same, at least in part. */
function kinship({ file, heir }: Fact): readonly (string | number)[] {
  return [file.sha256, file.id, heir].filter((key) => key !== null);
}
