/** A swimmer handed what is held on them, and erased: nothing of them is left, and the numbers of others are the same. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished, vi } from 'vitest';
import { runBackup } from '../../../../main/cli/backup.ts';
import { runErase, runPerson } from '../../../../main/cli/people.ts';
import { decideTrial } from '../../../../main/lab/days/dayview.ts';
import { freezeRelease } from '../../../../main/lab/findings/freeze.ts';
import { verifyStore } from '../../../../main/lab/days/verify.ts';
import { decide } from '../../../../main/lab/kept/decide.ts';
import { exportDay } from '../../../../main/lab/days/exportday.ts';
import { allowPlace } from '../../../../main/lab/kept/places.ts';
import { erasePerson } from '../../../../main/lab/people/erase.ts';
import { handOver } from '../../../../main/lab/people/handover.ts';
import { openStore } from '../../../../main/store/store.ts';
import { here, lanebench } from '../../cli/run.ts';
import { processFolder, readFolder, records, tempFolder } from '../../files/day-builder.ts';
import { steadily, testLab, valueOf, type TestLab } from '../support.ts';
import { CODE, filesWith, personDay } from './personday.ts';

/** The dataset of the day as it is written out, but what tells of the swimmer. */
async function numbersOfOthers({ session }: TestLab, id: number): Promise<ReadonlyMap<string, unknown>> {
  const place = await tempFolder();
  await allowPlace(session, place);
  const { path } = valueOf(await exportDay(session, id, join(place, 'day'), 'none'));
  const { table } = await processFolder(path);
  return new Map(
    ['participants', 'trials', 'strokes', 'calibrations', 'refused'].map((name) => [
      name,
      table(name)
        .filter((row) => !JSON.stringify([row['participant'], row['trial'], row['reason']]).includes(CODE))
        .map((row) => JSON.stringify(row).replaceAll(CODE, 'erased')),
    ]),
  );
}

/** A lab with the day, and decisions on the swimmer, on others, and on both at once. */
async function decidedLab(): Promise<TestLab & { readonly id: number; readonly folder: string }> {
  const lab = await testLab();
  const folder = await personDay();
  const id = await lab.bring(folder);
  const { session } = lab;
  for (const trial of [`${CODE}-2`, 'P01-2'])
    valueOf(
      await decideTrial(session, {
        day: id,
        trial,
        seen: 'recorded',
        status: 'excluded',
        reason: `wave of ${CODE}`,
      }),
    );
  valueOf(
    decide(session, {
      day: id,
      trial: null,
      subject: 'trial.statuses',
      key: '1',
      after: { trials: [`${CODE}-1`, 'P03-1'], status: 'excluded', reason: 'lane rope' },
      says: `2 trials excluded: ${CODE}-1, P03-1`,
    }),
  );
  return { ...lab, id, folder };
}

const held = (session: TestLab['session']) =>
  verifyStore(session.store, true, new AbortController().signal, () => undefined);

describe('a swimmer under a code of sixteen letters', { timeout: 240_000 }, () => {
  it('gets everything that is held on them, and nothing of anybody else', async () => {
    const { session, folder } = await decidedLab();
    const out = join(await tempFolder(), 'person');
    const handed = await handOver(session, { participant: CODE, out, replace: false }, steadily());
    expect(handed).toMatchObject({ kind: 'written', lines: [] });
    const files = await readFolder(out);
    const day = 'days/harbour-morning/';
    // Their rows stand as the lab wrote them, found here by looking at each line of the folder.
    for (const table of ['roster.csv', 'trials.csv', 'events.csv', 'strokes.csv', 'sync.csv']) {
      const lines = readFileSync(join(folder, table), 'utf8').trimEnd().split('\n');
      const mine = lines.filter((line, at) => at === 0 || line.startsWith(CODE));
      if (table === 'events.csv') expect(mine.length).toBeGreaterThan(50);
      expect(files.get(day + table), table).toBe(
        `${mine.filter((line) => !/,P0\d,/.test(line)).join('\n')}\n`,
      );
    }
    for (const path of [`traces/${CODE}-1.csv`, `video/${CODE}-1.mp4`, `video/${CODE}-2.mp4`])
      expect(readFileSync(join(out, day, path)).equals(readFileSync(join(folder, path))), path).toBe(true);
    const trials = records(files.get(`${day}results/trials.csv`)!);
    expect(trials.map((row) => row['trial'])).toEqual([`${CODE}-1`, `${CODE}-2`]);
    const before = (await processFolder(folder)).trial(`${CODE}-1`);
    expect({ ...trials[0], status: 'accepted', exclusion_reason: '' }).toEqual(before);
    const decisions = JSON.parse(files.get(`${day}decisions.json`)!) as { says: string }[];
    expect(decisions.map(({ says }) => says)).toEqual([
      `Trial ${CODE}-2 excluded: wave of ${CODE}`,
      `2 trials excluded: ${CODE}-1, another`,
    ]);
    const others = [...files].filter(([path, text]) =>
      /P0[1345678](?![0-9])/.test(path + (path.includes('video') ? '' : text)),
    );
    expect(others.map(([path]) => path)).toEqual([]);
    expect([...files.keys()].filter((path) => path.endsWith('.csv') && path.includes('traces'))).toHaveLength(
      2,
    );
  });

  it('is erased to the last byte, while the numbers of all others stay', async () => {
    const lab = await decidedLab();
    const { session, id, home } = lab;
    const before = await numbersOfOthers(lab, id);
    expect(filesWith(home, CODE).length).toBeGreaterThan(5);
    const links = session.store.erasures();
    expect(links).toEqual([]);
    const erased = valueOf(await erasePerson(session, CODE));
    expect(erased.lines).toEqual([]);
    expect(erased.says).toMatch(/^Erased: 1 day, 2 trials, 3 decisions blanked or changed, \d+ files \(/);
    expect(filesWith(home, CODE)).toEqual([]);
    // While it is open and once it is closed, which brings its log in.
    expect(await numbersOfOthers(lab, id)).toEqual(before);
    expect((await held(session)).lines).toEqual([]);
    expect(session.store.erasures()).toMatchObject([{ days: 1, trials: 2, decisions: 3 }]);
    expect(session.store.history(id).map(({ says }) => says)).toEqual([
      'Erased',
      'Trial P01-2 excluded: wave of erased',
      '2 trials excluded: erased, P03-1',
    ]);
    // Undo goes over what stands in the place of what is gone, and brings nobody back.
    for (let steps = 0; steps < 3; steps++)
      valueOf(session.store.undo(id, 'KL', '2026-04-01T10:00:00.000Z') as never);
    expect(filesWith(home, CODE)).toEqual([]);
    lab.close();
    const again = openStore(home);
    if (!again.ok) throw new Error(again.error.says);
    expect([again.value.losses(), again.value.damage]).toEqual([[], []]);
    again.value.close();
    expect(filesWith(home, CODE)).toEqual([]);
  });

  it('is told of where the program cannot reach, by command and with the code given twice', async () => {
    const lab = await decidedLab();
    const { session, id, home } = lab;
    valueOf(await freezeRelease(session, { name: 'spring', days: [id] }, steadily()));
    lab.close();
    const place = await tempFolder();
    vi.stubEnv('LANEBENCH_HOME', home);
    onTestFinished(() => void vi.unstubAllEnvs());
    const backup = (to: string) => here((terminal) => runBackup(to, false, terminal));
    const person = (participant: string, name: string) =>
      here((terminal) => runPerson({ participant, out: join(place, name), replace: false }, terminal));
    const copy = join(place, 'copy');
    expect((await backup(copy)).status).toBe(0);
    const wrong = await lanebench(['erase', CODE, '--yes', 'P01'], { env: { ...process.env } });
    expect([wrong.status, wrong.stdout]).toEqual([2, '']);
    expect((await here((terminal) => runErase('nobody', terminal))).status).toBe(1);
    const done = await here((terminal) => runErase(CODE, terminal));
    expect([done.status, done.stderr]).toEqual([0, '']);
    expect(done.stdout).toContain('Release spring: frozen with the swimmer in it.');
    expect(done.stdout).toContain(`Backup ${copy}: made before.`);
    const again = await testLab(home);
    const frozen = new Set(again.session.store.releaseFiles('spring', '').map(({ sha256 }) => sha256));
    const rawOf = (path: string) => path.slice(join(home, 'raw').length).replaceAll('/', '');
    // The list of a release names its samples by trial: it is never altered, and is the one thing of the lab file.
    const left = filesWith(home, CODE).filter((path) => !frozen.has(rawOf(path)));
    expect(left).toEqual([join(home, 'lab.sqlite')]);
    again.close();
    const refused = await backup(copy);
    expect(refused.status).toBe(2);
    expect(refused.stderr).toContain('from before an erasure');
    const gone = await person(CODE, 'person');
    expect([gone.status, gone.stdout]).toEqual([0, expect.stringMatching(/^0 days/)]);
    expect((await person('P01', 'p01')).status).toBe(0);
    expect((await person('P01', 'p01')).status).toBe(2);
    expect((await person('nobody', 'none')).status).toBe(1);
  });
});
