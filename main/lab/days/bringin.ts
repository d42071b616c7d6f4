/** Opening a day folder: its files are copied into the lab folder once, and again only what changed. */
import { realpath } from 'node:fs/promises';
import type { LabError } from '../../../core/base/refusal.ts';
import { TABLE_NAMES } from '../../../core/day/tables.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { folderSource, insidePath } from '../../files/source.ts';
import type { DayFile } from '../../store/days.ts';
import { bringSensors } from './broughtsensors.ts';
import type { Done, Progress } from '../kept/jobs.ts';
import { openDay, OPENING_PARTS, type OpenedDay } from '../kept/process.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import { trialOutcomes } from '../kept/outcome.ts';

/**
 * Brings a day folder in and computes its trials; the outcome names the day. Files of swimmers without consent are not
 * copied. Where it is cancelled, nothing is recorded; but once the day is recorded, only the computing of its trials stops.
 */
export async function bringIn(
  session: Session,
  folder: string,
  progress: Progress,
): Promise<Outcome<Done & { readonly day: number }, LabError>> {
  const { store } = session;
  const source = folderSource(folder);
  progress.total(OPENING_PARTS);
  const opened = await openDay(source, progress.signal, progress.step, progress.share);
  if (!opened.ok)
    return failed({
      code: 'not_a_day',
      says: opened.error.reason,
      todo: 'Choose the folder of a testing day.',
    });
  const { day: code } = opened.value.book.day;
  if (store.deckDays().some((deck) => deck.code === code))
    return failed({
      code: 'bad_input',
      says: `The day ${code} is run here; a folder of the same code would take its place.`,
      todo: 'Give the day another code in its day.json, or go on with the day that is here.',
    });
  const paths = filesOf(opened.value);
  progress.total(OPENING_PARTS + paths.length + opened.value.book.trials.length);
  const files: DayFile[] = [];
  let recorded;
  try {
    for (const path of paths) {
      const found = await source.find(path);
      if (found.kind === 'file') {
        const stored = await store.addRaw(found.absolute, progress.signal);
        if (!stored.ok) return storeFault(stored.error);
        files.push({ path, sha256: stored.value.sha256, bytes: stored.value.bytes });
      }
      progress.step();
    }
    progress.signal.throwIfAborted();
    const { day } = opened.value.book;
    recorded = store.recordDay({
      day: day.day,
      date: day.date,
      venue: day.venue,
      source: await realpath(folder),
      files,
      at: now(),
      who: operatorOf(session),
    });
  } finally {
    // What was copied for an opening that did not come about is taken away again.
    if (recorded?.ok !== true) for (const { sha256 } of files) store.dropRaw(sha256);
  }
  if (!recorded.ok) return storeFault(recorded.error);
  const sha256 = files.find(({ path }) => path === 'calibration.csv')?.sha256 ?? null;
  const brought = bringSensors(session, opened.value.book, sha256);
  if (!brought.ok) return brought;
  const { trials } = opened.value.book;
  let count = 0;
  try {
    const computed = await trialOutcomes(session, recorded.value.id, () => {
      count++;
      progress.step();
      progress.signal.throwIfAborted();
    });
    return computed.ok ? done({ day: recorded.value.id, says: '' }) : computed;
  } catch (error) {
    if (!progress.signal.aborted) throw error;
    return failed({
      code: 'cancelled',
      says: `The day ${code} is in the lab folder, with all of its files. Computing its trials was stopped after ${count} of ${trials.length}.`,
      todo: 'The others are computed when the day is opened from the list.',
    });
  }
}

/** Paths of everything a day uses, each once. */
function filesOf({ book }: OpenedDay): readonly string[] {
  const paths = ['day.json', ...TABLE_NAMES.map((name) => `${name}.csv`)];
  for (const { row, films } of book.trials)
    for (const path of [row.trace, ...[...films.values()].map(({ file }) => file)]) {
      const inside = path === null ? null : insidePath(path);
      if (inside !== null) paths.push(inside);
    }
  return [...new Set(paths)];
}
