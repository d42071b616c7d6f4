/** Plans on the screens: stated before looking, answered, changed after; each look and each statement is kept. */
import { expect, it } from 'vitest';
import { createHash } from 'node:crypto';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { PlanQuestion } from '../../../../core/contract/plans.ts';
import { allowPlace } from '../../../../main/lab/kept/places.ts';
import { answerPlan, figurePdf, savePlan, viewDesign } from '../../../../main/lab/findings/plananswer.ts';
import { keptPlan, keptPlans, statePlan } from '../../../../main/lab/findings/planlog.ts';
import { makeComparison } from '../../../../main/lab/findings/compare.ts';
import { readFile, writeFile } from 'node:fs/promises';
import { SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { makeDataset } from '../../../../main/lab/days/dataset.ts';
import { faultOf, testLab, valueOf } from '../support.ts';

const SPEED: PlanQuestion = {
  id: 'q1',
  words: 'Are men faster?',
  why: 'Two groups of different swimmers.',
  test: 'welch',
  outcome: 'velocity_m_s',
  by: 'sex',
  groups: ['female', 'male'],
};

it('calls planned what stood before looking, exploratory what came after, and shows the change', async () => {
  const lab = await testLab();
  const { session } = lab;
  const source = { days: [await lab.bring(SAMPLE)] };
  const first = valueOf(statePlan(session, { plan: 'sprint', seen: null, questions: [SPEED] }));
  expect(first.questions[0]).toMatchObject({ id: 'q1', kind: 'planned' });
  expect(first.lookedAt).toBeNull();
  const { text } = valueOf(keptPlan(session, 'sprint'));
  expect(first.sha256).toBe(createHash('sha256').update(text).digest('hex'));
  const design = valueOf(await viewDesign(session, source));
  expect(design.columns.find(({ name }) => name === 'sex')!.groups.map(({ name }) => name)).toContain('male');
  expect(JSON.stringify(design)).not.toMatch(/\d\.\d/);

  expect(faultOf(statePlan(session, { plan: 'sprint', seen: null, questions: [SPEED] }))).toBe('bad_input');
  const again = valueOf(await answerPlan(session, 'sprint', source));
  expect(valueOf(keptPlan(session, 'sprint')).view.lookedAt).not.toBeNull();
  expect(valueOf(await answerPlan(session, 'sprint', source))).toEqual(again);
  expect(session.store.planEntries().filter(({ what }) => what === 'looked')).toHaveLength(1);

  const reworded = { ...SPEED, words: 'Do men swim faster?' };
  const more: PlanQuestion = { ...SPEED, id: 'q2', outcome: 'idc_pct' };
  const none: PlanQuestion = { ...SPEED, id: 'q3', outcome: 'velocty' };
  const after = valueOf(
    statePlan(session, { plan: 'sprint', seen: first.sha256, questions: [reworded, more, none] }),
  );
  expect(after.questions.map(({ kind }) => kind)).toEqual(['planned', 'exploratory', 'exploratory']);
  expect(after.versions.at(-1)).toMatchObject({ afterLooking: true, says: '2 questions added or changed' });
  const answer = valueOf(await answerPlan(session, 'sprint', source));
  expect(answer.refused).toEqual([expect.stringContaining('velocity_m_s')]);
  expect(answer.said.map(({ lead }) => /planned|exploratory/.exec(lead)![0])).toEqual([
    'planned',
    'exploratory',
  ]);
  expect(faultOf(statePlan(session, { plan: 'sprint', seen: first.sha256, questions: [SPEED] }))).toBe(
    'changed_meanwhile',
  );
}, 120_000);

it('answers as the command line does from the dataset of the same day', async () => {
  const lab = await testLab();
  const day = await lab.bring(SAMPLE);
  valueOf(statePlan(lab.session, { plan: 'p', seen: null, questions: [SPEED] }));
  const answer = valueOf(await answerPlan(lab.session, 'p', { days: [day] }));
  const folder = await tempFolder();
  const [dataset, plan, out] = ['dataset', 'p.json', 'out'].map((name) => join(folder, name));
  await makeDataset({ folder: SAMPLE, out: dataset!, replace: false }, () => undefined);
  await writeFile(plan!, valueOf(keptPlan(lab.session, 'p')).text);
  const made = await makeComparison({ folder: dataset!, plan: plan!, out: out!, replace: false });
  expect(made.kind).toBe('written');
  const row = (await readFile(join(out!, 'tests.csv'), 'utf8')).split('\n')[1]!.split(',');
  const tests = answer.tables.find(({ name }) => name === 'tests')!;
  const at = tests.columns.indexOf('statistic');
  expect(Number(row[at])).toBe(tests.rows[0]![at]);
  expect(await readFile(join(out!, `figures/${answer.figures[0]!.name}.svg`), 'utf8')).toBe(
    answer.figures[0]!.svg,
  );

  valueOf(await allowPlace(lab.session, folder));
  const saved = valueOf(
    await savePlan(lab.session, { plan: 'p', source: { days: [day] }, path: join(folder, 'saved') }),
  );
  expect(saved.files).toBeGreaterThan(8);
  expect(await readFile(join(folder, 'saved', 'tests.csv'), 'utf8')).toBe(
    await readFile(join(out!, 'tests.csv'), 'utf8'),
  );
  expect(faultOf(await figurePdf(lab.session, '<script>'))).toBe('bad_input');
  expect(faultOf(await figurePdf(lab.session, answer.figures[0]!.svg))).toBe('not_found');
  await rm(folder, { recursive: true });
}, 120_000);

it('keeps plans whole through a restart, and none where nothing can be read', async () => {
  const lab = await testLab();
  valueOf(statePlan(lab.session, { plan: 'p', seen: null, questions: [SPEED] }));
  lab.close();
  const again = await testLab(lab.home);
  expect(keptPlans(again.session).map(({ view }) => view.plan)).toEqual(['p']);
  expect(faultOf(await answerPlan(again.session, 'q', { days: [1] }))).toBe('not_found');
  expect(faultOf(await answerPlan(again.session, 'p', { days: [9] }))).toBe('not_found');
  const wrong = { ...SPEED, test: 'equivalence' as const };
  valueOf(statePlan(again.session, { plan: 'e', seen: null, questions: [wrong] }));
});
