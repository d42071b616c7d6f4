/**
 * Erasing a swimmer from the lab folder, for good: what is to go is found day by day, tables that others stand in are
 * made anew with the swimmer's rows left blank, and the store does the rest as one act. What the program cannot reach is
 * told by name.
 */
import { existsSync } from 'node:fs';
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { bytesText, counted } from '../../../core/base/words.ts';
import { maskOf, withoutPerson, type Person } from '../../../core/people/person.ts';
import { blankRows } from '../../files/ownrows.ts';
import type { Content } from '../../store/hash.ts';
import type { Erasing, Erasure } from '../../store/erase.ts';
import type { StoreError } from '../../store/errors.ts';
import type { DecisionText } from '../../store/seals.ts';
import { forgetChecks } from '../deck/deckarrival.ts';
import { BLIND } from '../kept/blindsessions.ts';
import { forgetStates } from '../kept/deckstate.ts';
import { forgetRead } from '../kept/memory.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import { keptWatch } from '../watch/watchday.ts';
import { knownBackups, releasesWith } from './elsewhere.ts';
import { unknownPerson } from './handover.ts';
import { heldOn, type HeldDay } from './held.ts';
import { ownRowsOf } from './heldtables.ts';
import { isHeld } from './persondays.ts';

export interface Erased {
  readonly says: string;
  /** What may still hold the swimmer and is for a person to deal with, one line each. */
  readonly elsewhere: readonly string[];
  /** What of the lab folder could not be read, so that it may still hold them; one line each. */
  readonly lines: readonly string[];
}

/** Erases; nothing is changed where it cannot be done. Asking twice is for who calls. */
export async function erasePerson(session: Session, participant: string): Promise<Outcome<Erased, LabError>> {
  const { store } = session;
  const held = await heldOn(session, participant);
  const own = held.filter(isHeld);
  if (own.length === 0) return failed(unknownPerson(participant));
  const watched = own.filter(({ row }) => keptWatch(session, row.id).folder !== null);
  if (watched.length > 0) return failed(stillWatched(watched));
  const elsewhere = await elsewhereOf(session, participant, own);
  const made: Content[] = [];
  const erasing = await erasingOf(session, participant, held, made);
  const erased = erasing.ok ? kept(store.erase(erasing.value)) : erasing;
  forgetStates(session);
  forgetRead(session);
  forgetChecks(session);
  // What was made for an erasure that did not come about is taken away again.
  for (const { sha256 } of made) store.dropRaw(sha256);
  if (!erased.ok) return erased;
  const lines = held.flatMap(({ row, revisions }) =>
    revisions.flatMap(({ revision, damaged }) =>
      damaged.map(
        (file) =>
          `${file} of day ${row.day} (state ${revision}) is damaged or missing and could not be read: it may still hold the swimmer.`,
      ),
    ),
  );
  return done({ says: erasedText(erased.value), elsewhere, lines });
}

function kept<T>(outcome: Outcome<T, StoreError>): Outcome<T, LabError> {
  return outcome.ok ? outcome : storeFault(outcome.error);
}

function stillWatched(days: readonly HeldDay[]): LabError {
  const named = days.map(({ row }) => row.day).join(', ');
  return {
    code: 'bad_input',
    says: `Nothing was erased: a folder is still watched for ${named}, and files of the swimmer in it would come in again.`,
    todo: 'End the watch on that day, delete the swimmer’s files in the folder, then erase.',
  };
}

/** A person's sentence on what was done. */
function erasedText({ days, trials, decisions, files, bytes }: Erasure): string {
  return `Erased: ${counted(days, 'day')}, ${counted(trials, 'trial')}, ${counted(decisions, 'decision')} blanked or changed, ${counted(files, 'file')} (${bytesText(bytes)}) taken away. That it was done is recorded, and not of whom.`;
}

async function elsewhereOf(
  session: Session,
  participant: string,
  own: readonly HeldDay[],
): Promise<readonly string[]> {
  const releases = (await releasesWith(session, participant)).map(
    (name) => `Release ${name}: frozen with the swimmer in it. What is written out of it leaves them out.`,
  );
  const backups = knownBackups(session).map(
    ({ folder, isThere }) =>
      `Backup ${folder}${isThere ? '' : ' (not to be reached now)'}: made before. Make a new one elsewhere, then delete it.`,
  );
  const sources = new Set(
    own.flatMap(({ row, deck }) => (deck === null && existsSync(row.source) ? [row.source] : [])),
  );
  const folders = [...sources].map((folder) => `Folder ${folder}: a day was opened from it.`);
  return [...releases, ...backups, ...folders];
}

type Files = Erasing['dayFiles'][number];

async function erasingOf(
  session: Session,
  participant: string,
  held: readonly HeldDay[],
  made: Content[],
): Promise<Outcome<Erasing, LabError>> {
  const everywhere = everywhereOf(participant, held);
  const mask = maskOf(everywhere);
  const dayFiles: Files[] = [];
  const going = new Map<string, number>();
  const anew = new Map<string, string>();
  const changed = new Set<number>();
  for (const { row, person, revisions, arrivals } of held) {
    const own = maskOf(person);
    for (const { revision, tables, files, told } of revisions) {
      const place = { day: row.id, revision };
      for (const { path, text, table, sha256, bytes } of tables) {
        const isOwn = ownRowsOf(participant, told.trials);
        const next = own(table === null ? text : blankRows(text, table, isOwn));
        if (next === text) continue;
        const content = await session.store.addRawBytes(Buffer.from(next, 'latin1'));
        if (!content.ok) return storeFault(content.error);
        made.push(content.value);
        dayFiles.push({ ...place, path, to: content.value });
        going.set(sha256, bytes);
        anew.set(sha256, content.value.sha256);
        changed.add(row.id);
      }
      for (const { path, sha256, bytes } of files)
        if (told.paths.has(path) && !told.othersPaths.has(path)) {
          dayFiles.push({ ...place, path, to: null });
          going.set(sha256, bytes);
          changed.add(row.id);
        }
    }
    for (const { sha256, bytes } of arrivals) if (sha256 !== null) going.set(sha256, bytes);
    if (arrivals.length > 0 || person.trials.size > 0) changed.add(row.id);
  }
  const renamed = (text: string) =>
    [...anew].reduce((all, [before, after]) => all.replaceAll(before, after), text);
  const days = new Map(held.map((day) => [day.row.id, day.person]));
  const own = held.filter(isHeld);
  return done({
    who: operatorOf(session),
    at: now(),
    days: own.length,
    trials: own.reduce((sum, { person }) => sum + person.trials.size, 0),
    contents: [...going].map(([sha256, bytes]) => ({ sha256, bytes })),
    codes: [participant, ...everywhere.trials],
    dayFiles,
    arrivals: held.flatMap(({ arrivals }) => arrivals.map(({ id }) => id)),
    own: new Set(held.flatMap((day) => [...day.own])),
    results: [...changed],
    text: (text) => renamed(mask(text)),
    decision: ({ day, ...row }, isWhole) => {
      const person = days.get(day ?? 0) ?? everywhere;
      if (isWhole) return decisionWithout(row, person, renamed);
      return tellsOf(row, person) ? null : row;
    },
  });
}

/** The swimmer where no day is known: of their trials those that carry their code. */
function everywhereOf(participant: string, held: readonly HeldDay[]): Person {
  const carries = (trial: string) => trial.toLowerCase().includes(participant.toLowerCase());
  const trials = new Set(held.flatMap(({ person }) => [...person.trials].filter(carries)));
  const others = new Set(held.flatMap(({ person }) => [...person.others]));
  return { participant, trials, files: new Set(), others };
}

/** True where a decision that is damaged holds a code of the swimmer: what it says of them cannot be told apart. */
function tellsOf({ trial, key, before, after, says }: DecisionText, person: Person): boolean {
  const mask = maskOf(person);
  return [trial ?? '', key, before, after, says].some((text) => mask(text) !== text);
}

function decisionWithout(row: DecisionText, person: Person, renamed: (text: string) => string): DecisionText {
  const mask = maskOf(person);
  const json = (text: string) => {
    const value: unknown = JSON.parse(text);
    const next = JSON.stringify(withoutPerson(value, person, row.subject === BLIND));
    return next === JSON.stringify(value) ? text : next;
  };
  const [before, after] = [json(row.before), json(row.after)];
  // What a step changed may be the swimmer's alone: its sentence is about them then, whatever it says.
  const wasTheirs = row.before !== row.after && before === after;
  return {
    trial: row.trial !== null && person.trials.has(row.trial) ? null : row.trial,
    subject: row.subject,
    key: mask(row.key),
    before: renamed(before),
    after: renamed(after),
    says: wasTheirs ? 'Erased' : mask(row.says),
  };
}
