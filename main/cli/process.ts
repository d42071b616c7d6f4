/** `lanebench process`: carries a day folder to a dataset and tells the person what came of it. */
import { homedir } from 'node:os';
import type { TrialRow } from '../../core/dataset/trialfields.ts';
import type { Measured } from '../../core/base/uncertainty.ts';
import { defaultLabFolder } from '../lab/home.ts';
import { makeDataset, type DatasetOrder, type DatasetOutcome } from '../lab/days/dataset.ts';
import { alignColumns, COMPLETE, NOTHING, PARTLY, USAGE, type Terminal } from './terminal.ts';

/** Refusals shown on the terminal where nothing could be processed. */
const SHOWN = 20;

export async function runProcess(order: DatasetOrder, terminal: Terminal): Promise<number> {
  const home = order.home ?? defaultLabFolder(process.env, process.platform, homedir());
  const rows: string[][] = [];
  const outcome = await makeDataset({ ...order, home }, (record, total) => {
    rows.push(toRow(record));
    terminal.progress?.(`Trial ${rows.length} of ${total}`);
  });
  terminal.progress?.('');
  if (outcome.kind === 'written') {
    terminal.print(summary(rows, outcome, order.out));
    return outcome.refused.length > 0 ? PARTLY : COMPLETE;
  }
  terminal.error(outcome.says);
  if (outcome.kind === 'misplaced') return USAGE;
  for (const { file, line, reason } of outcome.refused.slice(0, SHOWN))
    terminal.error(`  ${file}${line === null ? '' : ` line ${line}`}: ${reason}`);
  return NOTHING;
}

type Written = Extract<DatasetOutcome, { readonly kind: 'written' }>;

function summary(rows: readonly string[][], { book, refused }: Written, out: string): string {
  const { trials, leftOut } = book;
  const head = [
    'trial',
    'swimmer',
    'check',
    'v m/s',
    'rate /min',
    'length m',
    'IdC %',
    'from',
    'high hand s',
    'peak L N',
    'peak R N',
  ];
  const lines = [
    alignColumns(
      [head, ...rows],
      head.map((_, column) => column > 2),
    ),
  ];
  lines.push('', `${trials.length} trials written to ${out}`);
  if (refused.length > 0)
    lines.push(
      `${refused.length === 1 ? '1 input was' : `${refused.length} inputs were`} refused; refused.csv says what and why.`,
    );
  if (leftOut.swimmers > 0)
    lines.push(
      `Left out for consent: ${leftOut.swimmers} swimmer${leftOut.swimmers === 1 ? '' : 's'}, ${leftOut.trials} trial${leftOut.trials === 1 ? '' : 's'}.`,
    );
  return lines.join('\n');
}

/** Where propulsion was read: an index from force and one from film are not the same number. */
const BASIS = { force: 'force', video: 'film', mixed: 'both' } as const;

const WORDS = { good: 'good', look: 'look', swim_again: 'swim again' } as const;

function toRow({ entry, result }: TrialRow): string[] {
  const measured = (value: Measured | null, digits: number) => {
    if (value === null) return '—';
    const decimals = decimalsFor(value.u, digits);
    return value.value.toFixed(decimals) + (value.u === null ? '' : ` ± ${value.u.toFixed(decimals)}`);
  };
  return [
    entry.row.trial,
    entry.row.participant,
    WORDS[result.check.verdict],
    measured(result.velocity, 3),
    measured(result.strokeRate, 1),
    measured(result.strokeLength, 2),
    measured(result.idc, 1),
    result.idc === null || result.propulsionBasis === null ? '' : BASIS[result.propulsionBasis],
    measured(result.highHand, 3),
    measured(result.hands.left.peakForce, 0),
    measured(result.hands.right.peakForce, 0),
  ];
}

/** Decimals that show two significant digits of an uncertainty, at least `digits`, at most four. */
function decimalsFor(u: number | null, digits: number): number {
  if (u === null || !(u > 0)) return digits;
  return Math.min(4, Math.max(digits, 1 - Math.floor(Math.log10(u))));
}
