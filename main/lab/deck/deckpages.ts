/** The log of a testing day and its deck sheets as pages, and as PDF where the host can print. */
import { dayLogHtml } from '../../../core/pages/daylog.ts';
import { deckSheetsHtml } from '../../../core/pages/decksheets.ts';
import type { CloseView, DeckTrialView } from '../../../core/deck/views.ts';
import type { KnownPressureReport } from '../../../core/deck/knownpressure.ts';
import { localClock, zoneText } from './deckclock.ts';
import { formerCodes } from '../kept/deckhidden.ts';
import type { DeckState } from '../kept/deckstate.ts';
import type { Resource } from '../kept/port.ts';
import { now, operatorOf, type Session } from '../kept/session.ts';

/** What the log tells beside the state of the day. */
interface LogState {
  readonly trials: readonly DeckTrialView[];
  readonly knownPressures: readonly KnownPressureReport[];
  readonly close: CloseView;
  /** SHA-256 of what came in, by the number of the arrival. */
  readonly hashes: ReadonlyMap<number, string>;
}

/**
 * The page; null where the host cannot print a PDF.
 * @param logState asked for the log alone
 */
export async function deckPage(
  session: Session,
  state: DeckState,
  page: 'log' | 'sheets',
  kind: 'html' | 'pdf',
  logState: () => Promise<LogState>,
): Promise<Resource | null> {
  const html =
    page === 'log'
      ? logOf(session, state, await logState())
      : deckSheetsHtml({ ...state, printedAt: localClock(now()) });
  if (kind === 'html')
    return { kind: 'bytes', bytes: new TextEncoder().encode(html), mime: 'text/html; charset=utf-8' };
  const bytes = await session.printPdf?.(html);
  return bytes == null ? null : { kind: 'bytes', bytes, mime: 'application/pdf' };
}

function logOf(session: Session, state: DeckState, { hashes, ...log }: LogState): string {
  const history = session.store.history(state.id);
  const at = now();
  return dayLogHtml({
    ...state,
    ...log,
    files: state.files.map((file) => ({ ...file, sha256: hashes.get(file.id) ?? null })),
    decisions: history,
    former: formerCodes(state.plan, history),
    printed: { at, who: operatorOf(session), version: session.version },
    clock: (instant) => withoutDate(localClock(instant), state.plan.setup.date),
    zone: zoneText(at),
  });
}

/** An instant of the day itself needs no date. */
function withoutDate(clock: string, date: string): string {
  return clock.startsWith(`${date} `) ? clock.slice(date.length + 1) : clock;
}
