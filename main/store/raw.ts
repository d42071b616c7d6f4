/**
 * Raw files are evidence: copied once under their SHA-256, made read-only, never changed. A copy takes its place only
 * when it is whole and on the disk; until then it lies in `raw/incoming` under a name that tells whose it is.
 */
import { randomUUID, createHash } from 'node:crypto';
import { chmodSync, existsSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { open, stat } from 'node:fs/promises';
import { hostname } from 'node:os';
import { dirname, join } from 'node:path';
import type { Outcome } from '../../core/base/refusal.ts';
import { makeFolder, syncFolder } from './durable.ts';
import { attempt, attemptAsync, StoreFailure, type StoreError } from './errors.ts';
import {
  fromSource,
  hashFile,
  readThrough,
  unreadable,
  writeAll,
  type Content,
  type OnBytes,
} from './hash.ts';
import { contentPath, type Layout } from './layout.ts';
import { OWN } from './own.ts';
import { quarantineFile } from './quarantine.ts';
import type { RawChecking } from './rawcheck.ts';

export interface RawReading {
  /** Where a content lies; it need not be there. `sha256` in lower-case hexadecimal. */
  readonly rawPath: (sha256: string) => string;
  readonly hasRaw: (sha256: string) => boolean;
}

export interface RawWriting {
  /**
   * Copies a file into the lab folder, or recognises that its content is there already. `onBytes` is told the bytes
   * read so far; it starts over once where a file of that length is known but the content proves new. An aborted
   * signal rejects with the signal's reason and leaves nothing behind.
   */
  readonly addRaw: (
    path: string,
    signal?: AbortSignal,
    onBytes?: OnBytes,
  ) => Promise<Outcome<Content, StoreError>>;
  /** `addRaw` for content in memory. */
  readonly addRawBytes: (bytes: Uint8Array) => Promise<Outcome<Content, StoreError>>;
  /** Takes away a content that nothing names, such as what an opening that was given up has copied. */
  readonly dropRaw: (sha256: string) => Outcome<null, StoreError>;
}

export function rawReading(layout: Layout): RawReading {
  const rawPath = (sha256: string) => contentPath(layout.raw, sha256);
  return { rawPath, hasRaw: (sha256) => existsSync(rawPath(sha256)) };
}

/** `lengthKnown` tells whether some day holds a file of that many bytes, `isNamed` whether one holds that content. */
export function rawWriting(
  layout: Layout,
  lengthKnown: (bytes: number) => boolean,
  isNamed: (sha256: string) => boolean,
  { checkRaw }: RawChecking,
): RawWriting {
  /** True where the content lies in its place and is whole: a damaged one is put aside for the one that comes. */
  const isThere = async (content: Content) =>
    isWhole(layout, content) && (await checkRaw(content.sha256)).state === 'whole';
  return {
    addRaw: (path, signal, onBytes) =>
      attemptAsync(layout.folder, async () => {
        const source = await fromSource(path, () => stat(path));
        if (!source.isFile()) throw new StoreFailure(unreadable(path, 'it is not a file'));
        if (lengthKnown(source.size)) {
          const content = await hashFile(path, signal, onBytes);
          if (await isThere(content)) return content;
        }
        return bringIn(layout, (write) => readThrough(path, write, signal, onBytes), isThere);
      }),
    addRawBytes: (bytes) =>
      attemptAsync(layout.folder, async () => {
        const content = { sha256: createHash('sha256').update(bytes).digest('hex'), bytes: bytes.length };
        if (await isThere(content)) return content;
        const fill: Fill = async (write) => {
          await write(bytes);
          return content;
        };
        return bringIn(layout, fill, isThere);
      }),
    dropRaw: (sha256) =>
      attempt(layout.folder, () => {
        if (!isNamed(sha256)) rmSync(contentPath(layout.raw, sha256), { force: true });
        return null;
      }),
  };
}

type Fill = (write: (piece: Uint8Array) => Promise<void>) => Promise<Content>;

async function bringIn(
  layout: Layout,
  fill: Fill,
  isThere: (content: Content) => Promise<boolean>,
): Promise<Content> {
  const name = `${OWN_MARK}${randomUUID()}`;
  const path = join(layout.incoming, name);
  inHand.add(name);
  try {
    const target = await open(path, 'wx', OWN.file);
    let content;
    try {
      content = await fill((piece) => writeAll(target, piece));
      await target.sync();
    } finally {
      await target.close();
    }
    if (!(await isThere(content))) settle(layout, path, content);
    return content;
  } finally {
    rmSync(path, { force: true });
    inHand.delete(name);
  }
}

/** Gives a whole copy its place. What lay there and is not that content is put aside. */
function settle(layout: Layout, path: string, content: Content): void {
  const place = contentPath(layout.raw, content.sha256);
  if (existsSync(place)) quarantineFile(layout, place);
  makeFolder(dirname(place));
  chmodSync(path, OWN.raw);
  try {
    renameSync(path, place);
  } catch (caught) {
    // Windows will not rename over a read-only file: another window has just brought in the same content.
    if (!isWhole(layout, content)) throw caught;
  }
  syncFolder(dirname(place));
}

function isWhole(layout: Layout, content: Content): boolean {
  const place = contentPath(layout.raw, content.sha256);
  return existsSync(place) && statSync(place).size === content.bytes;
}

/** Copies being made by this process now. */
const inHand = new Set<string>();
const HOST_MARK = createHash('sha256').update(hostname()).digest('hex').slice(0, 8);
const OWN_MARK = `${HOST_MARK}-${process.pid}-`;

/**
 * Removes copies that were never finished: those of processes of this computer that are gone. Those of another
 * computer sharing the folder are left, for it cannot be known whether they are still being made.
 */
export function sweepIncoming(layout: Layout): void {
  for (const name of readdirSync(layout.incoming)) {
    const [host, pid] = name.split('-');
    if (host !== HOST_MARK || inHand.has(name)) continue;
    if (Number(pid) === process.pid || !isRunning(Number(pid))) rmSync(join(layout.incoming, name));
  }
}

/** True where a process of that number is there. */
export function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (caught) {
    // EPERM: it runs, under another user.
    return caught instanceof Error && 'code' in caught && caught.code === 'EPERM';
  }
}
