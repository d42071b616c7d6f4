/** `lanebench renew`: which kept numbers this version of the program computes otherwise, and taking them over. */
import { done } from '../../core/base/refusal.ts';
import type { Cell } from '../../core/base/csv.ts';
import type { RenewedTrial } from '../../core/contract/renewal.ts';
import { Renewal } from '../lab/findings/renewal.ts';
import { atLab, progressOf } from './releases.ts';
import { COMPLETE, type Terminal } from './terminal.ts';

export function runRenew(take: boolean, terminal: Terminal): Promise<number> {
  return atLab(terminal, async (session) => {
    const renewal = new Renewal(session);
    const compared = await renewal.compare(progressOf(terminal, 'Trial'), (trial) => {
      terminal.progress?.('');
      terminal.print(trialText(trial));
    });
    if (!compared.ok) return compared;
    terminal.progress?.('');
    terminal.print(compared.value.says);
    if (!take || !renewal.differs) return done(COMPLETE);
    const taken = await renewal.take(progressOf(terminal, 'Trial'));
    if (!taken.ok) return taken;
    terminal.progress?.('');
    terminal.print(taken.value.says);
    return done(COMPLETE);
  });
}

function trialText({ day, trial, from, numbers, more }: RenewedTrial): string {
  const shown = (cell: Cell) => (cell === null || cell === '' ? '(empty)' : String(cell));
  const lines = numbers.map(({ column, stroke, unit, before, after, why }) => {
    const name = stroke === null ? column : `${column} of ${stroke}`;
    const reason = why.length === 0 ? '' : ` (${why.join(' ')})`;
    return `  ${name} ${shown(before)} → ${shown(after)}${unit === '' ? '' : ` ${unit}`}${reason}`;
  });
  const rest = more === 0 ? [] : [`  and ${more} more`];
  return [`${day} ${trial}, kept by version ${from}:`, ...lines, ...rest].join('\n');
}
