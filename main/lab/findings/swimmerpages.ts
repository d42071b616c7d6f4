/** A page per swimmer of a testing day, from a day folder or from the lab folder, as HTML and as PDF. */
import { resolve } from 'node:path';
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { isPlainCode } from '../../../core/base/table.ts';
import type { Hand } from '../../../core/base/hand.ts';
import { HANDS } from '../../../core/base/hand.ts';
import { curvePoints } from '../../../core/dataset/curvefields.ts';
import type { Daybook, TrialEntry } from '../../../core/day/book.ts';
import { swimmerPageHtml, type OwnAttempt } from '../../../core/pages/swimmer.ts';
import { trialForces } from '../../../core/trial/trial.ts';
import type { TrialResult } from '../../../core/trial/result.ts';
import { writeFolder, type OutFile } from '../../files/outfolder.ts';
import { outFault, settle, whyNotWritten } from '../../files/outplace.ts';
import { folderSource, type DaySource } from '../../files/source.ts';
import type { Progress } from '../kept/jobs.ts';
import type { PrintPdf } from '../kept/port.ts';
import { inputOf, openDay, readTrialFiles } from '../kept/process.ts';
import { processDay } from '../kept/processday.ts';
import type { Session } from '../kept/session.ts';
import { keptDay } from '../kept/keptday.ts';
import { trialOutcome } from '../kept/outcome.ts';
import { decisionsOn, statusOf } from '../days/status.ts';
import { namesHidden } from '../kept/deckhidden.ts';

export interface PagesOrder {
  readonly out: string;
  readonly replace: boolean;
  /** Prints each page as PDF too; null for none. */
  readonly printPdf: PrintPdf | null;
}

export type PagesOutcome =
  | { readonly kind: 'misplaced'; readonly says: string }
  | { readonly kind: 'nothing'; readonly error: LabError }
  | {
      readonly kind: 'written';
      readonly pages: number;
      readonly refused: number;
      readonly leftOut: Daybook['leftOut'];
    };

/** What the pages of a day are made from. */
interface DayOfPages {
  readonly source: DaySource;
  readonly book: Daybook;
  readonly result: (entry: TrialEntry) => Promise<TrialResult>;
  readonly isExcluded: (entry: TrialEntry) => boolean;
  readonly refused: number;
}

/** Pages of a day folder; nothing is kept. */
export async function folderPages(
  folder: string,
  order: PagesOrder,
  progress: Progress,
): Promise<PagesOutcome> {
  const fault = await outFault(order.out, [{ path: folder, name: 'the day folder' }], order.replace);
  if (fault !== null) return { kind: 'misplaced', says: fault };
  const source = folderSource(await settle(resolve(folder)));
  const opened = await openDay(source).catch(() => null);
  if (opened?.ok !== true) {
    const says = opened === null ? `There is no folder ${folder}.` : opened.error.reason;
    return { kind: 'nothing', error: { code: 'not_a_day', says, todo: 'Give the folder of a testing day.' } };
  }
  const processed = await processDay(source, opened.value);
  const results = new Map(processed.records.map(({ entry, result }) => [entry.row.trial, result]));
  const day: DayOfPages = {
    source,
    book: opened.value.book,
    result: ({ row }) => Promise.resolve(results.get(row.trial)!),
    isExcluded: ({ row }) => row.status === 'excluded',
    refused: processed.refused.length,
  };
  return writePages(day, order, progress);
}

/** Pages of a day of the lab folder as it stands, by its code. */
export async function labPages(
  session: Session,
  code: string,
  order: PagesOrder,
  progress: Progress,
): Promise<PagesOutcome> {
  const home = { path: session.store.folder, name: 'the lab folder' };
  const fault = await outFault(order.out, [home], order.replace);
  if (fault !== null) return { kind: 'misplaced', says: fault };
  const day = await labDay(session, code);
  return day.ok ? writePages(day.value, order, progress) : { kind: 'nothing', error: day.error };
}

async function labDay(session: Session, code: string): Promise<Outcome<DayOfPages, LabError>> {
  const row = session.store.listDays().find(({ day }) => day === code);
  if (row === undefined)
    return failed({
      code: 'not_found',
      says: `There is no day ${code} in the lab folder.`,
      todo: 'Open it first, or name one that is there.',
    });
  const kept = await keptDay(session, row.id);
  if (!kept.ok) return kept;
  const decisions = decisionsOn(session, row.id);
  const names = namesHidden(session, row.id);
  return done({
    source: kept.value.source,
    book: kept.value.book,
    result: async (entry) => (await trialOutcome(session, kept.value, entry)).result,
    isExcluded: (entry) => statusOf(entry, decisions.get(entry.row.trial), names).status === 'excluded',
    refused: 0,
  });
}

async function writePages(day: DayOfPages, order: PagesOrder, progress: Progress): Promise<PagesOutcome> {
  const swimmers = day.book.roster.filter(({ participant }) =>
    day.book.trials.some(({ row }) => row.participant === participant),
  );
  if (swimmers.length === 0) {
    const says = 'There is no swimmer of this day to write a page for.';
    return {
      kind: 'nothing',
      error: { code: 'bad_input', says, todo: 'Look at the roster, its consents and the trials.' },
    };
  }
  progress.total(swimmers.length);
  try {
    const files = pageFiles(day, swimmers, order, progress);
    await writeFolder(await settle(resolve(order.out)), files, order.replace);
  } catch (error) {
    if (error instanceof NotPrinted) return { kind: 'nothing', error: error.error };
    if ((error as NodeJS.ErrnoException).code === undefined) throw error;
    const says = `The pages could not be written to ${order.out}: ${whyNotWritten(error)}. OUT is as it was.`;
    const todo = 'See that there is room and that you may write, or choose another folder.';
    return { kind: 'nothing', error: { code: 'bad_input', says, todo } };
  }
  return { kind: 'written', pages: swimmers.length, refused: day.refused, leftOut: day.book.leftOut };
}

class NotPrinted extends Error {
  readonly error: LabError = {
    code: 'bad_input',
    says: 'The browser did not make a PDF of a page; nothing was written.',
    todo: 'Leave out --pdf and print the pages from a browser, or name another one in LANEBENCH_BROWSER.',
  };
}

async function* pageFiles(
  day: DayOfPages,
  swimmers: Daybook['roster'],
  { printPdf }: PagesOrder,
  progress: Progress,
): AsyncGenerator<readonly [string, OutFile]> {
  for (const { participant } of swimmers) {
    progress.signal.throwIfAborted();
    const attempts: OwnAttempt[] = [];
    for (const entry of day.book.trials)
      if (entry.row.participant === participant) attempts.push(await attemptOf(day, entry));
    const { day: code, date } = day.book.day;
    const html = swimmerPageHtml({ participant, day: code, date, attempts, picture: null });
    const name = isPlainCode(participant) ? participant : `swimmer${participant}`;
    yield [`${name}.html`, html];
    if (printPdf !== null) {
      const pdf = await printPdf(html);
      if (pdf === null) throw new NotPrinted();
      yield [`${name}.pdf`, { make: () => pdf }];
    }
    progress.step();
  }
}

async function attemptOf(
  { source, book, result, isExcluded }: DayOfPages,
  entry: TrialEntry,
): Promise<OwnAttempt> {
  const { trial, attempt, condition } = entry.row;
  const own = await result(entry);
  const about = { trial, attempt, condition, isExcluded: isExcluded(entry), result: own };
  const none = { left: null, right: null };
  if (entry.row.trace === null) return { ...about, curves: none };
  const reading = await readTrialFiles(source, book, { ...entry, films: new Map() });
  if (reading.trace === null) return { ...about, curves: none };
  const force = trialForces(inputOf(book, entry, reading).input);
  const points = curvePoints(entry.row, reading.trace, force, own, book.day.protocol.accept.maxGapMs);
  const curve = (hand: Hand) => {
    const values = points.flatMap((point) => (point.hand === hand ? [point.forceN] : []));
    return values.length === 0 ? null : values;
  };
  const [left, right] = HANDS.map(curve);
  return { ...about, curves: { left: left ?? null, right: right ?? null } };
}
