/**
 * The head of the chain of acts, in a file beside the database: its number and link, on the disk before an act is
 * acknowledged. Two slots are written by turns, each with a checksum of its own, so that a torn write costs the newer
 * one only.
 */
import { createHash } from 'node:crypto';
import {
  closeSync,
  existsSync,
  fdatasyncSync,
  openSync,
  readFileSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { dirname } from 'node:path';
import { syncFile, syncFolder } from './durable.ts';
import { OWN } from './own.ts';

export interface Head {
  /** Number of the last act. */
  readonly id: number;
  readonly link: string;
}

const SLOT_BYTES = 128;

/** The head as it was last written; null where there is no such file, or nothing of it can be read. */
export function readHead(path: string): Head | null {
  if (!existsSync(path)) return null;
  const text = readFileSync(path, 'latin1');
  const slots = [text.slice(0, SLOT_BYTES), text.slice(SLOT_BYTES, 2 * SLOT_BYTES)].flatMap(
    (slot) => parse(slot) ?? [],
  );
  return slots.toSorted((a, b) => b.id - a.id)[0] ?? null;
}

/** Writes the head and waits until it is on the disk. Throws the file system's error where it cannot. */
export function writeHead(path: string, head: Head): void {
  if (!existsSync(path)) throw Object.assign(new Error(`${path} is gone`), { code: 'ENOENT' });
  const handle = openSync(path, 'r+');
  try {
    writeSync(handle, print(head), (head.id % 2) * SLOT_BYTES, 'latin1');
    fdatasyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** Makes the file, or writes it anew where the database has fewer acts than it says. */
export function resetHead(path: string, head: Head): void {
  const blank = ' '.repeat(SLOT_BYTES);
  writeFileSync(path, head.id % 2 === 0 ? print(head) + blank : blank + print(head), {
    encoding: 'latin1',
    mode: OWN.file,
  });
  syncFile(path);
  syncFolder(dirname(path));
}

function print({ id, link }: Head): string {
  const text = `${id} ${link}`;
  return `${`${text} ${checksum(text)}`.padEnd(SLOT_BYTES - 1)}\n`;
}

function parse(slot: string): Head | null {
  const [, text, id, link, check] = /^((\d{1,15}) ([0-9a-f]{64})) ([0-9a-f]{16}) *\n$/.exec(slot) ?? [];
  return text !== undefined && checksum(text) === check ? { id: Number(id), link: link! } : null;
}

function checksum(text: string): string {
  return createHash('sha256').update(text).digest('hex').slice(0, 16);
}
