/** Keeps a trial's edits in the lab: each a call, each a step of the day's history. */
import type { LabClient } from '../../../core/contract/contract.ts';
import type { Keeper } from './edits.svelte.ts';

export function labKeeper(client: LabClient, day: number, trial: string): Keeper {
  return {
    marks: (seen, now, says) => client('marks.edit', { day, trial, seen, now, says }),
    judgements: (seen, now, says) => client('marks.judge', { day, trial, seen, now, says }),
    section: (seen, now, says) => client('section.edit', { day, trial, seen, now, says }),
    fresh: () => client('trials.get', { day, trial }),
  };
}
