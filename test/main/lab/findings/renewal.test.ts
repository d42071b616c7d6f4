/** A lab folder whose numbers another version of the program computed: told first, replaced by a person. */
import { join } from 'node:path';
import { expect, test, vi } from 'vitest';
import { runRenew } from '../../../../main/cli/renew.ts';
import { findingsDay } from '../../../../main/lab/findings/clean.ts';
import { freezeRelease } from '../../../../main/lab/findings/freeze.ts';
import { keepOutcome, trialOutcome } from '../../../../main/lab/kept/outcome.ts';
import { keptDay } from '../../../../main/lab/kept/keptday.ts';
import { here } from '../../cli/run.ts';
import { buildDay, tempFolder } from '../../files/day-builder.ts';
import { benchLab, type BenchLab } from '../benchlab.ts';
import { steadily, testLab, valueOf, type TestLab } from '../support.ts';

/** Keeps the day's first trial as a version 0.0.9 would have that computed another velocity. */
async function keepAsOlder(lab: TestLab, id: number, byMPerS: number): Promise<void> {
  const day = valueOf(await keptDay(lab.session, id));
  const [entry] = day.book.trials;
  if (entry === undefined) throw new Error('The day has no trial.');
  const { evidence: _evidence, version: _version, ...outcome } = await trialOutcome(lab.session, day, entry);
  const { velocity } = outcome.result;
  if (velocity === null) throw new Error('The trial has no velocity.');
  const result = { ...outcome.result, velocity: { ...velocity, value: velocity.value + byMPerS } };
  const older = { ...lab.session, version: '0.0.9' };
  expect(keepOutcome(older, day, entry, { ...outcome, result }).ok).toBe(true);
}

async function finished({ ask }: BenchLab, name: 'numbers.compare' | 'numbers.take'): Promise<string> {
  let job = await ask(name, {});
  while (job.state === 'running') {
    await new Promise((resolve) => setTimeout(resolve, 10));
    job = await ask('jobs.get', { job: job.job });
  }
  if (job.state !== 'done') throw new Error(job.error?.says ?? job.state);
  return job.says;
}

async function olderLab(byMPerS: number) {
  const home = join(await tempFolder(), 'lab');
  const first = await testLab(home);
  const day = await first.bring(await buildDay());
  await keepAsOlder(first, day, byMPerS);
  return { first, home, day };
}

test('numbers that differ are told, stay until they are taken over, and who did is kept', async () => {
  const { first, home, day } = await olderLab(0.25);
  // Frozen as this version's they would not be what it computes.
  const frozen = await freezeRelease(first.session, { name: 'R1', days: null }, steadily());
  expect(frozen.ok ? '' : frozen.error.says).toMatch(
    /version 1\.2\.3 .* other numbers of trial .* version 0\.0\.9/,
  );
  first.close();

  const lab = await benchLab(undefined, home);
  const told = (await lab.ask('app.describe', {})).notices;
  expect(told).toMatchObject([{ leads: 'versions', note: null }]);
  expect(told[0]!.says).toMatch(/version 0\.0\.9 \(1 trial\).*this is version 1\.2\.3/);

  expect(await finished(lab, 'numbers.compare')).toMatch(
    /^1 trial held against version 1\.2\.3; 1 trial with numbers that differ/,
  );
  const view = await lab.ask('numbers.get', {});
  expect(view.waiting).toEqual([{ version: '0.0.9', trials: 1 }]);
  expect(view.trials).toHaveLength(1);
  const [{ numbers, from }] = view.trials as [(typeof view.trials)[number]];
  expect(from).toBe('0.0.9');
  expect(numbers).toMatchObject([{ column: 'velocity_m_s', stroke: null, unit: 'm/s', why: [] }]);
  const [{ before, after }] = numbers as [(typeof numbers)[number]];
  expect(Number(before) - Number(after)).toBeCloseTo(0.25, 12);
  // Looking has replaced nothing.
  const shown = (cells: readonly unknown[]) => cells.includes(before) && !cells.includes(after);
  expect(shown((await lab.ask('findings.day', { day })).trials[0]!.cells)).toBe(true);

  await lab.ask('app.setOperator', { operator: 'KL' });
  expect(await finished(lab, 'numbers.take')).toMatch(/taken over in place of those of 0\.0\.9 \(1 trial\)/);
  expect(shown((await lab.ask('findings.day', { day })).trials[0]!.cells)).toBe(false);
  expect((await lab.ask('app.describe', {})).notices).toEqual([]);
  expect(await lab.ask('numbers.get', {})).toMatchObject({ waiting: [], trials: [], taken: [{ who: 'KL' }] });
  await lab.lab.close();

  const last = await testLab(home);
  expect((await freezeRelease(last.session, { name: 'R1', days: null }, steadily())).ok).toBe(true);
});

test('numbers that are the same are this version’s without a word', async () => {
  const { first, home, day } = await olderLab(0);
  expect((await freezeRelease(first.session, { name: 'R1', days: null }, steadily())).ok).toBe(true);
  expect(first.session.store.resultsOfOthers('1.2.3')).toEqual([]);
  expect(valueOf(await findingsDay(first.session, day)).trials.length).toBeGreaterThan(0);
  first.close();
  const lab = await benchLab(undefined, home);
  expect((await lab.ask('app.describe', {})).notices).toEqual([]);
  expect((await lab.ask('numbers.get', {})).waiting).toEqual([]);
});

test('the command line prints what differs, and takes it over where it is asked to', async () => {
  const { first, home } = await olderLab(0.25);
  first.close();
  vi.stubEnv('LANEBENCH_HOME', home);
  try {
    // The command is of the program's own version, whatever it is: every trial of the lab is another's.
    const looked = await here((terminal) => runRenew(false, terminal));
    expect(looked).toMatchObject({ status: 0, stderr: '' });
    expect(looked.stdout).toMatch(/kept by version 0\.0\.9:\n {2}velocity_m_s \d\.\d+ → \d\.\d+ m\/s\n/);
    expect(looked.stdout).toMatch(/What is kept stays until it is taken over\.\n$/);
    const taken = await here((terminal) => runRenew(true, terminal));
    expect(taken.stdout).toMatch(/taken over in place of those of 0\.0\.9 \(1 trial\)\.\n$/);
    const again = await here((terminal) => runRenew(true, terminal));
    expect(again.stdout).toMatch(/^0 trials held .* Nothing is to be taken over\.\n$/);
  } finally {
    vi.unstubAllEnvs();
  }
});
