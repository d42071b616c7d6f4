/** One undo for whatever is on the screen: what the bar's buttons and their keys step through. */
import type { LabError } from '../core/base/refusal.ts';
import type { Outcome } from '../core/base/refusal.ts';
import type { HistoryEntry } from '../core/contract/views.ts';

export interface Steps {
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  readonly undo: () => Promise<void>;
  readonly redo: () => Promise<void>;
  /** What an undo takes back, as the Keys dialog puts it. */
  readonly label: string;
}

type Turn = 'undo' | 'redo';

const DID: Readonly<Record<Turn, string>> = { undo: 'Taken back', redo: 'Done again' };
const NOTHING: Readonly<Record<Turn, string>> = {
  undo: 'There is nothing to take back.',
  redo: 'There is nothing to do again.',
};

/** What a person hears of a step that the lab was asked for. */
export function stepSentence(turn: Turn, outcome: Outcome<HistoryEntry | null, LabError>): string {
  if (!outcome.ok) return `${outcome.error.says} ${outcome.error.todo}`;
  return outcome.value === null ? NOTHING[turn] : `${DID[turn]}: ${outcome.value.says}`;
}
