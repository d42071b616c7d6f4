/** Whether a file that came in can be read as what its name says it is. */
import type { TraceColumns } from '../../../core/day/day.ts';
import { deckDay } from '../../../core/deck/tables.ts';
import { readFilm } from '../../files/film.ts';
import { readSampledTrace } from '../../files/sampledtrace.ts';
import { deckOf, deckStateOf, type DeckState } from '../kept/deckstate.ts';
import type { Session } from '../kept/session.ts';

/** How the day's traces are read: its columns and their time. */
export function columnsOf(state: DeckState): TraceColumns {
  return deckDay(state.day, deckOf(state), state.protocol.content).traceColumns;
}

/** Why a file of a running day cannot be read, as a sentence; null where it can. */
export async function unreadableWhy(
  session: Session,
  absolute: string,
  name: string,
  kind: 'trace' | 'film' | 'other',
  day: number,
): Promise<string | null> {
  const state = deckStateOf(session, day);
  if (state === null || kind === 'other') return null;
  if (kind === 'film') {
    const film = await readFilm(absolute);
    return film.ok ? null : `${name} ${film.error}.`;
  }
  const columns = columnsOf(state);
  const read = await readSampledTrace(absolute, name, columns);
  if (!read.ok) return read.error.at(-1)!.reason;
  const { trace } = read.value;
  if (trace.left !== null || trace.right !== null) return null;
  return `${name} has neither the column ${columns.left?.column} nor ${columns.right?.column}; correct the columns in the day’s set-up, or the file.`;
}
