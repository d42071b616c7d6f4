/**
 * Releases: chosen days as they stood, under a name. A release is a list of contents by path, each kept by its hash
 * beside the raw files; it is added whole or not at all, and never altered.
 */
import { createHash } from 'node:crypto';
import type { Outcome } from '../../core/base/refusal.ts';
import { chain } from './acts.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import type { ShapeOf } from './decisions.ts';
import { attempt, StoreFailure, type StoreError } from './errors.ts';
import { hasTable } from './hastable.ts';
import { parseJson } from './json.ts';

/** A content of a release. */
export interface ReleaseFile {
  /** Inside the release, with forward slashes. */
  readonly path: string;
  readonly sha256: string;
  readonly bytes: number;
}

export interface ReleaseToKeep {
  readonly name: string;
  /** Of the program that made it. */
  readonly version: string;
  /** What it is about; anything JSON can hold. */
  readonly about: unknown;
  /** ISO 8601 instant. */
  readonly at: string;
  readonly who: string;
  readonly files: readonly ReleaseFile[];
}

export interface StoredRelease extends Omit<ReleaseToKeep, 'files'> {
  /** SHA-256 of the list of its contents, as `sha256sum` writes one, in the order of paths. */
  readonly sha256: string;
  /** The shape in which `about` was written. */
  readonly shape: number;
}

export interface ReleaseReading {
  /** Oldest first. */
  readonly releases: () => StoredRelease[];
  readonly getRelease: (name: string) => StoredRelease | null;
  /** Contents whose path begins so, in the order of paths. */
  readonly releaseFiles: (name: string, start: string) => ReleaseFile[];
}

export interface ReleaseWriting {
  /** Its contents must lie in the lab folder. Fails with `changed_meanwhile` where the name is taken. */
  readonly addRelease: (release: ReleaseToKeep) => Outcome<StoredRelease, StoreError>;
}

/** What is no longer what was kept does not count. */
const WHOLE = "name NOT IN (SELECT row FROM temp.broken WHERE what = 'release')";

export function releaseReading(db: ReadableDb): ReleaseReading {
  return {
    releases: () =>
      db.all<ReleaseRow>(`SELECT * FROM release WHERE ${WHOLE} ORDER BY at, name`).map(toRelease),
    getRelease: (name) => {
      const row = db.get<ReleaseRow>(`SELECT * FROM release WHERE name = ? AND ${WHOLE}`, name);
      return row === undefined ? null : toRelease(row);
    },
    releaseFiles: (name, start) =>
      db.all<ReleaseFile>(
        `SELECT path, sha256, bytes FROM release_file
         WHERE release = @name AND substr(path, 1, length(@start)) = @start ORDER BY path`,
        { name, start },
      ),
  };
}

export function releaseWriting(db: WritableDb, folder: string, shapeOf: ShapeOf): ReleaseWriting {
  return {
    addRelease: (release) =>
      attempt(folder, () => db.transaction(() => add(db, release, shapeOf('release')))),
  };
}

function add(db: WritableDb, { files, ...release }: ReleaseToKeep, shape: number): StoredRelease {
  const { name, version, about, at, who } = release;
  if (db.get('SELECT 1 FROM release WHERE name = ?', name) !== undefined)
    throw new StoreFailure({
      code: 'changed_meanwhile',
      says: `There is a release ${name} already; a release is never altered.`,
      todo: 'Give the new release another name.',
    });
  const sha256 = listSha256(files);
  db.run(
    `INSERT INTO release (name, sha256, version, about, at, who, shape)
     VALUES (@name, @sha256, @version, @about, @at, @who, @shape)`,
    { name, sha256, version, about: JSON.stringify(about), at, who, shape },
  );
  for (const file of files)
    db.run(
      'INSERT INTO release_file (release, path, sha256, bytes) VALUES (?, ?, ?, ?)',
      name,
      file.path,
      file.sha256,
      file.bytes,
    );
  chain(db, 'release', name);
  return { ...release, sha256, shape };
}

/** SHA-256 (FIPS 180-4) of a list of contents: a line each in the order of paths, hash, two spaces, path. */
export function listSha256(files: readonly Pick<ReleaseFile, 'path' | 'sha256'>[]): string {
  const hash = createHash('sha256');
  for (const { path, sha256 } of files.toSorted((a, b) => (a.path < b.path ? -1 : 1)))
    hash.update(`${sha256}  ${path}\n`);
  return hash.digest('hex');
}

/** Names of releases whose list of contents is not the one that was kept. */
export function brokenReleases(db: ReadableDb): string[] {
  if (!hasTable(db, 'release')) return [];
  const files = 'SELECT path, sha256 FROM release_file WHERE release = ?';
  return db
    .all<ReleaseRow>('SELECT * FROM release ORDER BY name')
    .filter(({ name, sha256 }) => listSha256(db.all<ReleaseFile>(files, name)) !== sha256)
    .map(({ name }) => name);
}

type ReleaseRow = StoredRelease & { readonly about: string };

function toRelease({ name, sha256, version, about, at, who, shape }: ReleaseRow): StoredRelease {
  return { name, sha256, version, about: parseJson(about), at, who, shape };
}
