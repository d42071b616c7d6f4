/** `lanebench play`: sends a trace as a recorder would. */
import { counted } from '../../core/base/words.ts';
import { playTrace, type PlayOrder } from '../lab/live/play.ts';
import { cancelledBy, COMPLETE, NOTHING, PARTLY, type Terminal } from './terminal.ts';

export async function runPlay(order: PlayOrder, terminal: Terminal): Promise<number> {
  const outcome = await cancelledBy((signal) =>
    playTrace(order, { signal, onLine: (done, total) => terminal.progress?.(`Line ${done} of ${total}`) }),
  );
  terminal.progress?.('');
  if (outcome.kind === 'nothing') {
    terminal.error(outcome.says);
    return NOTHING;
  }
  if (outcome.kind === 'partly') terminal.error(outcome.says);
  terminal.print(`${counted(outcome.lines, 'line')} sent`);
  return outcome.kind === 'sent' ? COMPLETE : PARTLY;
}
