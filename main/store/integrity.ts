/** Is everything that was recorded still there, and still what it was? */
import { existsSync } from 'node:fs';
import type { ReadableDb } from './database.ts';
import { hashFile } from './hash.ts';
import { hasTable } from './hastable.ts';
import { brokenResults } from './results.ts';
import { contentPath, contents, type Layout } from './layout.ts';

export interface Integrity {
  readonly sound: boolean;
  /** What is wrong with the database; empty where nothing is. */
  readonly databaseFaults: readonly string[];
  /** Raw files whose content is no longer that of their name. */
  readonly damagedRaw: readonly string[];
  /** Contents that a day, a recording, a file that came in or a release names and the lab folder lacks. */
  readonly missingRaw: readonly string[];
  readonly rawFiles: number;
  readonly rawBytes: number;
}

/** What is wrong with structure, constraints (through a writable connection), references and seals. */
export function databaseFaults(db: ReadableDb): string[] {
  const structure = db
    .all<{ integrity_check: string }>('PRAGMA integrity_check')
    .map((row) => row.integrity_check)
    .filter((found) => found !== 'ok');
  const references = db
    .all<{ table: string; rowid: number | null; parent: string }>('PRAGMA foreign_key_check')
    .map(({ table, rowid, parent }) => `row ${rowid ?? '?'} of ${table} refers to nothing in ${parent}`);
  return [...structure, ...references, ...db.damage.map(({ says }) => says.replace(/\.$/, ''))];
}

/** Contents that days, recordings, files that came in and releases name and `raw` lacks, sorted. */
export function missingContents(db: ReadableDb, raw: string): string[] {
  const released = hasTable(db, 'release_file') ? 'UNION SELECT sha256 FROM release_file' : '';
  return db
    .all<{ sha256: string }>(
      `SELECT sha256 FROM day_file UNION SELECT sha256 FROM recording
       UNION SELECT sha256 FROM arrival WHERE sha256 IS NOT NULL ${released} ORDER BY sha256`,
    )
    .map((row) => row.sha256)
    .filter((sha256) => !existsSync(contentPath(raw, sha256)));
}

/** Checks the database and reads every raw file through; an aborted signal rejects with its reason. */
export async function checkIntegrity(
  db: ReadableDb,
  layout: Layout,
  signal?: AbortSignal,
  onFile: (done: number, total: number) => void = () => undefined,
): Promise<Integrity> {
  const faults = [...databaseFaults(db), ...(hasTable(db, 'act') ? brokenResults(db) : [])];
  const missingRaw = missingContents(db, layout.raw);
  const damagedRaw: string[] = [];
  const found = existsSync(layout.raw) ? contents(layout.raw) : [];
  let rawBytes = 0;
  for (const [index, { sha256, path }] of found.entries()) {
    onFile(index, found.length);
    const content = await hashFile(path, signal);
    if (content.sha256 !== sha256) damagedRaw.push(path);
    rawBytes += content.bytes;
  }
  const sound = faults.length + missingRaw.length + damagedRaw.length === 0;
  return { sound, databaseFaults: faults, damagedRaw, missingRaw, rawFiles: found.length, rawBytes };
}

/** What of the lab a content is, for a person: the files of days, recordings, files that came in, releases. */
export function namesOf(db: ReadableDb, sha256: string): string[] {
  const days = db
    .all<{ code: string; path: string }>(
      `SELECT DISTINCT d.code, f.path FROM day_file f JOIN day d ON d.id = f.day WHERE f.sha256 = ? ORDER BY 1, 2`,
      sha256,
    )
    .map(({ code, path }) => `${path} of day ${code}`);
  const came = db
    .all<{ code: string; name: string }>(
      `SELECT DISTINCT d.code, a.name FROM arrival a JOIN day d ON d.id = a.day WHERE a.sha256 = ? ORDER BY 1, 2`,
      sha256,
    )
    .map(({ code, name }) => `${name} of day ${code}`);
  const recorded = db
    .all<{ file: string }>('SELECT file FROM recording WHERE sha256 = ?', sha256)
    .map(({ file }) => `the recording ${file} of the bench`);
  const released = hasTable(db, 'release_file')
    ? db
        .all<{ release: string; path: string }>(
          'SELECT release, path FROM release_file WHERE sha256 = ? ORDER BY 1, 2',
          sha256,
        )
        .map(({ release, path }) => `${path} of the release ${release}`)
    : [];
  return [...new Set([...days, ...came, ...recorded, ...released])];
}
