/** What a person judges of a stroke, as rows that are kept: entry position, breath, and whether it is left out. */
import type { Hand } from '../../../core/base/hand.ts';
import { HANDS } from '../../../core/base/hand.ts';
import type { JudgementRow } from '../../../core/marking/words.ts';

/** A stroke by hand and number. */
export interface StrokeName {
  readonly hand: Hand;
  readonly stroke: number;
}

export type Judged = Partial<Pick<JudgementRow, 'entryPosition' | 'breath' | 'exclusionReason'>>;

export const BREATHS = ['none', 'left', 'right'] as const;
export const ENTRY_POSITIONS = ['above', 'level', 'below'] as const;

/** Reasons that are met in every lane. */
export const COMMON_REASONS = ['reach to the wall', 'lane rope'] as const;

/** A stroke in words, such as `Left 6`. */
export function strokeWords({ hand, stroke }: StrokeName): string {
  return `${hand === 'left' ? 'Left' : 'Right'} ${stroke}`;
}

/** What is judged of a stroke so far. */
export function judgementOf(rows: readonly JudgementRow[], name: StrokeName): JudgementRow {
  const found = rows.find((row) => row.hand === name.hand && row.stroke === name.stroke);
  return found ?? { ...name, entryPosition: null, breath: null, exclusionReason: null };
}

/** The rows with a stroke judged anew, in order of hand and number; a stroke of which nothing is judged has no row. */
export function withJudgement(
  rows: readonly JudgementRow[],
  { hand, stroke }: StrokeName,
  judged: Judged,
): readonly JudgementRow[] {
  const row = { ...judgementOf(rows, { hand, stroke }), ...judged };
  const others = rows.filter((other) => other.hand !== hand || other.stroke !== stroke);
  const isEmpty = row.entryPosition === null && row.breath === null && row.exclusionReason === null;
  return (isEmpty ? others : [...others, row]).toSorted(
    (a, b) => HANDS.indexOf(a.hand) - HANDS.indexOf(b.hand) || a.stroke - b.stroke,
  );
}

/** A judgement in words, as the day's history tells it. */
export function judgementWords(name: StrokeName, judged: Judged): string {
  const who = strokeWords(name);
  if (judged.entryPosition !== undefined)
    return judged.entryPosition === null
      ? `${who}: entry against the shoulder not judged`
      : `${who}: hand enters ${judged.entryPosition === 'level' ? 'level with' : judged.entryPosition} the shoulder`;
  if (judged.breath !== undefined) {
    if (judged.breath === null) return `${who}: breath not judged`;
    return judged.breath === 'none' ? `${who}: no breath` : `${who}: breath to the ${judged.breath}`;
  }
  return judged.exclusionReason === null || judged.exclusionReason === undefined
    ? `${who} counts again`
    : `${who} excluded: ${judged.exclusionReason}`;
}
