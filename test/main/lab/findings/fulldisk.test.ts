/** A disk that is full: what is handed over is written whole or not at all, with a sentence. */
import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { exportRelease } from '../../../../main/lab/findings/exportrelease.ts';
import { freezeRelease } from '../../../../main/lab/findings/freeze.ts';
import { listReleases } from '../../../../main/lab/findings/releases.ts';
import { folderPages } from '../../../../main/lab/findings/swimmerpages.ts';
import { compareHere, poolHere, processHere } from '../../cli/run.ts';
import { buildDay, tempFolder } from '../../files/day-builder.ts';
import { NO_DISK, tinyDisk } from '../../store/support.ts';
import { steadily, testLab, valueOf } from '../support.ts';

const PATIENCE = 240_000;
const NO_ROOM = /could not be written to .*: there is no room left on its disk\. OUT is as it was\./;

test('a dataset, a pool, results, pages and a release', { timeout: PATIENCE }, async (context) => {
  const disk = tinyDisk(4096);
  if (disk === null) return context.skip(NO_DISK);
  const [day, place] = [await buildDay(), await tempFolder()];
  const full = (name: string) => join(disk.folder, name);
  const plan = join(place, 'plan.json');
  const question = { id: 'q', outcome: 'velocity_m_s', on: 'attempt', test: 'repeatability' };
  const counting = { id: 'n', counts: ['sex', 'condition'], test: 'chi_square' };
  writeFileSync(plan, JSON.stringify({ format: 'lanebench-plan/1', questions: [question, counting] }));
  expect((await processHere(day, join(place, 'dataset'))).status).toBe(0);

  expect(await processHere(day, full('dataset'))).toMatchObject({
    status: 1,
    stderr: expect.stringMatching(NO_ROOM),
  });
  const pooled = await poolHere([join(place, 'dataset')], full('pool'));
  expect(pooled).toMatchObject({ status: 1, stderr: expect.stringMatching(NO_ROOM) });
  const compared = await compareHere(join(place, 'dataset'), plan, full('results'));
  expect(compared.status).toBe(1);
  const pages = await folderPages(day, { out: full('pages'), replace: false, printPdf: null }, steadily());
  expect(pages.kind === 'nothing' ? pages.error.says : pages.kind).toMatch(NO_ROOM);
  const lab = await testLab();
  await lab.bring(day);
  valueOf(await freezeRelease(lab.session, { name: 'R1', days: null }, steadily()));
  const wish = {
    samples: true,
    parquet: true,
    curves: true,
    matlab: true,
    edf: true,
    coarseBirthYear: false,
    notes: true,
  };
  const order = { name: 'R1', out: full('release'), wish, replace: false };
  const exported = await exportRelease(lab.session, order, steadily());
  expect(exported.kind === 'nothing' ? exported.error.says : exported.kind).toMatch(NO_ROOM);
  expect(readdirSync(disk.folder)).toEqual([]);
});

test(
  'a lab folder without room freezes nothing and keeps nothing of it',
  { timeout: PATIENCE },
  async (context) => {
    const disk = tinyDisk(16 << 20);
    if (disk === null) return context.skip(NO_DISK);
    const home = join(disk.folder, 'lab');
    mkdirSync(home);
    const lab = await testLab(home);
    await lab.bring(await buildDay());
    const before = [...lab.raw().keys()].toSorted();
    const filler = join(disk.folder, 'filler');
    expect(() => writeFileSync(filler, Buffer.alloc(32 << 20))).toThrow(/ENOSPC/);
    const frozen = await freezeRelease(lab.session, { name: 'R1', days: null }, steadily());
    expect(frozen.ok ? 'frozen' : frozen.error.says).toMatch(/^There is no room left on the disk of /);
    expect(listReleases(lab.session)).toEqual([]);
    expect([...lab.raw().keys()].toSorted()).toEqual(before);
    rmSync(filler);
    valueOf(await freezeRelease(lab.session, { name: 'R1', days: null }, steadily()));
    expect(listReleases(lab.session)).toHaveLength(1);
  },
);
