/** `lanebench process`: carries a day folder to a dataset and tells the person what came of it. */
import { existsSync } from 'node:fs';
import { realpath } from 'node:fs/promises';
import { basename, dirname, join, resolve, sep } from 'node:path';
import type { TrialRecord } from '../../core/dataset.ts';
import type { Measured } from '../../core/timing.ts';
import { isFree, recover } from '../files/outfolder.ts';
import { folderSource } from '../files/source.ts';
import { writeDataset } from '../lab/dataset.ts';
import { openDay, processDay, type ProcessedDay } from '../lab/process.ts';
import { VERSION } from '../lab/version.ts';
import { alignColumns, COMPLETE, NOTHING, PARTLY, USAGE, type Terminal } from './terminal.ts';

interface Order {
  readonly folder: string;
  readonly out: string;
  readonly replace: boolean;
}

export async function runProcess(order: Order, terminal: Terminal): Promise<number> {
  const out = await settle(resolve(order.out));
  const folder = await settle(resolve(order.folder));
  if (isWithin(out, folder) || isWithin(folder, out)) {
    terminal.error(`OUT (${order.out}) and the day folder must lie apart; choose another OUT.`);
    return USAGE;
  }
  await recover(out);
  if (!order.replace && !(await isFree(out))) {
    terminal.error(`OUT (${order.out}) exists and is not empty; choose another, or add --replace.`);
    return USAGE;
  }
  const source = folderSource(folder);
  const opened = existsSync(folder) ? await openDay(source) : null;
  if (opened === null || !opened.ok) {
    terminal.error(opened === null ? `There is no folder ${order.folder}.` : opened.error.reason);
    return NOTHING;
  }
  const processed = await processDay(source, opened.value, (done, total) =>
    terminal.progress?.(`Trial ${done} of ${total}`),
  );
  terminal.progress?.('');
  const { leftOut } = opened.value.book;
  if (processed.records.length === 0 && leftOut.trials === 0) {
    terminal.error('No trial could be processed:');
    for (const { file, line, reason } of processed.refused.slice(0, 20))
      terminal.error(`  ${file}${line === null ? '' : ` line ${line}`}: ${reason}`);
    return NOTHING;
  }
  try {
    await writeDataset(processed, VERSION, out, order.replace);
  } catch (error) {
    terminal.error(
      `The dataset could not be written to ${order.out}: ${(error as Error).message}. OUT is as it was.`,
    );
    return NOTHING;
  }
  terminal.print(summary(processed, order.out));
  return processed.refused.length > 0 ? PARTLY : COMPLETE;
}

/** The real path of a place, even of one that does not exist yet. */
async function settle(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch {
    return dirname(path) === path ? path : join(await settle(dirname(path)), basename(path));
  }
}

function isWithin(inner: string, outer: string): boolean {
  return inner === outer || inner.startsWith(outer.endsWith(sep) ? outer : outer + sep);
}

function summary(processed: ProcessedDay, out: string): string {
  const { records, refused } = processed;
  const { leftOut } = processed.opened.book;
  const head = [
    'trial',
    'swimmer',
    'check',
    'v m/s',
    'rate /min',
    'length m',
    'IdC %',
    'exposure s',
    'peak L N',
    'peak R N',
  ];
  const lines = [
    alignColumns(
      [head, ...records.map(toRow)],
      head.map((_, column) => column > 2),
    ),
  ];
  lines.push('', `${records.length} trials written to ${out}`);
  if (refused.length > 0) lines.push(`${refused.length} inputs were refused; refused.csv says what and why.`);
  if (leftOut.swimmers > 0)
    lines.push(
      `Left out for consent: ${leftOut.swimmers} swimmer${leftOut.swimmers === 1 ? '' : 's'}, ${leftOut.trials} trial${leftOut.trials === 1 ? '' : 's'}.`,
    );
  return lines.join('\n');
}

const WORDS = { good: 'good', look: 'look', swim_again: 'swim again' } as const;

function toRow({ entry, result }: TrialRecord): string[] {
  const measured = (value: Measured | null, digits: number) =>
    value === null
      ? '—'
      : value.value.toFixed(digits) + (value.u === null ? '' : ` ± ${value.u.toFixed(digits)}`);
  const plain = (value: number | null, digits: number) => (value === null ? '—' : value.toFixed(digits));
  return [
    entry.row.trial,
    entry.row.participant,
    WORDS[result.check.verdict],
    measured(result.velocity, 3),
    plain(result.strokeRateCpm, 1),
    plain(result.strokeLengthM, 2),
    measured(result.idc, 1),
    measured(result.exposure, 3),
    plain(result.hands.left.peakForceN, 0),
    plain(result.hands.right.peakForceN, 0),
  ];
}
