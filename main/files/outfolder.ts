/**
 * A folder that appears whole or not at all. It is written beside its place under a name of its own and put in place
 * by renames. Replacing an old one takes two renames; a marker between them lets the next start finish what a crash
 * left half done.
 */
import { randomBytes } from 'node:crypto';
import { constants, createReadStream, createWriteStream, existsSync } from 'node:fs';
import {
  chmod,
  copyFile,
  mkdir,
  open,
  readFile,
  readdir,
  rename,
  rm,
  rmdir,
  stat,
  writeFile,
} from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { pipeline } from 'node:stream/promises';

const names = (out: string) => {
  const at = (suffix: string) => join(dirname(out), `.${basename(out)}.lanebench-${suffix}`);
  return {
    marker: at('swap'),
    old: at('old'),
    stagingPrefix: basename(at('new-')),
  };
};

/** Names of this process's folders that are being built now. */
const inHand = new Set<string>();

/** A place beside `out` to build a folder in, which takes its name when it is whole; no other work has the same. */
export function stagingFor(out: string): { readonly path: string; readonly letGo: () => void } {
  const name = `${names(out).stagingPrefix}${process.pid}-${randomBytes(4).toString('hex')}`;
  inHand.add(name);
  return { path: join(dirname(out), name), letGo: () => inHand.delete(name) };
}

/** True where the folder of that name is still being built, by this process or another. */
function isBeingBuilt(name: string, stagingPrefix: string): boolean {
  const pid = Number(PLACE_OF_BUILDER.exec(name.slice(stagingPrefix.length))?.[1] ?? 0);
  // Numbers of processes are used again: one with ours that we know nothing of was left by one that is gone.
  return pid === process.pid ? inHand.has(name) : isAlive(pid);
}

/** A number of a process, and what tells its folders apart. */
const PLACE_OF_BUILDER = /^(\d+)(?:-[0-9a-f]{8})?$/;

/** Waits until a file or folder is on the disk. Folders cannot be synced everywhere; where not, nothing is lost by it. */
async function sync(path: string): Promise<void> {
  const handle = await open(path, 'r').catch(() => null);
  try {
    await handle?.sync();
  } catch (error) {
    if (!['EINVAL', 'EPERM', 'EISDIR', 'EBADF'].includes((error as NodeJS.ErrnoException).code ?? ''))
      throw error;
  } finally {
    await handle?.close();
  }
}

/** True where OUT may be written without replacing anything: absent, or an empty folder. */
export async function isFree(out: string): Promise<boolean> {
  try {
    return (await readdir(out)).length === 0;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'ENOENT';
  }
}

/** Finishes a replacement that a crash interrupted, and clears away unfinished folders of programs that are gone. */
export async function recover(out: string): Promise<void> {
  const { marker, old, stagingPrefix } = names(out);
  const staging = await readFile(marker, 'utf8').catch(() => null);
  if (staging !== null) {
    // A marker that names no folder of ours was cut while being written: nothing had been moved yet.
    const isOurs =
      staging.startsWith(stagingPrefix) && PLACE_OF_BUILDER.test(staging.slice(stagingPrefix.length));
    const fresh = isOurs ? join(dirname(out), staging) : '';
    if (existsSync(fresh)) {
      if (existsSync(out)) await rename(out, old);
      await rename(fresh, out);
    } else if (!existsSync(out) && existsSync(old)) await rename(old, out);
    await rm(old, { recursive: true, force: true });
    await rm(marker, { force: true });
  }
  for (const name of await readdir(dirname(out)).catch(() => []))
    if (name.startsWith(stagingPrefix) && !isBeingBuilt(name, stagingPrefix))
      await rm(join(dirname(out), name), { recursive: true, force: true });
}

function isAlive(pid: number): boolean {
  if (!Number.isInteger(pid) || pid <= 0) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/**
 * What a file of the folder holds: text, the bytes of another file, bytes made when it is their turn, or pieces written
 * one after the other, so that the whole is never in memory.
 */
export type OutFile =
  | string
  | { readonly copyOf: string }
  | { readonly make: () => Uint8Array | Promise<Uint8Array> }
  | { readonly pieces: () => AsyncIterable<string | Uint8Array> };

/** Above this a copy is made in pieces, so that it can be ended between two of them, bytes. */
const LONG_COPY = 1 << 26;

/** Copies a file's bytes; the copy may be written to, even where the original may not. */
async function copyPlain(from: string, to: string, signal: AbortSignal | undefined): Promise<void> {
  if (signal !== undefined && (await stat(from)).size > LONG_COPY)
    await pipeline(
      createReadStream(from, { highWaterMark: 1 << 20 }),
      createWriteStream(to, { flags: 'wx' }),
      {
        signal,
      },
    );
  else await copyFile(from, to, constants.COPYFILE_EXCL);
  await chmod(to, 0o644);
}

/** Notes the folders that a path lies in. */
function noteFolders(path: string, folders: Set<string>): void {
  for (let above = dirname(path); above !== '.'; above = dirname(above)) folders.add(above);
}

async function writePieces(path: string, pieces: AsyncIterable<string | Uint8Array>): Promise<void> {
  const handle = await open(path, 'wx');
  try {
    for await (const piece of pieces) await handle.appendFile(piece);
  } finally {
    await handle.close();
  }
}

/** How a long writing is followed and ended. */
export interface Following {
  /** Aborted, nothing is written, and the writing rejects with the signal's reason. */
  readonly signal?: AbortSignal;
  /** Told how many files are written, of how many where that is known beforehand. */
  readonly onFile?: (done: number, total: number) => void;
}

/**
 * Writes a folder of files under `out`'s name.
 * @param files path inside the folder, with forward slashes, and what it holds; each is asked for when the one before is
 *   written, so that a long list need not be in memory
 * @param replace whether what is there may be replaced
 */
export async function writeFolder(
  out: string,
  files: Iterable<readonly [string, OutFile]> | AsyncIterable<readonly [string, OutFile]>,
  replace: boolean,
  { signal, onFile }: Following = {},
): Promise<void> {
  const { marker, old } = names(out);
  const { path: staging, letGo } = stagingFor(out);
  try {
    await mkdir(dirname(out), { recursive: true });
    await mkdir(staging);
    let count = 0;
    const folders = new Set<string>();
    for await (const [name, content] of files) {
      signal?.throwIfAborted();
      const path = join(staging, name);
      await mkdir(dirname(path), { recursive: true });
      noteFolders(name, folders);
      if (typeof content === 'string') await writeFile(path, content);
      else if ('make' in content) await writeFile(path, await content.make());
      else if ('pieces' in content) await writePieces(path, content.pieces());
      else await copyPlain(content.copyOf, path, signal);
      await sync(path);
      onFile?.(++count, files instanceof Map ? files.size : count);
    }
    for (const folder of [...folders].toSorted((a, b) => b.length - a.length))
      await sync(join(staging, folder));
    await sync(staging);
    signal?.throwIfAborted();
    if (await isFree(out)) {
      if (existsSync(out)) await rmdir(out);
      await rename(staging, out);
    } else if (replace) {
      await rm(old, { recursive: true, force: true });
      await writeFile(marker, basename(staging), { flush: true });
      await sync(dirname(out));
      await rename(out, old);
      await rename(staging, out);
      await sync(dirname(out));
      await rm(old, { recursive: true, force: true });
      await rm(marker);
    } else throw new Error(`${out} was filled while it was being written`);
    await sync(dirname(out));
  } catch (error) {
    if (!existsSync(marker)) await rm(staging, { recursive: true, force: true });
    throw error;
  } finally {
    letGo();
  }
}
