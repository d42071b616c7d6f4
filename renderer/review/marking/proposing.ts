/** Proposals of propulsion as marks: which are marked already, and what confirming them makes of the rows. */
import type { Hand } from '../../../core/base/hand.ts';
import type { NumberedMarks } from '../../../core/marking/edit.ts';
import type { PropulsionProposal } from '../../../core/force/propulsion.ts';
import type { JudgementRow, MarkRow } from '../../../core/marking/words.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import { formatValue } from '../../format.ts';
import { aimAt, renumberFault, renumbered, strokesOfHand } from './aiming.ts';
import { rowMarks } from './placement.ts';

export interface Proposal extends PropulsionProposal {
  readonly hand: Hand;
}

export function proposalKey({ hand, peakS }: Proposal): string {
  return `${hand} ${peakS}`;
}

/** A proposal in words: `left, 7.712 s to 8.214 s, peak 92.1 N`. */
export function proposalWords({ hand, startS, endS, peakN }: Proposal): string {
  return `${hand}, ${formatValue(startS, 's', 3)} to ${formatValue(endS, 's', 3)}, peak ${formatValue(peakN, 'N')}`;
}

/** True where a stroke of the hand has a propulsion mark within the pulse, or propulsion over its peak. */
export function isMarked({ startS, endS, peakS }: Proposal, strokes: readonly NumberedMarks[]): boolean {
  return strokes.some(({ marks }) => {
    const [start, end] = [marks.propulsion_start?.timeS, marks.propulsion_end?.timeS];
    const within = (timeS: number | undefined) => timeS !== undefined && timeS >= startS && timeS <= endS;
    const over = start !== undefined && end !== undefined && start <= peakS && end >= peakS;
    return within(start) || within(end) || over;
  });
}

export interface Confirmed {
  readonly rows: readonly MarkRow[];
  readonly taken: number;
  /** Why some could not be confirmed, a sentence each. */
  readonly left: readonly string[];
}

/** The rows with proposals as marks on the trace; one that has no room by the order rules is left, with its reason. */
export function confirmed(
  view: Pick<TrialView, 'films' | 'trace'>,
  rows: readonly MarkRow[],
  judgements: readonly JudgementRow[],
  proposals: readonly Proposal[],
): Confirmed {
  let now = rows;
  let taken = 0;
  const left: string[] = [];
  for (const proposal of proposals) {
    const outcome = confirmOne(view, now, judgements, proposal);
    if (typeof outcome === 'string') left.push(`Not confirmed (${proposalWords(proposal)}): ${outcome}`);
    else {
      now = outcome;
      taken += 1;
    }
  }
  return { rows: now, taken, left };
}

function confirmOne(
  view: Pick<TrialView, 'films' | 'trace'>,
  rows: readonly MarkRow[],
  judgements: readonly JudgementRow[],
  { hand, startS, endS, startUS, startSharedUS, endUS, endSharedUS }: Proposal,
): readonly MarkRow[] | string {
  const start = aimAt(strokesOfHand(rowMarks(view, rows), hand), 'propulsion_start', startS);
  if (!start.isPossible) return start.says;
  const fault = renumberFault(judgements, hand, start.renumber);
  if (fault !== null) return fault;
  const about = { hand, stroke: start.stroke, clock: 'trace', camera: null } as const;
  const begun: MarkRow[] = [
    ...renumbered(rows, hand, start.renumber),
    { ...about, event: 'propulsion_start', timeS: startS, uS: startUS, sharedUS: startSharedUS },
  ];
  const end = aimAt(strokesOfHand(rowMarks(view, begun), hand), 'propulsion_end', endS);
  if (!end.isPossible) return end.says;
  if (end.stroke !== start.stroke || end.isNew)
    return 'its end would belong to another stroke than its start.';
  return [...begun, { ...about, event: 'propulsion_end', timeS: endS, uS: endUS, sharedUS: endSharedUS }];
}
