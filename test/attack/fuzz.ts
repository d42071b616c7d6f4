/** Days with files damaged by chance: nothing throws, every number printed is one, every refusal is a sentence. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { datasetTables } from '../../core/dataset/dataset.ts';
import { printTable } from '../../core/dataset/package.ts';
import { folderSource } from '../../main/files/source.ts';
import { openDay } from '../../main/lab/kept/process.ts';
import { processDay } from '../../main/lab/kept/processday.ts';
import type { Attack } from './attempt.ts';
import { dayTexts, writeDay } from './day.ts';
import type { Lot } from './lot.ts';

/** What a file may suddenly hold. */
const BITS = [
  ',', ';', '\t', '"', '""', '\n', '\r', '\r\n', '\0', '\uFEFF', '\u001b[2J', '\u202e', '#', '-', '-1', '0', '1e308',
  '-1e308', '1e-308', '1e999', 'NaN', 'Infinity', '=1+1', "'", '../../x', '/etc/passwd', 'null', '[]', '{}', 'true',
  '__proto__', 'constructor', 'P01', 'T1', 'T2', 'S-01', '2147483648', '9007199254740993', ' ', 'é', '🏊', '\uD800',
]; // prettier-ignore

/** One piece of damage. */
function damaged(bytes: Buffer, lot: Lot): Buffer {
  const at = lot.whole(bytes.length + 1);
  const to = Math.min(bytes.length, at + lot.whole(lot.oneOf([2, 20, 400])));
  const [before, cut, after] = [bytes.subarray(0, at), bytes.subarray(at, to), bytes.subarray(to)];
  switch (lot.whole(6)) {
    case 0:
      return Buffer.concat([before, Buffer.from(lot.oneOf(BITS)), bytes.subarray(at)]);
    case 1:
      return Buffer.concat([before, Buffer.from(lot.oneOf(BITS)), after]);
    case 2:
      return Buffer.concat([before, after]);
    case 3:
      return Buffer.concat([before, cut, cut, after]);
    case 4:
      return Buffer.from(before);
    default: {
      const flipped = Buffer.from(bytes);
      if (flipped.length > 0) flipped[Math.min(at, flipped.length - 1)]! ^= 1 << lot.whole(8);
      return flipped;
    }
  }
}

/** What is wrong with what came of a damaged day; null where nothing is. */
async function faultOf(folder: string): Promise<string | null> {
  const source = folderSource(folder);
  const opened = await openDay(source);
  if (!opened.ok) return sentenceFault(opened.error.reason);
  const processed = await processDay(source, opened.value);
  for (const { reason } of processed.refused) {
    const fault = sentenceFault(reason);
    if (fault !== null) return fault;
  }
  for (const table of datasetTables(opened.value.book, processed.records, processed.refused)) {
    const text = printTable(table);
    if (/(^|,)-?(Infinity|NaN|undefined|null)(,|$)/m.test(text))
      return `${table.name}.csv holds what is no number`;
  }
  return null;
}

function sentenceFault(reason: string): string | null {
  if (!/[.]$/.test(reason)) return `no sentence: ${reason}`;
  return /expected string|received undefined|Invalid input|in JSON at position/i.test(reason)
    ? `a library’s words: ${reason}`
    : null;
}

export const fuzz: Attack = {
  name: 'damaged files',
  promise: 'No file makes the program fail',
  times: 20_000,
  most: 2_500,
  inMemory: true,
  async run({ times, lot, folder, note }) {
    const whole = dayTexts();
    const names = [...whole.keys()];
    writeDay(folder);
    for (let n = 0; n < times; n++) {
      // A trace is read for every case: damage of the other files is what is tried most.
      const name = lot.oneOf(names);
      let bytes = Buffer.from(whole.get(name)!);
      for (let hits = 1 + lot.whole(3); hits > 0; hits--) bytes = Buffer.from(damaged(bytes, lot));
      const path = join(folder, name);
      writeFileSync(path, bytes);
      try {
        const fault = await faultOf(folder);
        note(fault === null ? null : `case ${n}, ${name}: ${fault}`);
      } catch (error) {
        note(
          `case ${n}, ${name}: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`,
        );
      }
      writeFileSync(path, whole.get(name)!);
    }
  },
};
