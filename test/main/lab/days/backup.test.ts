/** The lab's backup from the screens: kept up to date in one place, by itself when it is due, and restored. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test, vi } from 'vitest';
import type { JobView } from '../../../../core/contract/views.ts';
import { isDue } from '../../../../main/lab/days/backupplan.ts';
import { buildDay, tempFolder } from '../../files/day-builder.ts';
import { benchLab, type BenchLab } from '../benchlab.ts';

async function ended({ ask }: BenchLab, started: Promise<JobView>): Promise<JobView> {
  let job = await started;
  while (job.state === 'running') {
    await new Promise((resolve) => setTimeout(resolve, 10));
    job = await ask('jobs.get', { job: job.job });
  }
  return job;
}

test('one backup in a place is kept up to date, and restored beside it', { timeout: 120_000 }, async () => {
  const [home, place] = [join(await tempFolder(), 'lab'), await tempFolder()];
  const lab = await benchLab(undefined, home);
  const { ask } = lab;
  await ask('places.allow', { path: place });
  await lab.bring(await buildDay());
  expect((await ask('app.describe', {})).backup).toBeNull();
  for (const says of [/read back and equal\. The backup/, /it had already/]) {
    const job = await ended(lab, ask('lab.backup', { path: place }));
    expect(job).toMatchObject({ state: 'done', error: null });
    expect(job.says).toMatch(says);
    expect(readdirSync(place)).toEqual(['lanebench-backup']);
  }
  const from = join(place, 'lanebench-backup');
  expect((await ask('app.describe', {})).backup).toMatchObject({ folder: from, isOld: false });
  // Chosen itself, it is that backup.
  await ended(lab, ask('lab.backup', { path: from }));
  expect(readdirSync(from)).toEqual(['backup.json', 'lab.head', 'lab.sqlite', 'raw']);
  const inside = await ended(lab, ask('lab.backup', { path: home }));
  expect(inside.state).toBe('failed');

  const wish = { from, to: join(place, 'restored') };
  const restored = await ended(lab, ask('lab.restore', wish));
  expect(restored).toMatchObject({ state: 'done' });
  expect(restored.says).toMatch(/^1 day, .* restored to .*read back and equal\..*LANEBENCH_HOME/);
  expect((await ended(lab, ask('lab.restore', wish))).error?.says).toMatch(/something at .*restored already/);
  const other = await benchLab(undefined, wish.to);
  expect(await other.ask('days.list', {})).toHaveLength(1);
});

test(
  'a planned backup is made at the start when it is due, and not before',
  { timeout: 120_000 },
  async () => {
    const [home, place] = [join(await tempFolder(), 'lab'), await tempFolder()];
    const first = await benchLab(undefined, home);
    await first.ask('places.allow', { path: place });
    const plan = { everyDays: 1, path: place };
    expect((await first.ask('lab.planBackup', { plan })).backupPlan).toEqual(plan);
    await first.fault('lab.planBackup', { plan: { everyDays: 1, path: join(place, 'nowhere') } });
    await first.lab.close();
    const second = await benchLab(undefined, home);
    await vi.waitFor(async () => expect((await second.ask('app.describe', {})).backup).not.toBeNull(), {
      timeout: 60_000,
    });
    expect(readdirSync(place)).toEqual(['lanebench-backup']);
    expect((await second.ask('lab.planBackup', { plan: null })).backupPlan).toBeNull();
  },
);

test('a backup is due when none was made, or the days are over', () => {
  const plan = { everyDays: 7, path: '/p' };
  const at = Date.parse('2026-03-14T12:00:00Z');
  expect(isDue(null, null, at)).toBe(false);
  expect(isDue(plan, null, at)).toBe(true);
  expect(isDue(plan, '2026-03-07T12:00:01Z', at)).toBe(false);
  expect(isDue(plan, '2026-03-07T12:00:00Z', at)).toBe(true);
});
