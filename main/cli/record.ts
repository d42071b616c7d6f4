/** `lanebench record`: a live source into a trace file. */
import { figures, counted } from '../../core/base/words.ts';
import type { Pace } from '../../core/live/pace.ts';
import { listensBeyond, type LiveSource } from '../../core/live/sourcename.ts';
import { recordSource, type RecordOrder } from '../lab/live/record.ts';
import { cancelledBy, COMPLETE, NOTHING, PARTLY, USAGE, type Terminal } from './terminal.ts';

export async function runRecord(order: RecordOrder, terminal: Terminal): Promise<number> {
  if (listensBeyond(order.source))
    terminal.error('This port is open to other computers of the network; anyone there can send to it.');
  let toldMs = 0;
  const outcome = await cancelledBy((signal) =>
    recordSource(order, {
      signal,
      onOpen: () => terminal.progress?.(openSaid(order.source)),
      onRows(rows) {
        const now = performance.now();
        if (now - toldMs < 200) return;
        toldMs = now;
        terminal.progress?.(counted(rows, 'row'));
      },
    }),
  );
  terminal.progress?.('');
  if (outcome.kind !== 'recorded') {
    terminal.error(outcome.says);
    return outcome.kind === 'misplaced' ? USAGE : NOTHING;
  }
  const { pace, leftOut, early } = outcome;
  if (early !== null) terminal.error(`${early} What came is kept in ${order.out}.`);
  if (pace.backward > 0)
    terminal.error(
      `The recorder’s clock ran backward or stood still at ${counted(pace.backward, 'row')}; "process" leaves such rows out.`,
    );
  if (leftOut > 0)
    terminal.print(`${counted(leftOut, 'line')} left out: no row, or cut in half at the start.`);
  terminal.print(paceSaid(pace));
  return early === null ? COMPLETE : PARTLY;
}

function openSaid({ kind }: LiveSource): string {
  return kind === 'udp' ? 'Waiting for datagrams' : 'Connected, waiting for rows';
}

function paceSaid({ rows, seconds, rateHz, gaps }: Pace): string {
  const rate = rateHz === null ? 'rate unknown' : `${figures(rateHz, 5)} Hz`;
  const gap = gaps === null ? 'gaps unknown (no column of times)' : counted(gaps, 'gap');
  return `${counted(rows, 'row')}, ${seconds.toFixed(3)} s, ${rate}, ${gap}`;
}
