/**
 * What the name of a file that came in tells: which trial, swimmer, attempt and camera. Names follow the lab's own
 * patterns (`fileHabits` of a protocol); codes may hold the characters that stand between them, so they are looked up
 * among the day's codes, the longest first, and never guessed.
 */
import { MAIN_CAMERA } from '../clock/clock.ts';
import { largest } from '../base/extent.ts';
import { type BoardTrial, type FileTarget, DRY_RUN } from '../deck/deck.ts';

export type FileKind = 'trace' | 'film' | 'other';

const ENDINGS: Readonly<Record<string, FileKind>> = {
  csv: 'trace',
  txt: 'trace',
  tsv: 'trace',
  edf: 'trace',
  bdf: 'trace',
  mat: 'trace',
  mp4: 'film',
  m4v: 'film',
  mov: 'film',
  webm: 'film',
};

/** What a file is by its ending, in any case: films are the containers whose frame times can be read. */
export function kindOf(name: string): FileKind {
  return ENDINGS[/\.([^./]*)$/.exec(name)?.[1]?.toLowerCase() ?? ''] ?? 'other';
}

export type NamedTrial = Pick<BoardTrial, 'trial' | 'participant' | 'attempt'>;

/** The codes of a day that names may be made of. */
export interface DayCodes {
  readonly patterns: readonly string[];
  readonly trials: readonly NamedTrial[];
  /** Swimmers, also those without a trial. */
  readonly participants: readonly string[];
  readonly cameras: readonly string[];
}

/** One way to read a name. */
export interface NameReading {
  /** Null for the dry run. */
  readonly participant: string | null;
  /** A trial of the board, or the dry run; null where the name tells of a trial that is not on the board. */
  readonly trial: string | null;
  /** Null where the name tells none. */
  readonly camera: string | null;
}

/** Where a file belongs by its name alone; null where the name tells nothing, or more than one thing. */
export function placeByName(
  name: string,
  patterns: readonly string[],
  swims: readonly NamedTrial[],
  cameras: readonly string[],
): FileTarget | null {
  const readings = nameReader({ patterns, trials: swims, participants: [], cameras })(name);
  return placeFrom(readings, kindOf(name), cameras);
}

/** The one place that readings of a name agree on; null where there is none, or more than one. */
export function placeFrom(
  readings: readonly NameReading[],
  kind: FileKind,
  cameras: readonly string[],
): FileTarget | null {
  const [reading, another] = readings;
  if (reading?.trial == null || another !== undefined || kind === 'other') return null;
  const { trial } = reading;
  // What is named after a camera is no trace of the sensors.
  if (kind === 'trace') return reading.camera === null ? { trial, as: 'trace', camera: null } : null;
  const camera =
    reading.camera ?? (cameras.length === 0 ? MAIN_CAMERA : cameras.find((one) => one === MAIN_CAMERA));
  return camera === undefined ? null : { trial, as: 'film', camera };
}

/** The cameras a film may be of: a day without any has its first. */
export function camerasOf(cameras: readonly string[]): readonly string[] {
  return cameras.length === 0 ? [MAIN_CAMERA] : cameras;
}

/**
 * Makes a reader of names for a day. It gives every reading that accounts for the most of the name, none where no
 * pattern fits. Upper and lower case are the same; folders and the ending are no part of the name.
 */
export function nameReader(codes: DayCodes): (name: string) => readonly NameReading[] {
  const patterns = codes.patterns.map(parsePattern);
  const participants = [
    ...new Set([...codes.trials.map(({ participant }) => participant), ...codes.participants]),
  ];
  const known: Known = {
    trial: byFolded([DRY_RUN, ...codes.trials.map(({ trial }) => trial)]),
    participant: byFolded(participants),
    camera: byFolded(codes.cameras),
  };
  return (name) => {
    const text = fold(baseName(name));
    const dry = readDryRun(text, kindOf(name), known.camera);
    if (dry !== null) return [dry];
    const found = patterns
      .flatMap((items) => matches(items, text, known))
      .map((told) => ({ length: told.length, readings: readingsOf(told, codes.trials) }))
      .filter(({ readings }) => readings.length > 0);
    const most = largest(found.map(({ length }) => length));
    return unique(found.filter(({ length }) => length === most).flatMap(({ readings }) => readings));
  };
}

/** A name that begins with the dry run's is of it, whatever follows; a film's may be its camera. */
function readDryRun(text: string, kind: FileKind, cameras: Codes): NameReading | null {
  if (!text.startsWith(DRY_RUN) || /^[\p{L}\p{N}]/u.test(text.slice(DRY_RUN.length))) return null;
  const rest = text.slice(DRY_RUN.length).replace(/^[-_. ]+/, '');
  const camera = kind === 'film' ? (cameras.of.get(rest)?.[0] ?? null) : null;
  return { participant: null, trial: DRY_RUN, camera };
}

/** True where a code stands in a text by itself, not as part of a longer word or number. */
export function mentions(text: string, code: string): boolean {
  const [folded, part] = [fold(text), fold(code)];
  for (let at = folded.indexOf(part); at >= 0; at = folded.indexOf(part, at + 1))
    if (!goesOn(folded, at) && !goesOn(folded, at + part.length)) return true;
  return false;
}

type Code = 'trial' | 'participant' | 'camera';

type Item = { readonly kind: 'text'; readonly text: string } | { readonly kind: Code | 'attempt' | 'any' };

/** Codes by their folded form. */
interface Codes {
  readonly of: ReadonlyMap<string, readonly string[]>;
  readonly lengths: readonly number[];
}

type Known = Readonly<Record<Code, Codes>>;

interface Told {
  readonly trial?: string;
  /** Of a trial that is not on the board. */
  readonly absent?: string;
  readonly participant?: string;
  readonly attempt?: number;
  readonly camera?: string;
  /** How many characters of the name they account for. */
  readonly length: number;
}

const ITEM = /\{(trial|participant|attempt|camera|any)\}/i;

function parsePattern(pattern: string): readonly Item[] {
  return pattern.split(ITEM).flatMap((part, index): Item[] => {
    if (index % 2 === 1) return [{ kind: part.toLowerCase() as Code | 'attempt' | 'any' }];
    return part === '' ? [] : [{ kind: 'text', text: fold(part) }];
  });
}

function baseName(name: string): string {
  return name.replace(/^.*\//, '').replace(/\.[^.]*$/, '');
}

/** Disks differ in how they write accented letters. */
function fold(text: string): string {
  return text.normalize('NFC').toLowerCase();
}

function byFolded(codes: readonly string[]): Codes {
  const of = Map.groupBy(codes, fold);
  return { of, lengths: [...new Set([...of.keys()].map(({ length }) => length))] };
}

/** True where a word or a number goes on across this place of a text. */
function goesOn(text: string, at: number): boolean {
  const [before, after] = [text[at - 1], text[at]];
  if (before === undefined || after === undefined) return false;
  return [/\p{L}/u, /\p{N}/u].some((sort) => sort.test(before) && sort.test(after));
}

/** Everything that a whole text can tell by one pattern. */
function matches(items: readonly Item[], text: string, known: Known): readonly Told[] {
  const done = new Map<string, readonly Told[]>();
  const from = (index: number, at: number): readonly Told[] => {
    const key = `${index} ${at}`;
    const before = done.get(key);
    if (before !== undefined) return before;
    const told = distinct(at, index);
    done.set(key, told);
    return told;
  };
  const distinct = (at: number, index: number): readonly Told[] => {
    const item = items[index];
    if (item === undefined) return at === text.length ? [{ length: 0 }] : [];
    if (item.kind === 'text')
      return text.startsWith(item.text, at) ? from(index + 1, at + item.text.length) : [];
    if (item.kind === 'any') return unique(endsOfAny(index, at).flatMap((end) => from(index + 1, end)));
    return unique(
      pieces(item.kind, text, at, known).flatMap(({ told, end }) =>
        from(index + 1, end).flatMap((rest) => join(told, rest, end - at)),
      ),
    );
  };
  /** What may be anything does not cut a word or number that a code begins or ends with. */
  const endsOfAny = (index: number, at: number): readonly number[] => {
    const isCode = (item: Item | undefined) =>
      item !== undefined && item.kind !== 'text' && item.kind !== 'any';
    const ends = [at];
    if (isCode(items[index - 1]) && goesOn(text, at)) return ends;
    for (let end = at + 1; end <= text.length; end += 1)
      if (!isCode(items[index + 1]) || !goesOn(text, end)) ends.push(end);
    return ends;
  };
  return from(0, 0);
}

type Piece = { readonly told: Omit<Told, 'length'>; readonly end: number };

/** The codes of one sort that begin at a place of a text. */
function pieces(kind: Code | 'attempt', text: string, at: number, known: Known): readonly Piece[] {
  if (kind === 'attempt') {
    const digits = /^\d{1,4}/.exec(text.slice(at))?.[0] ?? '';
    return Array.from({ length: digits.length }, (_, n) => ({
      told: { attempt: Number(digits.slice(0, n + 1)) },
      end: at + n + 1,
    }));
  }
  const found = codesAt(known[kind], text, at).map(({ code, end }) => ({ told: { [kind]: code }, end }));
  if (kind !== 'trial') return found;
  const absent = codesAt(known.participant, text, at).flatMap(({ code, end }): Piece[] => {
    const number = /^-\d+/.exec(text.slice(end))?.[0] ?? '';
    const whole = end + number.length;
    if (number === '' || known.trial.of.has(text.slice(at, whole))) return [];
    return [{ told: { absent: code }, end: whole }];
  });
  return [...found, ...absent];
}

function codesAt({ of, lengths }: Codes, text: string, at: number) {
  return lengths.flatMap((length) => {
    const found = at + length <= text.length ? of.get(text.slice(at, at + length)) : undefined;
    return (found ?? []).map((code) => ({ code, end: at + length }));
  });
}

/** Both together; nothing where they contradict each other. */
function join(told: Omit<Told, 'length'>, rest: Told, length: number): readonly Told[] {
  for (const field of ['trial', 'absent', 'participant', 'attempt', 'camera'] as const)
    if (told[field] !== undefined && rest[field] !== undefined && told[field] !== rest[field]) return [];
  return [{ ...rest, ...told, length: length + rest.length }];
}

function readingsOf(told: Told, swims: readonly NamedTrial[]): readonly NameReading[] {
  const { trial, absent, participant, attempt, camera = null } = told;
  if (trial === DRY_RUN) return participant === undefined ? [{ participant: null, trial, camera }] : [];
  if (absent !== undefined) return [{ participant: absent, trial: null, camera }];
  if (trial === undefined && participant === undefined && attempt === undefined) return [];
  const meant = swims.filter(
    (swim) =>
      (trial ?? swim.trial) === swim.trial &&
      (participant ?? swim.participant) === swim.participant &&
      (attempt ?? swim.attempt) === swim.attempt,
  );
  if (meant.length === 0 && trial === undefined && participant !== undefined)
    return [{ participant, trial: null, camera }];
  return meant.map((swim) => ({ participant: swim.participant, trial: swim.trial, camera }));
}

function unique<T>(values: readonly T[]): readonly T[] {
  return [...new Map(values.map((value) => [JSON.stringify(value), value])).values()];
}
