/**
 * What the lab holds on a swimmer as one folder to hand over: their rows as they came in, traces, films, decisions, and
 * the numbers computed from them; nobody else's. It goes to the swimmer, so it is given whatever they consent to; of who
 * does not consent nothing is computed. The same lab folder gives the same bytes.
 */
import { createHash } from 'node:crypto';
import { resolve } from 'node:path';
import type { LabError } from '../../../core/base/refusal.ts';
import { bytesText, counted } from '../../../core/base/words.ts';
import { writeFolder, type OutFile } from '../../files/outfolder.ts';
import { outFault, settle } from '../../files/outplace.ts';
import type { Progress } from '../kept/jobs.ts';
import type { Session } from '../kept/session.ts';
import { rememberedWhile } from '../kept/unfinished.ts';
import { releasesWith } from './elsewhere.ts';
import { heldOn } from './held.ts';
import { dayOut, isHeld, type DayOut } from './persondays.ts';
import { personReadme } from './personwords.ts';

export interface HandOverOrder {
  readonly participant: string;
  readonly out: string;
  readonly replace: boolean;
}

export type HandedOver =
  | { readonly kind: 'misplaced'; readonly says: string }
  | { readonly kind: 'nothing'; readonly error: LabError }
  /** `lines` are what of it could not be handed over. */
  | { readonly kind: 'written'; readonly says: string; readonly lines: readonly string[] };

/** Writes the folder whole or not at all. */
export async function handOver(
  session: Session,
  { participant, out: wanted, replace }: HandOverOrder,
  progress: Progress,
): Promise<HandedOver> {
  const home = { path: session.store.folder, name: 'the lab folder' };
  const fault = await outFault(wanted, [home], replace);
  if (fault !== null) return { kind: 'misplaced', says: fault };
  const held = await heldOn(session, participant);
  const releases = await releasesWith(session, participant);
  const days: DayOut[] = [];
  for (const day of held.filter(isHeld)) days.push(await dayOut(session, day, held));
  if (days.length === 0 && releases.length === 0)
    return { kind: 'nothing', error: unknownPerson(participant) };
  const contents = days.flatMap(({ files }) => [...files]);
  const files = new Map<string, OutFile>(contents.map(([path, { file }]) => [path, file]));
  const listed = contents
    .map(([path, { file, sha256, bytes }]) =>
      typeof file === 'string'
        ? { path, bytes: Buffer.byteLength(file), sha256: hashOf(file) }
        : { path, bytes: bytes!, sha256: sha256! },
    )
    .toSorted((a, b) => (a.path < b.path ? -1 : 1));
  const about = {
    format: 'lanebench-person/1',
    program: { name: 'lanebench', version: session.version },
    participant,
    days: days.map(({ day, date, trials, decisions, shown }) => ({
      day,
      date,
      trials,
      decisions,
      computed: shown,
    })),
    releases,
    files: listed,
  };
  files.set('person.json', `${JSON.stringify(about, null, 2)}\n`);
  files.set('README.md', personReadme(participant, days, releases));
  progress.total(files.size);
  const place = await settle(resolve(wanted));
  try {
    await rememberedWhile(session, 'folder', place, () =>
      writeFolder(place, files, replace, { signal: progress.signal, onFile: () => progress.step() }),
    );
  } catch (error) {
    if (progress.signal.aborted) return { kind: 'nothing', error: CANCELLED };
    if ((error as NodeJS.ErrnoException).code === undefined) throw error;
    return { kind: 'nothing', error: notWritten(wanted, error as Error) };
  }
  const trials = days.reduce((sum, day) => sum + day.trials.length, 0);
  const bytes = listed.reduce((sum, file) => sum + file.bytes, 0);
  return {
    kind: 'written',
    says: `${counted(days.length, 'day')}, ${counted(trials, 'trial')}, ${counted(files.size, 'file')}, ${bytesText(bytes)}: all that the lab folder holds on ${participant} is in ${wanted}.`,
    lines: days.flatMap(({ lines }) => lines),
  };
}

/** What is said where nothing is held on a code. */
export function unknownPerson(participant: string): LabError {
  return {
    code: 'not_found',
    says: `The lab folder holds nothing on ${participant}.`,
    todo: 'See how the code is written in the roster, in upper and lower case.',
  };
}

const CANCELLED: LabError = {
  code: 'cancelled',
  says: 'Nothing was handed over: it was cancelled.',
  todo: 'Nothing was left in its place; begin again when you like.',
};

function notWritten(out: string, { message }: Error): LabError {
  return {
    code: 'bad_input',
    says: `The folder could not be written to ${out}: ${message}. OUT is as it was.`,
    todo: 'See that there is room and that you may write, or choose another folder.',
  };
}

function hashOf(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}
