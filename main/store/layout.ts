/** Where things lie in a lab folder. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';

export interface Layout {
  readonly folder: string;
  readonly database: string;
  /** The head of the chain of acts. */
  readonly head: string;
  /** Content by SHA-256: `raw/ab/cdef…`. */
  readonly raw: string;
  /** Raw files still being copied. */
  readonly incoming: string;
  /** Copies of the database made before it was brought to a newer version. */
  readonly beforeUpgrade: string;
  /** Copies of the database made before its indexes were made anew. */
  readonly beforeRepair: string;
  /** Damaged files, put aside. */
  readonly quarantine: string;
  /** What the browser window keeps as its own. */
  readonly window: string;
}

export function layoutOf(folder: string): Layout {
  return {
    folder,
    database: join(folder, 'lab.sqlite'),
    head: join(folder, 'lab.head'),
    raw: join(folder, 'raw'),
    incoming: join(folder, 'raw', 'incoming'),
    beforeUpgrade: join(folder, 'before-upgrade'),
    beforeRepair: join(folder, 'before-repair'),
    quarantine: join(folder, 'quarantine'),
    window: join(folder, 'window'),
  };
}

const SHA256 = /^[0-9a-f]{64}$/;

/** Path of a content in a raw folder. */
export function contentPath(raw: string, sha256: string): string {
  if (!SHA256.test(sha256)) throw new Error(`"${sha256}" is no SHA-256 in lower-case hexadecimal.`);
  return join(raw, sha256.slice(0, 2), sha256.slice(2));
}

/** The folders of a raw folder that hold contents, sorted. */
export function contentFolders(raw: string): string[] {
  return readdirSync(raw)
    .filter((name) => /^[0-9a-f]{2}$/.test(name))
    .sort();
}

/** The contents of a raw folder: SHA-256 from the place, path as it lies; sorted. */
export function contents(raw: string): { readonly sha256: string; readonly path: string }[] {
  return contentFolders(raw).flatMap((start) =>
    readdirSync(join(raw, start))
      .filter((rest) => SHA256.test(start + rest))
      .sort()
      .map((rest) => ({ sha256: start + rest, path: join(raw, start, rest) })),
  );
}
