/** The sample day that comes with the program. */
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import type { LabError } from '../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../core/base/refusal.ts';
import type { JobView } from '../../core/contract/views.ts';
import type { Lab } from './kept/port.ts';

/** The one folder below `root`/sample-sessions that holds a day.json; null where there is none or more than one. */
export function findSampleFolder(root: string): string | null {
  const above = join(root, 'sample-sessions');
  if (!existsSync(above)) return null;
  const days = readdirSync(above, { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && existsSync(join(above, entry.name, 'day.json')))
    .map((entry) => join(above, entry.name));
  return days.length === 1 ? (days[0] ?? null) : null;
}

/** Opens the sample day and waits until it is in the lab folder; gives the day's id. */
export async function openSampleDay(lab: Pick<Lab, 'carry'>): Promise<Outcome<number | null, LabError>> {
  let answer = await lab.carry('days.openSample', {});
  while (answer.ok) {
    const job = answer.value as JobView;
    if (job.state === 'done') return done(job.day);
    if (job.error !== null) return failed(job.error);
    if (job.state !== 'running') {
      return failed({
        code: 'cancelled',
        says: 'Opening the sample day was cancelled.',
        todo: 'Open it again from the list of days.',
      });
    }
    await wait(50);
    answer = await lab.carry('jobs.get', { job: job.job });
  }
  return answer;
}

/** The part of the app's address, from `#` on, at which the screens show a day. */
export function dayFragment(day: number | null): string {
  return day === null ? '' : `#/day/${day}`;
}
