/**
 * One seeded run of everything that is tried against the promises of PROMISES.md, on all cores. Says every half minute
 * how far each kind is, prints at once what falls and, of each kind, what was tried; ends with 1 where anything fell.
 * `--seed N` repeats a run; `--share X` tries that part of it (1 is all); words try the kinds whose name holds one.
 */
import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import type { Attack } from './attempt.ts';
import { bitFlips, fullDisk, walCuts } from './damage.ts';
import { films } from './films.ts';
import { fuzz } from './fuzz.ts';
import { decisionKills, openKills, processKills, salvageKills } from './kills.ts';
import { lotOf } from './lot.ts';

/** The long ones first. */
const ATTACKS: readonly Attack[] = [
  fuzz,
  films,
  processKills,
  openKills,
  salvageKills,
  decisionKills,
  bitFlips,
  walCuts,
  fullDisk,
];
/** Of what fell of a kind, so many are printed in full, at once. */
const PRINTED = 10;
const SAID_EVERY_MS = 30_000;

/** A part of an attack, carried out in a thread of its own. */
interface Part {
  readonly attack: number;
  readonly seed: number;
  readonly times: number;
  readonly folder: string;
}

/** What has been tried of an attack so far, by all of its parts. */
interface Tally {
  readonly attack: Attack;
  readonly wanted: number;
  readonly fell: string[];
  tried: number;
  partsLeft: number;
  beganMs: number | null;
}

if (isMainThread) await main();
else await carryOut(workerData as Part);

/** In its thread: tells of each attempt. */
async function carryOut({ attack, seed, times, folder }: Part): Promise<void> {
  mkdirSync(folder, { recursive: true });
  const note = (fell: string | null) => parentPort!.postMessage(fell);
  await ATTACKS[attack]!.run({ times, lot: lotOf(seed), folder, note });
}

async function main(): Promise<void> {
  const { values, positionals: words } = parseArgs({
    options: { seed: { type: 'string' }, share: { type: 'string' } },
    allowPositionals: true,
  });
  const seed = Number(values.seed ?? '20260314');
  const share = Number(values.share ?? '1');
  const onDisk = mkdtempSync(join(tmpdir(), 'lanebench-attack-'));
  const inMemory = existsSync('/dev/shm') ? mkdtempSync('/dev/shm/lanebench-attack-') : onDisk;
  console.log(`Attacks with seed ${seed}, ${share === 1 ? 'all' : `a share of ${share}`} of them.`);

  const tallies = new Map<number, Tally>();
  const parts: Part[] = [];
  for (const [place, attack] of ATTACKS.entries()) {
    if (words.length > 0 && !words.some((word) => attack.name.includes(word))) continue;
    const why = attack.missing?.() ?? null;
    const wanted = Math.max(1, Math.round(attack.times * share));
    const count = Math.ceil(wanted / (attack.most ?? wanted));
    tallies.set(place, {
      attack,
      wanted,
      fell: [],
      tried: 0,
      partsLeft: why === null ? count : 0,
      beganMs: null,
    });
    if (why !== null) console.log(`${attack.name}: not tried, for ${why}.`);
    else
      for (let part = 0; part < count; part++)
        parts.push({
          attack: place,
          seed: seed + 100 * place + part,
          times: Math.floor((wanted * (part + 1)) / count) - Math.floor((wanted * part) / count),
          folder: join(attack.inMemory === true ? inMemory : onDisk, `${place}-${part}`),
        });
  }

  const timer = setInterval(() => console.log(underWay([...tallies.values()])), SAID_EVERY_MS);
  try {
    const lane = async () => {
      for (let part = parts.shift(); part !== undefined; part = parts.shift())
        await inThread(part, tallies.get(part.attack)!);
    };
    await Promise.all(Array.from({ length: availableParallelism() }, lane));
  } finally {
    clearInterval(timer);
    for (const folder of [onDisk, inMemory]) rmSync(folder, { recursive: true, force: true });
  }
  const fallen = [...tallies.values()].reduce((sum, { fell }) => sum + fell.length, 0);
  console.log(fallen === 0 ? 'Nothing fell.' : `${fallen} fell.`);
  process.exitCode = fallen === 0 ? 0 : 1;
}

/** Carries a part out; an attack whose last part it is, is told of. */
async function inThread(part: Part, tally: Tally): Promise<void> {
  tally.beganMs ??= performance.now();
  await new Promise<void>((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: part });
    worker.on('message', (fell: string | null) => {
      tally.tried++;
      if (fell === null) return;
      tally.fell.push(fell);
      if (tally.fell.length <= PRINTED) console.log(`  ${tally.attack.name}: ${fell}`);
    });
    worker.on('error', reject);
    worker.on('exit', () => resolve());
  });
  rmSync(part.folder, { recursive: true, force: true });
  tally.partsLeft--;
  if (tally.partsLeft > 0) return;
  const { attack, tried, fell, beganMs } = tally;
  const seconds = ((performance.now() - beganMs!) / 1000).toFixed(0);
  console.log(
    `${attack.name}: ${tried} tried, ${fell.length} fell, ${seconds} s (${attack.promise.toLowerCase()})`,
  );
  if (fell.length > PRINTED) console.log(`  … of which the first ${PRINTED} are printed`);
}

/** How far the attacks are that have begun and not ended. */
function underWay(tallies: readonly Tally[]): string {
  return tallies
    .filter(({ beganMs, partsLeft }) => beganMs !== null && partsLeft > 0)
    .map(({ attack, wanted, tried, fell }) => `${attack.name}: ${tried} of ${wanted}, ${fell.length} fell`)
    .join('; ');
}
