/** Consent as a type: what does not come from the veil does not compile into a view. */
import { expect, test } from 'vitest';
import type { DeckView } from '../../../core/contract/deck.ts';
import type { HandAreaView, ZeroReadingView } from '../../../core/contract/bench.ts';
import type { HistoryEntry, TrialSummary, TrialView } from '../../../core/contract/views.ts';
import type { OpenSwimmer, TrialEntry } from '../../../core/day/book.ts';
import type { RosterRow } from '../../../core/day/tables.ts';
import type { Deck } from '../../../core/deck/act.ts';
import { withoutHidden } from '../../../core/deck/board.ts';
import { namesAny, UNNAMED, veiled } from '../../../core/deck/veil.ts';

/** Never called: the compiler reads it. Each line below a directive must be an error, else the directive is one. */
export function neverShown(entry: TrialEntry, row: RosterRow, deck: Deck): unknown {
  const raw: string = entry.row.participant;
  // @ts-expect-error a raw code in the list of trials
  const summary: Pick<TrialSummary, 'participant'> = { participant: raw };
  // @ts-expect-error the code of a trial, which holds a swimmer's
  const code: Pick<TrialSummary, 'trial'> = { trial: raw };
  // @ts-expect-error a raw code on the screen of a trial
  const trial: Pick<TrialView, 'participant'> = { participant: entry.row.participant };
  // @ts-expect-error a row of the roster whose consent nobody has looked at
  const area: Pick<HandAreaView, 'participant'> = { participant: row.participant };
  // @ts-expect-error a raw code beside zeros
  const zero: Pick<ZeroReadingView, 'participant'> = { participant: raw };
  // @ts-expect-error a reason that may name somebody
  const reason: Pick<TrialView, 'exclusionReason'> = { exclusionReason: entry.row.exclusion_reason };
  // @ts-expect-error a sentence that may name somebody
  const said: Pick<HistoryEntry, 'says'> = { says: `Trial of ${raw} excluded` };
  // @ts-expect-error a plan from which nobody was taken out
  const plan: Pick<DeckView, 'plan'> = { plan: deck.plan };
  // @ts-expect-error a board from which nobody was taken out
  const board: Pick<DeckView, 'board'> = { board: deck.board };
  // @ts-expect-error a row is no swimmer who consents
  const swimmer: OpenSwimmer = row;
  return [summary, code, trial, area, zero, reason, said, plan, board, swimmer];
}

/** Never called either: all of it compiles. */
export function shownWhereConsentHolds(entry: TrialEntry, deck: Deck): unknown {
  const names = namesAny(new Set(['P04']));
  const summary: Pick<TrialSummary, 'participant'> = entry.participant;
  const code: Pick<TrialView, 'trial'> = entry.row;
  const said: Pick<HistoryEntry, 'says'> = { says: veiled(names, 'Trial P01-1 accepted') };
  const view: Pick<DeckView, 'plan' | 'board'> = withoutHidden(deck);
  return [summary, code, said, view];
}

test('a text that names somebody hidden is not shown, any other is', () => {
  const names = namesAny(new Set(['P04']));
  expect(veiled(names, 'P04 left early')).toBe(UNNAMED);
  expect(veiled(names, 'P01 left early')).toBe('P01 left early');
});
