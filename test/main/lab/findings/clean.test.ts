/** Cleaning the trials of two days: decided as one act, taken back as one, and what the grid shows of it. */
import { expect, it } from 'vitest';
import { cp, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { gridColumn } from '../../../../core/findings/clean/columns.ts';
import { findingsDay, listReasons, saveReasons } from '../../../../main/lab/findings/clean.ts';
import { decideTrials, listActs, turnAct } from '../../../../main/lab/findings/cleanacts.ts';
import { decideTrial, historyOf, viewDay } from '../../../../main/lab/days/dayview.ts';
import { turnBack } from '../../../../main/lab/days/dayview.ts';
import { SAMPLE } from '../../cli/run.ts';
import { processFolder, tempFolder } from '../../files/day-builder.ts';
import { faultOf, testLab, valueOf, type TestLab } from '../support.ts';

async function twoDays(): Promise<{ lab: TestLab; days: readonly [number, number] }> {
  const lab = await testLab();
  const other = join(await tempFolder(), 'other');
  await cp(SAMPLE, other, { recursive: true });
  const file = join(other, 'day.json');
  const text = await readFile(file, 'utf8');
  await writeFile(file, text.replace('"harbour-morning"', '"harbour-evening"'));
  return { lab, days: [await lab.bring(SAMPLE), await lab.bring(other)] };
}

const cell = (
  view: { trials: readonly { trial: string; cells: readonly unknown[] }[] },
  trial: string,
  name: string,
) => view.trials.find((one) => one.trial === trial)!.cells[gridColumn(name).at];

it('shows of every trial what the command line writes, and computes none again', async () => {
  const lab = await testLab();
  const day = await lab.bring(SAMPLE);
  await viewDay(lab.session, day);
  lab.computed();
  const view = valueOf(await findingsDay(lab.session, day));
  expect(lab.computed()).toEqual([]);
  const trials = (await processFolder(SAMPLE)).table('trials');
  expect(view.trials.map(({ trial }) => trial)).toEqual(trials.map((row) => row['trial']));
  for (const row of trials)
    for (const [name, text] of Object.entries(row)) {
      if (name.endsWith('_u')) continue;
      const own = cell(view, row['trial']!, name);
      expect(
        typeof own === 'number' ? (Object.is(own, Number(text)) ? text : own) : String(own ?? ''),
        name,
      ).toBe(text);
    }
}, 120_000);

it('excludes trials of two days as one act with who, when and why, and takes them back as one', async () => {
  const { lab, days } = await twoDays();
  const { session } = lab;
  const trials = days.map((day) => ({ day, trial: 'P06-1', seen: 'recorded' as const }));
  expect(faultOf(await decideTrials(session, { trials, status: 'excluded', reason: '' }))).toBe('bad_input');
  const act = valueOf(
    await decideTrials(session, { trials, status: 'excluded', reason: 'A sensor came loose' }),
  );
  expect(act).toMatchObject({
    act: 1,
    says: '2 trials of 2 days excluded: A sensor came loose',
    undone: false,
    days: [...days],
  });
  for (const day of days) {
    const view = valueOf(await findingsDay(session, day));
    expect(cell(view, 'P06-1', 'status')).toBe('excluded');
    expect(cell(view, 'P06-1', 'exclusion_reason')).toBe('A sensor came loose');
    expect(view.trials.find(({ trial }) => trial === 'P06-1')!.decided).toEqual({ who: act.who, at: act.at });
    expect(valueOf(await viewDay(session, day)).trials.find(({ trial }) => trial === 'P06-1')!.status).toBe(
      'excluded',
    );
    expect((await historyOf(session, day)).at(-1)!.says).toBe('Trial P06-1 excluded: A sensor came loose');
  }
  // What has changed since it was on the screen is not decided on, nor is anything beside it.
  const stale = [...trials, { day: days[0], trial: 'P07-1', seen: 'recorded' as const }];
  expect(faultOf(await decideTrials(session, { trials: stale, status: 'accepted', reason: '' }))).toBe(
    'changed_meanwhile',
  );
  expect(valueOf(await turnAct(session, 1, 'undo')).undone).toBe(true);
  for (const day of days)
    expect(cell(valueOf(await findingsDay(session, day)), 'P06-1', 'status')).toBe('recorded');
  expect(valueOf(await turnAct(session, 1, 'redo')).undone).toBe(false);
  expect(valueOf(await listActs(session)).map(({ act: number }) => number)).toEqual([1]);
}, 120_000);

it('lets the later of two decisions stand, and takes back nothing past it', async () => {
  const { lab, days } = await twoDays();
  const { session } = lab;
  const [day] = days;
  const trials = ['P06-1', 'P07-1'].map((trial) => ({ day, trial, seen: 'recorded' as const }));
  valueOf(await decideTrials(session, { trials, status: 'excluded', reason: 'why' }));
  const seen = { day, trial: 'P06-1', seen: 'excluded', status: 'accepted', reason: '' } as const;
  expect(valueOf(await decideTrial(session, seen)).status).toBe('accepted');
  expect(faultOf(await turnAct(session, 1, 'undo'))).toBe('changed_meanwhile');
  const view = valueOf(await findingsDay(session, day));
  expect([cell(view, 'P06-1', 'status'), cell(view, 'P07-1', 'status')]).toEqual(['accepted', 'excluded']);
  valueOf(await turnBack(session, day, 'undo'));
  expect(valueOf(await turnAct(session, 1, 'undo')).undone).toBe(true);
  expect(faultOf(await turnAct(session, 7, 'undo'))).toBe('not_found');
}, 120_000);

it('keeps the lab’s own reasons', async () => {
  const { session } = await testLab();
  expect(listReasons(session).length).toBeGreaterThan(2);
  expect(valueOf(saveReasons(session, ['Goggles lost', 'Goggles lost', 'Cramp']))).toEqual([
    'Goggles lost',
    'Cramp',
  ]);
  expect(listReasons(session)).toEqual(['Goggles lost', 'Cramp']);
});
