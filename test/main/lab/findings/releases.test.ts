/** Releases: frozen once, the same bytes for ever, of those who consent. */
import { chmodSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { cp, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { ExportWish } from '../../../../core/dataset/release.ts';
import { decideTrial } from '../../../../main/lab/days/dayview.ts';
import { exportDay } from '../../../../main/lab/days/exportday.ts';
import { verifyStore } from '../../../../main/lab/days/verify.ts';
import { diffReleases } from '../../../../main/lab/findings/diffreleases.ts';
import { exportRelease, type ExportOutcome } from '../../../../main/lab/findings/exportrelease.ts';
import { freezeRelease, tryFreeze } from '../../../../main/lab/findings/freeze.ts';
import { listReleases, tryExport } from '../../../../main/lab/findings/releases.ts';
import { allowPlace } from '../../../../main/lab/kept/places.ts';
import type { Session } from '../../../../main/lab/kept/session.ts';
import { poolHere, processHere, SAMPLE } from '../../cli/run.ts';
import { buildDay, dayJson, readFolder, records, tempFolder } from '../../files/day-builder.ts';
import { decideMuch } from '../decidemuch.ts';
import { faultOf, steadily, testLab, valueOf } from '../support.ts';

const HOME: ExportWish = {
  samples: false,
  parquet: false,
  curves: false,
  matlab: false,
  edf: false,
  coarseBirthYear: false,
  notes: false,
};
const ALL: ExportWish = { ...HOME, samples: true, parquet: true, notes: true };

async function exported(session: Session, name: string, wish: ExportWish): Promise<string> {
  const out = join(await tempFolder(), 'out');
  const outcome = await exportRelease(session, { name, out, wish, replace: false }, steadily());
  if (outcome.kind !== 'written') throw new Error(JSON.stringify(outcome));
  return out;
}

const freeze = (session: Session, name: string, days: readonly number[] | null = null) =>
  freezeRelease(session, { name, days }, steadily());

/** Every file below a folder, by its path: its bytes as text. */
const bytesOf = async (folder: string) => new Map([...(await readFolder(folder))].toSorted());

/** The small day under another code. */
const smallDay = (day: string) => buildDay({ 'day.json': dayJson((own) => (own['day'] = day)) });

describe('a release of a day with decisions of every kind', () => {
  test('holds the tables that the command line makes of the exported day, pooled, byte for byte', async () => {
    const lab = await testLab();
    const day = await lab.bring(SAMPLE);
    await decideMuch(lab, day);
    const place = await tempFolder();
    valueOf(await allowPlace(lab.session, place));
    const at = (name: string) => join(place, name);
    valueOf(await exportDay(lab.session, day, at('day'), 'all'));
    expect(await processHere(at('day'), at('dataset'))).toMatchObject({ status: 0 });
    expect(await poolHere([at('dataset')], at('pool'))).toMatchObject({ status: 0 });
    valueOf(await freeze(lab.session, 'R1'));
    const out = await exported(lab.session, 'R1', ALL);
    for (const table of ['participants', 'calibrations', 'trials', 'strokes'])
      expect(await readFile(join(out, `${table}.csv`), 'utf8'), table).toBe(
        await readFile(at(`pool/${table}.csv`), 'utf8'),
      );
    expect(await readFile(join(out, 'trials.csv'), 'utf8')).toContain('cap lost');
    const quiet = await exported(lab.session, 'R1', { ...HOME, coarseBirthYear: true });
    for (const text of (await bytesOf(quiet)).values()) expect(text).not.toMatch(/cap lost|rope|P08/);
    const years = records(await readFile(join(quiet, 'participants.csv'), 'utf8'));
    expect(years.every((row) => Number(row['birth_year']) % 5 === 0)).toBe(true);
    expect(existsSync(join(quiet, 'samples'))).toBe(false);
  }, 120_000);
});

describe('a release', () => {
  test('gives the same bytes after later decisions, with a newer program, and beside other releases', async () => {
    const lab = await testLab();
    const first = await lab.bring(await smallDay('d1'));
    await lab.bring(await smallDay('d2'));
    const frozen = valueOf(await freeze(lab.session, 'R1'));
    expect(frozen.says).toMatch(/^Release R1: 2 days, 2 swimmers, 4 trials, frozen as [0-9a-f]{12}….$/);
    const before = await bytesOf(await exported(lab.session, 'R1', ALL));
    const word = { day: first, seen: 'accepted', status: 'excluded', reason: 'cap' } as const;
    valueOf(await decideTrial(lab.session, { ...word, trial: 'T1' }));
    valueOf(await freeze(lab.session, 'R2', [first]));
    const newer = { ...lab.session, version: '9.9.9' };
    valueOf(await freeze(newer, 'R3'));
    expect(await bytesOf(await exported(newer, 'R1', ALL))).toEqual(before);
    const [r1, r2, r3] = listReleases(lab.session);
    expect([r1!.version, r2!.days.map(({ day }) => day), r3!.version]).toEqual(['1.2.3', ['d1'], '9.9.9']);
    const changed = valueOf(await diffReleases(lab.session, 'R1', 'R2'));
    expect(changed.says).toBe('From R1 to R2: 1 day left out (d2); 1 trial changed.');
    expect(changed.rows).toEqual([
      {
        table: 'trials',
        day: 'd1',
        row: 'T1',
        what: 'changed',
        cells: [
          { column: 'status', before: 'accepted', after: 'excluded' },
          { column: 'exclusion_reason', before: '', after: 'cap' },
        ],
      },
    ]);
    expect(valueOf(await diffReleases(lab.session, 'R1', 'R3')).says).toContain('version 1.2.3');
    expect(
      (await verifyStore(lab.session.store, true, new AbortController().signal, () => undefined)).lines,
    ).toEqual([]);
  }, 120_000);

  test('keeps its samples as they were, sample for sample as processing writes them', async () => {
    const lab = await testLab();
    const folder = await smallDay('d1');
    await lab.bring(folder);
    valueOf(await freeze(lab.session, 'R1'));
    const dataset = join(await tempFolder(), 'ds');
    await processHere(folder, dataset, false, true);
    const trace = join(folder, 'traces', 'T1.csv');
    await writeFile(trace, (await readFile(trace, 'utf8')).replace(/\n(\d[^\n]*)\n/, '\n$1 \n'));
    await writeFile(join(folder, 'zeros.csv'), 'sensor,trial,when,raw\n');
    await lab.bring(folder);
    const out = await exported(lab.session, 'R1', ALL);
    const [mine, theirs] = [join(out, 'samples/day=d1/T1.parquet'), join(dataset, 'samples/T1.parquet')];
    expect(readFileSync(mine).equals(readFileSync(theirs))).toBe(true);
  }, 120_000);

  test('is told of before it is made and before it is written: what, and about whom', async () => {
    const lab = await testLab();
    const day = await lab.bring(await smallDay('d1'));
    const before = valueOf(await tryFreeze(lab.session, { name: 'R1', days: [day] }));
    expect(before).toMatchObject({ days: [{ id: day, day: 'd1', trials: 2 }], fault: null });
    expect(before.swimmers).toEqual([
      { participant: 'P01', days: 1, trials: 1 },
      { participant: 'P02', days: 1, trials: 1 },
    ]);
    valueOf(await freeze(lab.session, 'R1'));
    const told = valueOf(await tryExport(lab.session, 'R1', { ...ALL, notes: false }));
    expect(told.swimmers).toEqual(before.swimmers);
    expect(told.files.find(({ path }) => path === 'trials.csv')).toMatchObject({ rows: 2 });
    expect(told.says[0]).toContain('Free text stays here');
    const out = await exported(lab.session, 'R1', { ...ALL, notes: false });
    const written = [...(await bytesOf(out)).keys()];
    const pattern = (path: string) =>
      new RegExp(`^${path.replaceAll('.', '\\.').replace(/TABLE|DAY|TRIAL/g, '[^/]+')}$`);
    for (const { path, count } of told.files)
      expect(
        written.filter((name) => pattern(path).test(name)),
        path,
      ).toHaveLength(count);
    expect(written.filter((name) => !told.files.some(({ path }) => pattern(path).test(name)))).toEqual([]);
  }, 120_000);
});

describe('a consent withdrawn since', () => {
  test('leaves the swimmer out of every export and comparison, unnamed and unhashed', async () => {
    const lab = await testLab();
    const folder = await smallDay('d1');
    await lab.bring(folder);
    valueOf(await freeze(lab.session, 'R1'));
    const roster = join(folder, 'roster.csv');
    const text = await readFile(roster, 'utf8');
    await writeFile(roster, text.replace(/^(P02,.*),assent_and_guardian(.*)$/m, '$1,withdrawn$2'));
    expect(await readFile(roster, 'utf8')).not.toBe(text);
    await lab.bring(folder);
    const out = join(await tempFolder(), 'out');
    const order = { name: 'R1', out, wish: ALL, replace: false };
    expect(await exportRelease(lab.session, order, steadily())).toMatchObject({
      kind: 'written',
      leftOut: { swimmers: 1, trials: 1 },
    });
    const files = await bytesOf(out);
    expect([...files.keys()].some((path) => path.includes('T2'))).toBe(false);
    for (const [path, content] of files)
      if (!path.endsWith('.parquet')) expect(content, path).not.toMatch(/\bP02\b|\bT2\b/);
    expect(records(files.get('trials.csv')!)).toHaveLength(1);
    expect(valueOf(await tryExport(lab.session, 'R1', ALL))).toMatchObject({
      swimmers: [{ participant: 'P01' }],
      leftOut: { swimmers: 1, trials: 1 },
    });
    valueOf(await freeze(lab.session, 'R2'));
    expect(valueOf(await diffReleases(lab.session, 'R1', 'R2')).says).toBe(
      'Nothing differs between R1 and R2.',
    );
  }, 120_000);
});

describe('what cannot be', () => {
  const saysOf = (outcome: ExportOutcome) => {
    if (outcome.kind === 'written') throw new Error('This should have failed.');
    return outcome.kind === 'nothing' ? outcome.error.says : outcome.says;
  };

  test('a name that is taken or none, days that are not there, an empty lab', async () => {
    const lab = await testLab();
    expect(faultOf(await freeze(lab.session, 'R1'))).toBe('bad_input');
    await lab.bring(await smallDay('d1'));
    valueOf(await freeze(lab.session, 'R1'));
    const raw = lab.raw();
    expect(faultOf(await freeze(lab.session, 'R1'))).toBe('bad_input');
    expect(faultOf(await freeze(lab.session, '..'))).toBe('bad_input');
    expect(faultOf(await freeze(lab.session, 'R2', [99]))).toBe('not_found');
    expect(faultOf(await diffReleases(lab.session, 'R1', 'none'))).toBe('not_found');
    expect(faultOf(await tryExport(lab.session, 'none', HOME))).toBe('not_found');
    expect(lab.raw()).toEqual(raw);
    expect(listReleases(lab.session)).toHaveLength(1);
  }, 120_000);

  test('one that is cancelled leaves nothing in the lab folder', async () => {
    const lab = await testLab();
    await lab.bring(await smallDay('d1'));
    const raw = lab.raw();
    const stop = new AbortController();
    const progress = steadily(() => stop.abort(), stop);
    expect(faultOf(await freezeRelease(lab.session, { name: 'R1', days: null }, progress))).toBe('cancelled');
    expect([...lab.raw().keys()].toSorted()).toEqual([...raw.keys()].toSorted());
    expect(listReleases(lab.session)).toEqual([]);
  }, 120_000);

  test('a place that is taken, one in the lab folder, a damaged content: a sentence, and nothing is written', async () => {
    const lab = await testLab();
    await lab.bring(await smallDay('d1'));
    valueOf(await freeze(lab.session, 'R1'));
    const place = await tempFolder();
    await cp(SAMPLE + '/day.json', join(place, 'full', 'day.json'));
    const attempt = async (out: string) =>
      saysOf(await exportRelease(lab.session, { name: 'R1', out, wish: ALL, replace: false }, steadily()));
    expect(await attempt(join(place, 'full'))).toMatch(/exists and is not empty/);
    expect(await attempt(join(lab.home, 'out'))).toMatch(/the lab folder must lie apart/);
    const [file] = lab.session.store.releaseFiles('R1', 'days/d1/samples/');
    const path = lab.session.store.rawPath(file!.sha256);
    chmodSync(path, 0o644);
    writeFileSync(path, 'broken');
    const out = join(place, 'out');
    expect(await attempt(out)).toMatch(
      /^The release R1 cannot be read whole: samples\/T1.parquet is no longer/,
    );
    expect(existsSync(out)).toBe(false);
    const { lines } = await verifyStore(
      lab.session.store,
      false,
      new AbortController().signal,
      () => undefined,
    );
    expect(lines).toEqual([expect.stringMatching(/days\/d1\/samples\/T1.parquet of the release R1/)]);
  }, 120_000);
});
