/** Decisions, results that can be thrown away, and what a person is told of the lab folder. */
import { chmodSync, truncateSync, writeFileSync } from 'node:fs';
import { userInfo } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { AppView } from '../../../../core/contract/contract.ts';
import { decideTrial, historyOf, turnBack, viewDay, viewTrial } from '../../../../main/lab/days/dayview.ts';
import { openLab } from '../../../../main/lab/lab.ts';
import { operatorOf, setOperator } from '../../../../main/lab/kept/session.ts';
import { buildDay, swap, tempFolder } from '../../files/day-builder.ts';
import { faultOf, sha256Of, testLab, valueOf, type TestLab } from '../support.ts';

const exclude = (lab: TestLab, day: number, seen: 'recorded' | 'accepted' | 'excluded' = 'recorded') =>
  decideTrial(lab.session, { day, trial: 'T2', seen, status: 'excluded', reason: 'a sensor came loose' });

/** Status and reason of T2, and every number of it. */
async function standing(lab: TestLab, day: number) {
  const { status, exclusionReason, result } = valueOf(await viewTrial(lab.session, day, 'T2'));
  return { status, exclusionReason, result };
}

describe('a decision', () => {
  it('changes no number and computes nothing', async () => {
    const lab = await testLab();
    const id = await lab.bring(await buildDay());
    const before = await standing(lab, id);
    lab.computed();
    valueOf(await exclude(lab, id));
    expect(await standing(lab, id)).toEqual({
      status: 'excluded',
      exclusionReason: 'a sensor came loose',
      result: before.result,
    });
    expect(lab.computed()).toEqual([]);
  });

  it('survives closing the lab, a new revision of the day, and dropping the results', async () => {
    const lab = await testLab();
    const folder = await buildDay();
    const id = await lab.bring(folder);
    valueOf(await exclude(lab, id));
    lab.close();
    const again = await testLab(lab.home);
    expect(await standing(again, id)).toMatchObject({ status: 'excluded' });
    await buildDay({ 'zeros.csv': swap('S-01,T2,before,8000', 'S-01,T2,before,8001') }, folder);
    await again.bring(folder);
    again.session.store.dropResults(id);
    expect(await standing(again, id)).toMatchObject({
      status: 'excluded',
      exclusionReason: 'a sensor came loose',
    });
    await turnBack(again.session, id, 'undo');
    expect(await standing(again, id)).toMatchObject({ status: 'recorded', exclusionReason: null });
  });

  it('needs a reason to exclude, a trial that is there, and eyes on what stands there now', async () => {
    const lab = await testLab();
    const id = await lab.bring(await buildDay());
    const wish = { day: id, trial: 'T2', seen: 'recorded', status: 'excluded', reason: '' } as const;
    expect(faultOf(await decideTrial(lab.session, wish))).toBe('bad_input');
    expect(faultOf(await decideTrial(lab.session, { ...wish, trial: 'T9', reason: 'x' }))).toBe('not_found');
    expect(faultOf(await decideTrial(lab.session, { ...wish, day: 9, reason: 'x' }))).toBe('not_found');
    expect(faultOf(await exclude(lab, id, 'accepted'))).toBe('changed_meanwhile');
    expect(await historyOf(lab.session, id)).toEqual([]);
  });

  it('is recorded with who and what, undone and redone one at a time', async () => {
    const lab = await testLab();
    const id = await lab.bring(await buildDay());
    valueOf(setOperator(lab.session, 'KM') as never);
    valueOf(await exclude(lab, id));
    valueOf(
      await decideTrial(lab.session, {
        day: id,
        trial: 'T2',
        seen: 'excluded',
        status: 'accepted',
        reason: '',
      }),
    );
    expect(await historyOf(lab.session, id)).toHaveLength(2);
    for (const entry of await historyOf(lab.session, id))
      expect(entry).toMatchObject({ trial: 'T2', who: 'KM', undone: false });
    await turnBack(lab.session, id, 'undo');
    expect(await standing(lab, id)).toMatchObject({ status: 'excluded' });
    await turnBack(lab.session, id, 'undo');
    expect(await standing(lab, id)).toMatchObject({ status: 'recorded' });
    expect(await turnBack(lab.session, id, 'undo')).toEqual({ ok: true, value: null });
    await turnBack(lab.session, id, 'redo');
    expect(await standing(lab, id)).toMatchObject({
      status: 'excluded',
      exclusionReason: 'a sensor came loose',
    });
  });
});

it('computes the same again where the results were dropped', async () => {
  const lab = await testLab();
  const id = await lab.bring(await buildDay());
  const before = valueOf(await viewDay(lab.session, id));
  lab.computed();
  lab.session.store.dropResults(id);
  expect(valueOf(await viewDay(lab.session, id))).toEqual(before);
  expect(lab.computed()).toEqual(['T1', 'T2']);
});

describe('who is at work', () => {
  it('is the name of the login until initials are given; blank ones are refused', async () => {
    const home = join(await tempFolder(), 'lab');
    const lab = await openLab({ home, sampleFolder: null, version: '1.2.3' });
    try {
      expect(await lab.carry('app.describe', {})).toMatchObject({ value: { operator: userInfo().username } });
      expect(await lab.carry('app.setOperator', { operator: '  ' })).toMatchObject({
        error: { code: 'bad_input' },
      });
      expect(await lab.carry('app.setOperator', { operator: ' KM ' })).toMatchObject({
        value: { operator: 'KM' },
      });
    } finally {
      await lab.close();
    }
    expect(operatorOf((await testLab(home)).session)).toBe('KM');
  });
});

describe('damage in the lab folder', () => {
  it('of a raw file is mended from the day folder, put aside and told', async () => {
    const lab = await testLab();
    const folder = await buildDay();
    const id = await lab.bring(folder);
    const before = await standing(lab, id);
    const damaged = lab.session.store.rawPath(sha256Of(join(folder, 'traces/T2.csv')));
    chmodSync(damaged, 0o644);
    truncateSync(damaged, 20);
    await lab.bring(folder);
    lab.session.store.dropResults(id);
    expect(await standing(lab, id)).toEqual(before);
    lab.close();

    const opened = await openLab({ home: lab.home, sampleFolder: null, version: '1.2.3' });
    const told = (await opened.carry('app.describe', {})) as { readonly value: AppView };
    await opened.close();
    expect(told.value.setAside).toHaveLength(1);
    expect(told.value.setAside[0]).toContain(join(lab.home, 'quarantine'));
  });

  it('of its database keeps the file whole and says what to do', async () => {
    const lab = await testLab();
    await lab.bring(await buildDay());
    lab.close();
    writeFileSync(
      join(lab.home, 'lab.sqlite'),
      'no database at all, of more than a hundred bytes '.repeat(20),
    );
    const opening = openLab({ home: lab.home, sampleFolder: null, version: '1.2.3' });
    await expect(opening).rejects.toMatchObject({
      says: expect.stringContaining(`${join(lab.home, 'lab.sqlite')} is damaged`) as string,
      todo: expect.stringMatching(/\.$/) as string,
    });
  });
});
