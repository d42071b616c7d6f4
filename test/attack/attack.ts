/**
 * One seeded run of everything that is tried against the promises of PROMISES.md. Prints what was tried and what fell;
 * ends with 1 where anything did. `--seed N` repeats a run; `--share X` tries that part of it (1 is all).
 */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import type { Attack } from './attempt.ts';
import { bitFlips, fullDisk, walCuts } from './damage.ts';
import { films } from './films.ts';
import { fuzz } from './fuzz.ts';
import { decisionKills, openKills, processKills } from './kills.ts';
import { lotOf } from './lot.ts';

const ATTACKS: readonly Attack[] = [
  fuzz,
  films,
  bitFlips,
  walCuts,
  fullDisk,
  processKills,
  openKills,
  decisionKills,
];
/** Of what fell, so many are printed in full. */
const PRINTED = 10;

const { values } = parseArgs({ options: { seed: { type: 'string' }, share: { type: 'string' } } });
const seed = Number(values.seed ?? '20260314');
const share = Number(values.share ?? '1');
const root = mkdtempSync(join(tmpdir(), 'lanebench-attack-'));
console.log(`Attacks with seed ${seed}, ${share === 1 ? 'all' : `a share of ${share}`} of them.`);
let fallen = 0;
try {
  for (const [place, attack] of ATTACKS.entries()) fallen += await carryOut(attack, place);
} finally {
  rmSync(root, { recursive: true, force: true });
}
console.log(fallen === 0 ? 'Nothing fell.' : `${fallen} fell.`);
process.exitCode = fallen === 0 ? 0 : 1;

async function carryOut({ name, promise, times, missing, run }: Attack, place: number): Promise<number> {
  const why = missing?.() ?? null;
  if (why !== null) {
    console.log(`${name}: not tried, for ${why}.`);
    return 0;
  }
  const folder = join(root, String(place));
  mkdirSync(folder);
  const began = performance.now();
  const fell: string[] = [];
  let tried = 0;
  const note = (what: string | null) => {
    tried++;
    if (what !== null) fell.push(what);
  };
  const wanted = Math.max(1, Math.round(times * share));
  await run({ times: wanted, lot: lotOf(seed + place), folder, note });
  const seconds = ((performance.now() - began) / 1000).toFixed(0);
  console.log(`${name}: ${tried} tried, ${fell.length} fell, ${seconds} s (${promise.toLowerCase()})`);
  for (const what of fell.slice(0, PRINTED)) console.log(`  ${what}`);
  if (fell.length > PRINTED) console.log(`  … and ${fell.length - PRINTED} more`);
  return fell.length;
}
