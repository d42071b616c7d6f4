/** Checking the whole lab folder: every raw file, every seal, the chain of acts, the database. */
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { bytesText, counted } from '../../../core/base/words.ts';
import type { ReadableStore } from '../../store/store.ts';
import type { Done, Progress } from '../kept/jobs.ts';
import { now, operatorOf, type Session } from '../kept/session.ts';
import { noteVerification } from '../kept/lastverification.ts';
import { notedOf } from '../kept/notices.ts';

export interface Verified {
  /** What is damaged, one line each; empty where all is as it was recorded. */
  readonly lines: readonly string[];
  /** What somebody took note of, one sentence each; damage that is still there stands in `lines` too. */
  readonly noted: readonly string[];
  readonly rawFiles: number;
  readonly rawBytes: number;
}

/**
 * Reads everything through; `all` also looks at raw files that nothing names, and tells of what lies put aside. An
 * aborted signal rejects.
 */
export async function verifyStore(
  store: ReadableStore,
  all: boolean,
  signal: AbortSignal,
  onFile: (done: number, total: number) => void,
): Promise<Verified> {
  const found = await store.checkIntegrity(signal, onFile);
  const named = (path: string, sha256: string, why: string) => {
    const names = store.rawNames(sha256);
    if (names.length === 0 && !all) return [];
    return [`${path}: ${why} (${names.length === 0 ? 'nothing names it' : names.join('; ')})`];
  };
  const raw = (path: string) => path.slice(store.folder.length + 1).replaceAll('\\', '/');
  const lines = [
    ...store
      .losses()
      .filter(({ who }) => who === null)
      .map(
        ({ expected, found: there }) =>
          `lab.sqlite: ${expected - there} acts are missing: ${expected} were acknowledged, ${there} are there`,
      ),
    ...found.databaseFaults.map((fault) => `lab.sqlite: ${fault}`),
    ...found.damagedRaw.flatMap((path) =>
      named(
        raw(path),
        raw(path).replaceAll('/', '').slice('raw'.length),
        'its content is no longer that of its SHA-256',
      ),
    ),
    ...found.missingRaw.flatMap((sha256) => named(raw(store.rawPath(sha256)), sha256, 'it is missing')),
    ...(all ? store.quarantined().map((folder) => `${raw(folder)}: damaged files lie put aside here`) : []),
  ];
  return { lines, noted: notedOf(store), rawFiles: found.rawFiles, rawBytes: found.rawBytes };
}

/** What was found, in a sentence or a few. */
export function verifiedText({ lines, noted, rawFiles, rawBytes }: Verified): string {
  const read = `${counted(rawFiles, 'raw file')}, ${bytesText(rawBytes)}, and the database were read through`;
  const known = noted.map((says) => ` ${says}.`).join('');
  if (lines.length === 0) return `${read}: all is as it was recorded.${known}`;
  const shown = lines.slice(0, 10);
  const more = lines.length - shown.length;
  return `${read}: ${lines.length === 1 ? 'one thing is' : `${lines.length} things are`} damaged. ${shown.join('. ')}.${more > 0 ? ` And ${more} more; "lanebench verify" lists all.` : ''}${known}`;
}

/** The check as work that a screen follows; what came of it is noted. */
export async function verifyLab(session: Session, progress: Progress): Promise<Outcome<Done, LabError>> {
  let verified: Verified;
  try {
    verified = await verifyStore(session.store, true, progress.signal, (files, total) => {
      progress.total(total + 1);
      if (files > 0) progress.step();
    });
  } catch (error) {
    if (!progress.signal.aborted) throw error;
    return failed({
      code: 'cancelled',
      says: 'The lab folder was not checked to its end: it was cancelled.',
      todo: 'Check it again when you like.',
    });
  }
  const says = verifiedText(verified);
  // Where nothing can be written it is told, and not noted.
  noteVerification(session, { says, sound: verified.lines.length === 0, at: now() }, operatorOf(session));
  progress.step();
  return done({ day: null, says });
}
