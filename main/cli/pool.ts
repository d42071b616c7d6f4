/** `lanebench pool`: joins datasets and tells the person what came of it. */
import { isCode } from '../../core/base/table.ts';
import { clashingCodes } from '../../core/dataset/clashes.ts';
import { counted } from '../../core/base/words.ts';
import { makePool, type PoolOrder } from '../lab/findings/pool.ts';
import { COMPLETE, NOTHING, PARTLY, USAGE, type Terminal } from './terminal.ts';

export async function runPool(order: PoolOrder, terminal: Terminal): Promise<number> {
  if (order.lab !== null && !isCode(order.lab)) {
    terminal.error(
      `--lab takes a code of A–Z a–z 0–9 _ . -, at most 64 characters, and "${order.lab}" is none.`,
    );
    return USAGE;
  }
  const outcome = await makePool(order, (done, total) => terminal.progress?.(`Dataset ${done} of ${total}`));
  terminal.progress?.('');
  if (outcome.kind === 'misplaced') {
    terminal.error(outcome.says);
    return USAGE;
  }
  const { refused } = outcome.kind === 'written' ? outcome.pool : outcome;
  const lines = refused.map(({ file, reason }) => `  ${file}: ${reason}`);
  if (outcome.kind === 'nothing') {
    terminal.error([outcome.says, ...lines].join('\n'));
    return NOTHING;
  }
  const { days } = outcome.pool;
  const count = (table: 'trials' | 'participants') =>
    days.reduce((sum, { rows }) => sum + rows.get(table)!.length, 0);
  terminal.print(
    `${counted(days.length, 'day')}, ${counted(count('participants'), 'swimmer')}, ${counted(count('trials'), 'trial')} written to ${order.out}`,
  );
  for (const says of clashingCodes(days)) terminal.error(`Is this one person? ${says}`);
  if (lines.length > 0) terminal.print(['Left out; refused.csv says it too:', ...lines].join('\n'));
  return lines.length > 0 ? PARTLY : COMPLETE;
}
