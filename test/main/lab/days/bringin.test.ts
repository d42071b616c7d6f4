/** Bringing a day in: once, then only what changed; nobody without consent; nothing of a cancelled opening. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { TABLE_NAMES } from '../../../../core/day/tables.ts';
import { bringIn } from '../../../../main/lab/days/bringin.ts';
import { OPENING_PARTS } from '../../../../main/lab/kept/process.ts';
import { viewDay, viewTrial } from '../../../../main/lab/days/dayview.ts';
import { append, buildDay, dayJson, swap, type Edits } from '../../files/day-builder.ts';
import { faultOf, sha256Of, steadily, testLab, valueOf } from '../support.ts';

/** A day brought in, edited in its folder, and brought in again: which trials were computed anew. */
async function anew(
  edits: Edits,
): Promise<{ readonly computed: readonly string[]; readonly revision: number }> {
  const lab = await testLab();
  const folder = await buildDay();
  const id = await lab.bring(folder);
  expect(lab.computed()).toEqual(['T1', 'T2']);
  await buildDay(edits, folder);
  expect(await lab.bring(folder)).toBe(id);
  return { computed: lab.computed(), revision: lab.session.store.getDay(id)!.revision };
}

describe('opening a day again', () => {
  it('makes no revision, copies nothing and computes nothing where nothing changed', async () => {
    const lab = await testLab();
    const folder = await buildDay();
    const id = await lab.bring(folder);
    const [raw, view] = [lab.raw(), valueOf(await viewDay(lab.session, id))];
    lab.computed();

    expect(await lab.bring(folder)).toBe(id);
    expect(lab.session.store.revisions(id)).toHaveLength(1);
    expect(lab.raw()).toEqual(raw);
    expect(lab.computed()).toEqual([]);
    const { openedAt: _before, ...was } = view;
    const { openedAt: _after, ...is } = valueOf(await viewDay(lab.session, id));
    expect(is).toEqual(was);
  });

  it.each<readonly [string, Edits, readonly string[]]>([
    [
      'a mark of T2',
      { 'events.csv': swap('T2,left,2,propulsion_start,1.90', 'T2,left,2,propulsion_start,1.91') },
      ['T2'],
    ],
    ['the trace of T1', { 'traces/T1.csv': append('8.00,8000,8000') }, ['T1']],
    ['a zero of T2', { 'zeros.csv': swap('S-01,T2,before,8000', 'S-01,T2,before,8001') }, ['T2']],
    ['a clock pair of T2', { 'sync.csv': swap('T2,A,3.5,3,lamp', 'T2,A,3.52,3,lamp') }, ['T2']],
    ['a judgement of T1', { 'strokes.csv': swap('T1,left,1,above', 'T1,left,1,level') }, ['T1']],
    ['the hand area of the swimmer of T2', { 'roster.csv': swap('82,180,182', '82,181,182') }, ['T2']],
    [
      'a section time of T1',
      { 'trials.csv': swap('T1,P01,1,sprint,traces/T1.csv,,,,1,', 'T1,P01,1,sprint,traces/T1.csv,,,,1.1,') },
      ['T1'],
    ],
    [
      'a calibration step of the left sensor',
      { 'calibration.csv': swap('S-01,1,up,0,kPa,8000', 'S-01,1,up,0,kPa,8009') },
      ['T1', 'T2'],
    ],
    [
      'the filter',
      { 'day.json': dayJson((day) => (day.protocol['filter'] = { kind: 'none' })) },
      ['T1', 'T2'],
    ],
    [
      'the status in the table, on which no number rests',
      { 'trials.csv': swap('video,0.006,recorded', 'video,0.006,accepted') },
      [],
    ],
  ])('computes anew what rests on %s, and nothing else', async (what, edits, trials) => {
    const again = await anew(edits);
    expect(again.computed).toEqual(trials);
    expect(again.revision, what).toBe(2);
  });

  it('keeps the files of the revision before', async () => {
    const lab = await testLab();
    const folder = await buildDay();
    const id = await lab.bring(folder);
    const first = sha256Of(join(folder, 'zeros.csv'));
    await buildDay({ 'zeros.csv': swap('S-01,T2,before,8000', 'S-01,T2,before,8001') }, folder);
    await lab.bring(folder);
    const of = (revision: number) =>
      lab.session.store.dayFiles(id, revision).find(({ path }) => path === 'zeros.csv')!.sha256;
    expect([of(1), of(2)]).toEqual([first, sha256Of(join(folder, 'zeros.csv'))]);
    expect([...lab.raw().keys()]).toEqual(expect.arrayContaining([of(1), of(2)]));
  });
});

describe('what a number came from', () => {
  it('is listed by file, with the SHA-256 of that file', async () => {
    const lab = await testLab();
    const folder = await buildDay();
    const id = await lab.bring(folder);
    const common = [
      'day.json',
      'roster.csv',
      'trials.csv',
      'calibration.csv',
      'zeros.csv',
      'events.csv',
      'strokes.csv',
    ];
    for (const [trial, own] of [
      ['T1', ['traces/T1.csv']],
      ['T2', ['traces/T2.csv', 'sync.csv']],
    ] as const) {
      const { inputs } = valueOf(await viewTrial(lab.session, id, trial));
      expect(inputs.map(({ file }) => file).toSorted()).toEqual([...common, ...own].toSorted());
      for (const { file, sha256 } of inputs) expect(sha256, file).toBe(sha256Of(join(folder, file)));
    }
  });
});

describe('swimmers without consent', () => {
  it.each(['withdrawn', 'missing', ''])('leave no trace or film behind: %j', async (consent) => {
    const lab = await testLab();
    const folder = await buildDay({
      'roster.csv': append(`Qz7,male,2002,183,78.2,171,172,2,${consent},`),
      'trials.csv': append(
        'Qz7-1,Qz7,1,sprint,traces/Qz7-1.csv,video/Qz7-1.mp4,,,1,6.5,video,0.006,recorded,',
      ),
      'videos.csv': 'trial,camera,file\nQz7-1,B,video/Qz7-1-B.mp4\n',
      'traces/Qz7-1.csv': 'time,L,R\n0,1,2\n0.01,3,4\n',
      'video/Qz7-1.mp4': 'an invented film',
      'video/Qz7-1-B.mp4': 'another invented film',
    });
    const id = await lab.bring(folder);
    const kept = lab.session.store.dayFiles(id);
    expect(kept.map(({ path }) => path).filter((path) => path.includes('Qz7'))).toEqual([]);
    for (const file of ['traces/Qz7-1.csv', 'video/Qz7-1.mp4', 'video/Qz7-1-B.mp4'])
      expect(lab.raw().has(sha256Of(join(folder, file))), file).toBe(false);
    const view = valueOf(await viewDay(lab.session, id));
    expect(view.leftOut).toEqual({ swimmers: 1, trials: 1 });
    expect(JSON.stringify(view)).not.toContain('Qz7');
    expect(faultOf(await viewTrial(lab.session, id, 'Qz7-1'))).toBe('not_found');
  });
});

describe('an opening that is cancelled', () => {
  it('leaves no day and no file', async () => {
    const lab = await testLab();
    const stop = new AbortController();
    const work = bringIn(
      lab.session,
      await buildDay(),
      steadily((steps) => steps === OPENING_PARTS + 5 && stop.abort(), stop),
    );
    await expect(work).rejects.toThrow(/abort/i);
    expect(lab.session.store.listDays()).toEqual([]);
    expect([...lab.raw().keys()]).toEqual([]);
  });

  it.each([
    ['while a large table is read', TABLE_NAMES.indexOf('events')],
    ['while large tables are put together', OPENING_PARTS - 1],
  ])('%s ends there, and other work goes on meanwhile', { timeout: 120_000 }, async (_when, part) => {
    const lab = await testLab();
    const row = (k: number) => `T1,left,${k},water_exit,${k / 1000},trace,,R1\n`;
    const rows = Array.from({ length: 200_000 }, (_, k) => row(k)).join('');
    const folder = await buildDay({ 'events.csv': (text) => `${text ?? ''}${rows}` });
    const stop = new AbortController();
    let [steps, turns] = [0, 0];
    const watch = setInterval(() => turns++);
    const progress = steadily(
      (now) => {
        steps = now;
        // Not at once: in the midst of what comes next.
        if (now === OPENING_PARTS - 1) setTimeout(() => stop.abort(), 1);
      },
      stop,
      // Of a large table it is told how far it is.
      (at) => at > part && at < part + 1 && stop.abort(),
    );
    await expect(bringIn(lab.session, folder, progress)).rejects.toThrow(/abort/i);
    clearInterval(watch);
    expect(steps).toBe(part);
    expect(turns).toBeGreaterThan(0);
    expect(lab.session.store.listDays()).toEqual([]);
    expect([...lab.raw().keys()]).toEqual([]);
  });

  it('once the day is recorded stops the computing of its trials, and says so', async () => {
    const lab = await testLab();
    const stop = new AbortController();
    // day.json, the tables, and the traces of both trials.
    const paths = 1 + TABLE_NAMES.length + 2;
    const outcome = await bringIn(
      lab.session,
      await buildDay(),
      steadily((steps) => steps === OPENING_PARTS + paths + 1 && stop.abort(), stop),
    );
    expect(faultOf(outcome)).toBe('cancelled');
    expect(outcome.ok ? '' : outcome.error.says).toContain(
      'is in the lab folder, with all of its files. Computing its trials was stopped after 1 of 2.',
    );
    expect(lab.computed()).toEqual(['T1']);
    const [day] = lab.session.store.listDays();
    expect(valueOf(await viewDay(lab.session, day!.id)).trials).toHaveLength(2);
    expect(lab.computed()).toEqual(['T2']);
  });

  it('leaves the days before as they were', async () => {
    const lab = await testLab();
    const folder = await buildDay();
    const id = await lab.bring(folder);
    const before = valueOf(await viewDay(lab.session, id));
    writeFileSync(join(folder, 'traces/T1.csv'), 'time,L,R\n0,1,2\n0.01,3,4\n');
    const stop = new AbortController();
    await expect(
      bringIn(
        lab.session,
        folder,
        steadily((steps) => steps === OPENING_PARTS + 3 && stop.abort(), stop),
      ),
    ).rejects.toThrow(/abort/i);
    expect(valueOf(await viewDay(lab.session, id))).toEqual(before);
  });
});

it('says what is wrong with a folder that is no day', async () => {
  const lab = await testLab();
  const folder = await buildDay({ 'day.json': null });
  expect(faultOf(await bringIn(lab.session, folder, steadily()))).toBe('not_a_day');
  expect(lab.session.store.listDays()).toEqual([]);
});
