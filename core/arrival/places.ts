/**
 * Where the files of a running day belong. Derived, never kept: from what came in, what people said of single files,
 * the names, and the consents. A person's word counts before a name; one place holds one file; a file of a swimmer who
 * does not consent is kept out of sight. A file that goes on from an earlier one has its place.
 */
import type { ArrivedFile } from './parts.ts';
import { type DeckBoard, type FileTarget, DRY_RUN, type BoardTrial } from '../deck/deck.ts';
import { type FilesOf, factsOf, knowDay, withheldBy, type Fact, type Day, type Consent } from './facts.ts';
import type { FileView } from '../deck/views.ts';
import { kindOf, camerasOf } from './names.ts';
import { bytesText } from '../base/words.ts';

/** More offers than these are no help on deck. */
const MOST_OFFERS = 8;

/**
 * Every file that came, in the order of arrival, with its place or why it has none. A file whose copying was stopped
 * did not come and is left out.
 */
export function placeFiles(
  arrivals: readonly ArrivedFile[],
  board: Pick<DeckBoard, 'trials' | 'given'>,
  about: FilesOf,
): readonly FileView[] {
  const came = arrivals.filter(({ outcome }) => outcome !== 'stopped').toSorted((a, b) => a.id - b.id);
  const { facts, day } = factsOf(came, knowDay(board, about));
  const slots = fillSlots(facts, day);
  return facts.map((fact) => viewOf(fact, facts, slots, day));
}

/** The file that has a place; null where none has. */
export function slotOf(
  files: readonly FileView[],
  trial: string,
  as: FileTarget['as'],
  camera: string | null,
): FileView | null {
  const wanted = slotKey({ trial, as, camera });
  return files.find(({ place }) => place !== null && slotKey(place) === wanted) ?? null;
}

/** True where a name tells of swimmers who do not consent to what the file holds, and of nobody else. */
export function nameWithheld(
  name: string,
  board: Pick<DeckBoard, 'trials' | 'given'>,
  about: FilesOf,
): boolean {
  const day = knowDay(board, about);
  return withheldBy(day.read(name), kindOf(name), day) !== null;
}

type Slots = ReadonlyMap<string, Fact>;

/** Who has which place: of people's words the latest, of names the first to come; of dry runs the last. */
function fillSlots(facts: readonly Fact[], day: Day): Slots {
  const slots = new Map<string, Fact>();
  const turn = ({ file }: Fact) => day.given.get(file.id)!.turn;
  const seen = facts.filter(({ lacks, heir }) => lacks === null && heir === null);
  for (const fact of seen.filter(({ to }) => to !== null).toSorted((a, b) => turn(a) - turn(b)))
    slots.set(slotKey(fact.to!), fact);
  const named = seen.filter(({ given, byName }) => given === 'none' && byName !== null);
  const since = namedSince(facts);
  for (const fact of named.toSorted((a, b) => since(a) - since(b))) {
    const key = slotKey(fact.byName!);
    const holder = slots.get(key);
    if (holder === undefined || (holder.to === null && isDry(fact.byName!))) slots.set(key, fact);
  }
  return slots;
}

/** The arrival with which a file came for its place: its own, or that of the first part that had the place. */
function namedSince(facts: readonly Fact[]): (fact: Fact) => number {
  const parts = facts.filter(({ given, byName }) => given === 'none' && byName !== null);
  const first = new Map(parts.toReversed().map(({ heir, file }) => [heir, file.id]));
  return ({ file }) => first.get(file.id) ?? file.id;
}

function isDry({ trial }: FileTarget): boolean {
  return trial === DRY_RUN;
}

function slotKey({ trial, as, camera }: FileTarget): string {
  return JSON.stringify([trial, as, camera]);
}

function viewOf(fact: Fact, facts: readonly Fact[], slots: Slots, day: Day): FileView {
  const { file, shown: name } = fact;
  const { id, bytes, at, kind } = file;
  const base = { id, name, bytes, at, kind, place: null, by: null, offers: [] };
  if (fact.lacks !== null) return { ...base, state: 'hidden', says: HIDDEN[fact.lacks] };
  if (fact.heir !== null) return { ...base, state: 'twice', says: whyContinued(fact.heir, facts) };
  const place = fact.to ?? (fact.given === 'none' ? fact.byName : null);
  const holder = place === null ? undefined : slots.get(slotKey(place));
  if (holder === fact)
    return {
      ...base,
      state: 'placed',
      place,
      by: fact.to === null ? 'name' : 'person',
      says: caution(fact, facts),
    };
  const offers = offersFor(fact, place, slots, day);
  if (fact.given === 'aside') {
    const why = day.given.get(id)!.why;
    return { ...base, state: 'aside', by: 'person', offers, says: sentence(`Set aside${why && `: ${why}`}`) };
  }
  if (fact.given === 'none' && file.outcome === 'twice')
    return { ...base, state: 'twice', offers, says: caution(fact, facts) };
  if (fact.given === 'none' && file.outcome === 'unreadable')
    return { ...base, state: 'unreadable', offers, says: caution(fact, facts) };
  if (fact.to === null && holder !== undefined && holder.to === null && isDry(place!))
    return { ...base, state: 'aside', offers, says: `A later dry run came: ${holder.shown}.` };
  const says = holder === undefined ? whyOffered(fact, day) : whyDisplaced(fact, place!, holder);
  return { ...base, state: 'offered', offers, says };
}

const HIDDEN: Readonly<Record<Consent, string>> = {
  measuring: 'Its swimmer does not consent to being measured, so it is kept out of sight.',
  filming: 'Its swimmer does not consent to being filmed, so it is kept out of sight.',
};

/** What is to be known of a file wherever it belongs; empty for one that was simply taken. */
function caution({ file, shown }: Fact, facts: readonly Fact[]): string {
  if (file.outcome === 'unreadable')
    return shown === file.name ? file.reason : 'It could not be read when it came.';
  if (file.outcome === 'taken')
    return facts.some((later) => later.file.continues === file.id)
      ? 'It may not be whole: a longer file of the same name, which begins with it, came later.'
      : '';
  const first = facts.find((other) => other.file.sha256 === file.sha256)!;
  return first.file.name === file.name
    ? 'It came before with the same name and content.'
    : `Its content came before, as ${first.shown}.`;
}

function whyContinued(heir: number, facts: readonly Fact[]): string {
  const { shown, file } = facts.find((fact) => fact.file.id === heir)!;
  return `It was not whole when it came: the longer ${shown} (${bytesText(file.bytes)}) that came later goes on from it.`;
}

function whyDisplaced({ file, to }: Fact, place: FileTarget, holder: Fact): string {
  const what = placeWords(place);
  if (to !== null) return `A person gave ${what} another file later: ${holder.shown}.`;
  if (holder.to !== null)
    return `By its name it is ${what}, but a person gave that another file: ${holder.shown}.`;
  if (holder.file.name === file.name)
    return `By its name it is ${what}; a file of the same name with other content came before it.`;
  return `By its name it is ${what}, which came before as ${holder.shown}.`;
}

function whyOffered({ file, readings, given, stale }: Fact, day: Day): string {
  if (given === 'gone') return 'The trial it was given to is no longer on the board.';
  if (file.kind === 'other') return 'By its ending it is neither a trace nor a film.';
  if (stale) return `It was written on ${file.modified.slice(0, 10)}, before this day; is it of this day?`;
  const [reading, another] = readings;
  if (reading === undefined) return 'Its name does not tell which trial it belongs to.';
  if (readings.some(({ participant }) => day.lacks(participant, file.kind) !== null))
    return 'Its name may tell of a swimmer who does not consent.';
  if (another !== undefined) {
    const trials = readings.map(({ trial, camera }) => (camera === null ? trial : `${trial} ${camera}`));
    return `Its name fits more than one trial: ${[...new Set(trials)].slice(0, MOST_OFFERS).join(', ')}.`;
  }
  if (reading.trial === null)
    return `Its name tells of ${reading.participant}, but of no trial that is on the board.`;
  return file.kind === 'trace'
    ? `Its name tells of ${reading.trial} and of a camera, but it is no film.`
    : 'Its name does not tell which camera it is from.';
}

function placeWords({ trial, as, camera }: FileTarget): string {
  const whose = trial === DRY_RUN ? 'the dry run' : trial;
  return as === 'trace' ? `the trace of ${whose}` : `the film of ${whose}, camera ${camera}`;
}

function sentence(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

/** Free places, the likeliest first; the place that another file took from it stands before them. */
function offersFor(
  { file, readings, given }: Fact,
  taken: FileTarget | null,
  slots: Slots,
  day: Day,
): readonly FileTarget[] {
  const { kind } = file;
  if (kind === 'other' || (given === 'none' && file.outcome === 'twice')) return [];
  const places = (trial: string): readonly FileTarget[] =>
    kind === 'trace'
      ? [{ trial, as: 'trace', camera: null }]
      : camerasOf(day.cameras).map((camera) => ({ trial, as: 'film' as const, camera }));
  const named = readings.flatMap(({ trial }) => (trial === null ? [] : [trial]));
  const trials = [...new Set([...named, ...byLikelihood([...day.trials.values()])])].filter(
    (trial) => day.lacks(day.trials.get(trial)?.participant ?? null, kind) === null,
  );
  const free = trials.flatMap(places).filter((place) => !slots.has(slotKey(place)));
  return [...(taken === null ? [] : [taken]), ...free].slice(0, MOST_OFFERS);
}

/** The one being swum, then those swum, the newest first, then the dry run, then those to come. */
function byLikelihood(swims: readonly BoardTrial[]): readonly string[] {
  const swum = swims
    .filter(({ state }) => state === 'swum')
    .toReversed()
    .toSorted((a, b) => (b.endedMs ?? b.beganMs ?? 0) - (a.endedMs ?? a.beganMs ?? 0));
  const codes = (some: readonly BoardTrial[]) => some.map(({ trial }) => trial);
  return [
    ...codes(swims.filter(({ state }) => state === 'swimming')),
    ...codes(swum),
    DRY_RUN,
    ...codes(swims.filter(({ state }) => state === 'planned' || state === 'skipped')),
  ];
}
