/** Choosing, ordering and counting the trials of a day. */
import type { TrialStatus, TrialSummary } from '../../core/contract/views.ts';
import type { TrialVerdict } from '../../core/trial/check.ts';
import { shownCheck } from '../../core/trial/progress.ts';

export type VerdictFilter = 'all' | TrialVerdict;

export const SORTINGS = [
  { value: 'swum', text: 'in the order of the day' },
  { value: 'swimmer', text: 'by swimmer' },
  { value: 'verdict', text: 'swim again first' },
  { value: 'velocity', text: 'fastest first' },
] as const;
export type Sorting = (typeof SORTINGS)[number]['value'];

const URGENCY: Readonly<Record<TrialVerdict, number>> = { swim_again: 0, look: 1, good: 2 };

function verdictOf({ result, progress }: TrialSummary): TrialVerdict {
  return shownCheck(result.check, progress).verdict;
}

/** The trials that pass the filter, in the order asked for; ties stay in the day's order. */
export function shownTrials(
  trials: readonly TrialSummary[],
  filter: VerdictFilter,
  sorting: Sorting,
): readonly TrialSummary[] {
  const chosen = trials.filter((trial) => filter === 'all' || verdictOf(trial) === filter);
  const speed = (trial: TrialSummary) => trial.result.velocity?.value ?? 0;
  switch (sorting) {
    case 'swum':
      return chosen;
    case 'swimmer':
      return chosen.toSorted(
        (a, b) => byCode(a.participant, b.participant) || (a.attempt ?? 0) - (b.attempt ?? 0),
      );
    case 'verdict':
      return chosen.toSorted((a, b) => URGENCY[verdictOf(a)] - URGENCY[verdictOf(b)]);
    case 'velocity':
      return chosen.toSorted((a, b) => speed(b) - speed(a));
  }
}

function byCode(a: string, b: string): number {
  return a.localeCompare(b, 'en', { numeric: true });
}

/** How many trials have each verdict, and all. */
export function countVerdicts(trials: readonly TrialSummary[]): Readonly<Record<VerdictFilter, number>> {
  const of = (verdict: TrialVerdict) => trials.filter((trial) => verdictOf(trial) === verdict).length;
  return { all: trials.length, swim_again: of('swim_again'), look: of('look'), good: of('good') };
}

const STATUS_WORDS: Readonly<Record<TrialStatus, string>> = {
  recorded: 'to decide',
  accepted: 'accepted',
  excluded: 'excluded',
};

/** How far deciding is, such as `5 accepted, 1 excluded, 8 to decide`. */
export function decidedSentence(trials: readonly TrialSummary[]): string {
  return (['accepted', 'excluded', 'recorded'] as const)
    .map((status) => `${trials.filter((trial) => trial.status === status).length} ${STATUS_WORDS[status]}`)
    .join(', ');
}

/** A decision as a status message. */
export function decisionSentence(trial: string, status: TrialStatus, reason: string): string {
  if (status === 'recorded') return `${trial} is back to recorded.`;
  return status === 'accepted' ? `${trial} accepted.` : `${trial} excluded: ${reason}`;
}
