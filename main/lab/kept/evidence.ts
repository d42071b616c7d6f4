/** What numbers rest on, held against what it was when it came in. */
import type { LabError } from '../../../core/base/refusal.ts';
import { failed } from '../../../core/base/refusal.ts';
import type { EvidenceFault } from '../../../core/contract/views.ts';
import type { TrialEntry } from '../../../core/day/book.ts';
import { TABLE_NAMES } from '../../../core/day/tables.ts';
import { insidePath, type Found } from '../../files/source.ts';
import type { RawState } from '../../store/rawcheck.ts';
import type { Session } from './session.ts';

/** `known` looks at no file that was not looked at before: for lists. */
export type Look = 'checked' | 'known';

type Hashes = ReadonlyMap<string, string>;

/** A content of the lab folder, checked at its first use. */
export async function findRaw(
  { store }: Session,
  sha256: string | undefined,
  bytes: (path: string) => number,
): Promise<Found> {
  if (sha256 === undefined) return { kind: 'absent' };
  const state = await store.checkRaw(sha256);
  if (state.state === 'missing') return { kind: 'absent' };
  if (state.state === 'damaged') return { kind: 'damaged', why: state.why };
  const absolute = store.rawPath(sha256);
  return { kind: 'file', absolute, bytes: bytes(absolute) };
}

/** Which of a trial's files are no longer what they were. */
export async function evidenceOf(
  session: Session,
  hashes: Hashes,
  entry: TrialEntry,
  look: Look,
): Promise<readonly EvidenceFault[]> {
  const own = [entry.row.trace, ...[...entry.films.values()].map(({ file }) => file)];
  const tables = ['day.json', ...TABLE_NAMES.map((name) => `${name}.csv`)];
  return faultsOf(session, hashes, [...own, ...tables], look);
}

/** Every file of a day that is no longer what it was. */
export function dayEvidence(session: Session, hashes: Hashes): Promise<readonly EvidenceFault[]> {
  return faultsOf(session, hashes, [...hashes.keys()], 'checked');
}

async function faultsOf(
  { store }: Session,
  hashes: Hashes,
  paths: readonly (string | null)[],
  look: Look,
): Promise<readonly EvidenceFault[]> {
  const faults: EvidenceFault[] = [];
  for (const path of paths) {
    const file = path === null ? null : insidePath(path);
    const sha256 = file === null ? undefined : hashes.get(file);
    if (file === null || sha256 === undefined) continue;
    const says = wordOf(file, look === 'known' ? store.knownRaw(sha256) : await store.checkRaw(sha256));
    if (says !== null) faults.push({ file, says });
  }
  return faults;
}

function wordOf(file: string, state: RawState): string | null {
  if (state.state === 'missing') return `${file} is missing from the lab folder.`;
  return state.state === 'damaged' ? `${file} ${state.why}.` : null;
}

/** Why nothing is written out of a day whose evidence is damaged. */
export function restsOnDamage(
  what: string,
  faults: readonly EvidenceFault[],
): { readonly ok: false; readonly error: LabError } {
  const named = faults.slice(0, 5).map(({ says }) => says);
  const more = faults.length > named.length ? [`And ${faults.length - named.length} more.`] : [];
  return failed({
    code: 'lab_folder',
    says: `${what}: it rests on damaged evidence. ${[...named, ...more].join(' ')}`,
    todo: 'Bring the file in again: open the day again from its folder, or take the file from a backup. It is then checked and used.',
  });
}
