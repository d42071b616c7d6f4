/** What else of the lab folder may hold a swimmer that is erased: copies of the lab file, files put aside, a report. */
import { existsSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Layout } from './layout.ts';
import { REPORT_FILE } from './report.ts';

/**
 * Takes away copies of the lab file and the browser window's own data. The copies go whatever they hold: a text in a
 * database may lie in two places of its file, so that nobody can tell by looking for it. The window's history may tell of
 * a trial.
 */
export function removeCopies(layout: Layout): void {
  for (const folder of [layout.beforeUpgrade, layout.beforeRepair, layout.window])
    rmSync(folder, { recursive: true, force: true });
  rmSync(join(layout.folder, REPORT_FILE), { force: true });
}

/** Takes away files put aside that hold the swimmer, or were one of these contents. */
export function removeAside(
  { quarantine }: Layout,
  {
    codes,
    contents,
  }: { readonly codes: readonly string[]; readonly contents: readonly { readonly sha256: string }[] },
): void {
  if (!existsSync(quarantine)) return;
  const names = new Set(contents.map(({ sha256 }) => sha256.slice(2)));
  for (const name of readdirSync(quarantine)) {
    const folder = join(quarantine, name);
    for (const file of readdirSync(folder))
      if (names.has(file) || holds(join(folder, file), codes)) rmSync(join(folder, file), { force: true });
    if (readdirSync(folder).length === 0) rmSync(folder, { recursive: true });
  }
}

const SQLITE = 'SQLite format 3';

function holds(path: string, codes: readonly string[]): boolean {
  if (!statSync(path).isFile()) return false;
  const bytes = readFileSync(path);
  return bytes.toString('latin1', 0, SQLITE.length) === SQLITE || codes.some((code) => bytes.includes(code));
}
