/**
 * Lab folders as programs that were released left them, made by those programs: two trials of the sample day with what
 * was decided on them, the bench, a protocol and a day run on deck, as far as each program knew of them.
 */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { tempFolder } from '../files/day-builder.ts';

const KEPT = join(import.meta.dirname, 'old-labs');

/** `store-4`: the same, before marks had uncertainties of their own and deck days read pressures at their start. */
export const OLD_LABS = ['store-1', 'store-2', 'store-3-first', 'store-3', 'store-4'] as const;
export type OldLab = (typeof OLD_LABS)[number];

/** A copy of an old lab folder, to be opened. */
export async function oldLab(name: OldLab): Promise<string> {
  const home = join(await tempFolder(), 'lab');
  const from = join(KEPT, name);
  for (const entry of readdirSync(from, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue;
    const packed = join(entry.parentPath, entry.name);
    const place = join(home, packed.slice(from.length + 1).replace(/\.gz$/, ''));
    mkdirSync(dirname(place), { recursive: true });
    writeFileSync(place, gunzipSync(readFileSync(packed)));
  }
  return home;
}
