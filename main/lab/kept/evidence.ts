/** What numbers rest on, held against what it was when it came in. */
import type { LabError } from '../../../core/base/refusal.ts';
import { failed } from '../../../core/base/refusal.ts';
import type { EvidenceFault } from '../../../core/contract/views.ts';
import { HANDS } from '../../../core/base/hand.ts';
import { sensorWorn, type Daybook, type TrialEntry } from '../../../core/day/book.ts';
import { TABLE_NAMES } from '../../../core/day/tables.ts';
import type { BenchDraft } from '../../../core/sensor/draft.ts';
import { insidePath, type Found } from '../../files/source.ts';
import type { RawState } from '../../store/rawcheck.ts';
import type { Session } from './session.ts';

/** `known` looks at no file that was not looked at before: for lists. */
export type Look = 'checked' | 'known';

type Hashes = ReadonlyMap<string, string>;

/** What of a day says which files it rests on. */
interface Evidence {
  readonly book: Pick<Daybook, 'day'>;
  readonly hashes: Hashes;
  /** Recordings of the bench behind the calibration that each sensor uses. */
  readonly recordings: ReadonlyMap<string, readonly NamedContent[]>;
}

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
  { book, hashes, recordings }: Evidence,
  entry: TrialEntry,
  look: Look,
): Promise<readonly EvidenceFault[]> {
  const own = [entry.row.trace, ...[...entry.films.values()].map(({ file }) => file)];
  const tables = ['day.json', ...TABLE_NAMES.map((name) => `${name}.csv`)];
  const files = await faultsOf(session, hashes, [...own, ...tables], look);
  const worn = HANDS.flatMap((hand) => recordings.get(sensorWorn(book.day, entry.row, hand) ?? '') ?? []);
  return [...files, ...(await contentFaults(session, worn, look))];
}

/** Every file of a day that is no longer what it was. */
export async function dayEvidence(
  session: Session,
  { hashes, recordings }: Omit<Evidence, 'book'>,
): Promise<readonly EvidenceFault[]> {
  const files = await faultsOf(session, hashes, [...hashes.keys()], 'checked');
  return [...files, ...(await contentFaults(session, [...recordings.values()].flat(), 'checked'))];
}

/** A content of the lab folder, with what a person calls it. */
export interface NamedContent {
  readonly file: string;
  readonly sha256: string;
}

/** The recordings that the points of calibrations were read from, each once; points set aside count for nothing. */
export function recordingsOf(drafts: Iterable<BenchDraft>): readonly NamedContent[] {
  const used = new Map<string, NamedContent>();
  for (const { points } of drafts)
    for (const { source, setAside } of points)
      if (source.kind === 'trace' && setAside === null)
        used.set(source.sha256, { file: `The bench’s recording ${source.file}`, sha256: source.sha256 });
  return [...used.values()];
}

/** Which of these contents are no longer what they were. */
export async function contentFaults(
  session: Session,
  contents: readonly NamedContent[],
  look: Look,
): Promise<readonly EvidenceFault[]> {
  if (look === 'known') return knownFaults(session, contents);
  const faults: EvidenceFault[] = [];
  for (const content of contents)
    for (const fault of faultIn(content, await session.store.checkRaw(content.sha256))) faults.push(fault);
  return faults;
}

/** The same by what is known without reading them. */
export function knownFaults({ store }: Session, contents: readonly NamedContent[]): readonly EvidenceFault[] {
  return contents.flatMap((content) => faultIn(content, store.knownRaw(content.sha256)));
}

function faultIn({ file }: NamedContent, state: RawState): readonly EvidenceFault[] {
  if (state.state === 'missing') return [{ file, says: `${file} is missing from the lab folder.` }];
  return state.state === 'damaged' ? [{ file, says: `${file} ${state.why}.` }] : [];
}

function faultsOf(
  session: Session,
  hashes: Hashes,
  paths: readonly (string | null)[],
  look: Look,
): Promise<readonly EvidenceFault[]> {
  const contents = paths.flatMap((path) => {
    const file = path === null ? null : insidePath(path);
    const sha256 = file === null ? undefined : hashes.get(file);
    return file === null || sha256 === undefined ? [] : [{ file, sha256 }];
  });
  return contentFaults(session, contents, look);
}

/** Why nothing is written out of a day whose evidence is damaged. */
export function restsOnDamage(
  what: string,
  faults: readonly EvidenceFault[],
  todo = 'Bring the file in again: open the day again from its folder, or take the file from a backup. It is then checked and used.',
): { readonly ok: false; readonly error: LabError } {
  const named = faults.slice(0, 5).map(({ says }) => says);
  const more = faults.length > named.length ? [`And ${faults.length - named.length} more.`] : [];
  return failed({
    code: 'lab_folder',
    says: `${what}: it rests on damaged evidence. ${[...named, ...more].join(' ')}`,
    todo,
  });
}
