/** Exit statuses of formats.md section 3, and what the command line says. */
import { chmod, mkdir, readdir, readFile, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import about from '../../../package.json' with { type: 'json' };
import { append, buildDay, dayJson, readFolder, tempFolder } from '../files/day-builder.ts';
import { lanebench, looksLikeAFault, processHere, SAMPLE, type Ran } from './run.ts';

async function place() {
  const root = await tempFolder();
  const day = await buildDay({}, join(root, 'day'));
  return { root, day, out: join(root, 'out') };
}

function expectStatus(ran: Ran, status: number): void {
  expect(ran.status, ran.stderr).toBe(status);
  expect(looksLikeAFault(ran), ran.stderr).toBe(false);
  if (status === 1 || status === 2) expect(ran.stderr).toMatch(/^\S.{10,}/);
}

describe('exit status', () => {
  it('0: everything given was processed', async () => {
    const { day, out } = await place();
    const ran = await lanebench(['process', day, '--out', out]);
    expectStatus(ran, 0);
    expect(ran.stderr).toBe('');
    expect(ran.stdout).toMatch(/2 trials written/);
    expect((await readdir(out)).toSorted()).toEqual(
      [
        'README.md',
        'calibrations.csv',
        'datapackage.json',
        'participants.csv',
        'provenance.json',
        'refused.csv',
        'strokes.csv',
        'trials.csv',
      ].toSorted(),
    );
  });

  it('3: some input refused, the rest is there', async () => {
    const root = await tempFolder();
    const day = await buildDay({ 'events.csv': append('T1,left,9,splash,7,trace,,R1') }, join(root, 'day'));
    const ran = await lanebench(['process', day, '--out', join(root, 'out')]);
    expectStatus(ran, 3);
    expect(ran.stdout).toMatch(/refused\.csv/);
    expect(ran.stdout).toMatch(/\b1 input\b/);
    expect(await readFile(join(root, 'out/refused.csv'), 'utf8')).toMatch(
      /^file,line,reason\nevents\.csv,\d+,.+\n$/,
    );
  });

  it('1: nothing could be processed', async () => {
    const root = await tempFolder();
    const day = await buildDay({ 'roster.csv': null }, join(root, 'day'));
    const ran = await lanebench(['process', day, '--out', join(root, 'out')]);
    expectStatus(ran, 1);
    expect(await readdir(root)).toEqual(['day']);
  });

  it.each([
    ['no such folder', null],
    ['no day.json', { 'day.json': null }],
    ['no roster.csv', { 'roster.csv': null }],
    ['no trials.csv', { 'trials.csv': null }],
    ['another format', { 'day.json': dayJson((day) => (day['format'] = 'other/1')) }],
    ['no trial that can be processed', { 'roster.csv': 'participant,consent\nP77,given\n' }],
  ])('1: nothing could be processed: %s', async (_, edits) => {
    const root = await tempFolder();
    const day = edits === null ? join(root, 'nowhere') : await buildDay(edits, join(root, 'day'));
    const ran = await processHere(day, join(root, 'out'));
    expectStatus(ran, 1);
    expect(ran.stdout).toBe('');
    expect((await readdir(root)).filter((name) => name !== 'day')).toEqual([]);
  });

  it('1: a file instead of a day folder', async () => {
    const { root, out } = await place();
    await writeFile(join(root, 'file'), 'x');
    expectStatus(await processHere(join(root, 'file'), out), 1);
  });

  it.each([
    ['an unknown command', ['measure', SAMPLE]],
    ['no day folder', ['process', '--out', 'x']],
    ['two day folders', ['process', SAMPLE, SAMPLE, '--out', 'x']],
    ['no OUT', ['process', SAMPLE]],
    ['OUT without a value', ['process', SAMPLE, '--out']],
    ['an unknown option', ['process', SAMPLE, '--out', 'x', '--force']],
    ['nothing at all', []],
  ])('2: %s', async (_, args) => {
    const ran = await lanebench(args, { cwd: await tempFolder() });
    expect(ran.status).toBe(2);
    expect(looksLikeAFault(ran)).toBe(false);
    expect(ran.stdout + ran.stderr).toMatch(/lanebench (--help|help|process)/);
  });

  it('2: an empty OUT, with --replace too: the folder one stands in is not OUT', async () => {
    const { day, root } = await place();
    const cwd = join(root, 'desk');
    await mkdir(cwd);
    await writeFile(join(cwd, 'thesis.txt'), 'years of work');
    for (const more of [[], ['--replace']]) {
      const ran = await lanebench(['process', day, '--out', '', ...more], { cwd });
      expect(await readdir(cwd)).toEqual(['thesis.txt']);
      expect(ran.status).toBe(2);
    }
  });
});

describe('OUT', () => {
  it('that is not empty gives 2 and is left as it was', async () => {
    const { day, out } = await place();
    await mkdir(out);
    await writeFile(join(out, 'mine.txt'), 'mine');
    const ran = await processHere(day, out);
    expectStatus(ran, 2);
    expect(ran.stderr).toMatch(/--replace/);
    expect(Object.fromEntries(await readFolder(out))).toEqual({ 'mine.txt': 'mine' });
  });

  it('that is empty, new, deep, ends with a slash, or holds spaces is fine', async () => {
    const { day, root } = await place();
    await mkdir(join(root, 'empty'));
    for (const name of ['empty', 'a/b/c', 'slash/', 'Träning 1, à côté']) {
      expectStatus(await processHere(day, join(root, name)), 0);
      expect((await readdir(join(root, name))).length, name).toBe(8);
    }
    expect((await readdir(root)).filter((name) => name.startsWith('.'))).toEqual([]);
  });

  it('is replaced by --replace', async () => {
    const { day, out, root } = await place();
    await processHere(day, out);
    const first = await readFolder(out);
    await writeFile(join(out, 'trials.csv'), 'old');
    expectStatus(await processHere(day, out, true), 0);
    expect(await readFolder(out)).toEqual(first);
    expect((await readdir(root)).toSorted()).toEqual(['day', 'out']);
  });

  it('stays where the day cannot be processed, also with --replace', async () => {
    const { day, out } = await place();
    await processHere(day, out);
    const first = await readFolder(out);
    await writeFile(join(day, 'day.json'), '{}');
    expectStatus(await processHere(day, out, true), 1);
    expect(await readFolder(out)).toEqual(first);
  });

  it('inside the day folder or around it gives 2, also by links and dots', async () => {
    const { day, root } = await place();
    await symlink(day, join(root, 'link'));
    await symlink(root, join(day, 'up'));
    const before = await readdir(day);
    for (const [folder, out] of [
      [day, join(day, 'out')],
      [day, day],
      [day, join(day, 'traces')],
      [day, root],
      [day, join(root, 'link')],
      [day, join(root, 'link/deep/out')],
      [join(root, 'link'), join(day, 'out')],
      [day, join(root, 'elsewhere/../day/out')],
    ]) {
      expectStatus(await processHere(folder!, out!, true), 2);
      expect(await readdir(day)).toEqual(before);
    }
    expectStatus(await lanebench(['process', '.', '--out', 'out'], { cwd: day }), 2);
    // A link inside the day that leads out of it is a place outside.
    expectStatus(await processHere(day, join(day, 'up/out')), 0);
  });

  it('beside the day with a name that begins alike is fine', async () => {
    const { day } = await place();
    expectStatus(await processHere(day, `${day}-out`), 0);
  });

  it('that is a link to an empty folder is written through it', async () => {
    const { day, root } = await place();
    await mkdir(join(root, 'disk/data'), { recursive: true });
    await symlink(join(root, 'disk/data'), join(root, 'short'));
    expectStatus(await processHere(day, join(root, 'short')), 0);
    expect(await readdir(join(root, 'disk/data'))).toContain('trials.csv');
  });

  it('that is a file, or below one, is never overwritten', async () => {
    const { day, root } = await place();
    await writeFile(join(root, 'results.xlsx'), 'mine');
    for (const out of ['results.xlsx', 'results.xlsx/out'])
      for (const replace of [false, true]) {
        const ran = await processHere(day, join(root, out), replace);
        expect(await readFile(join(root, 'results.xlsx'), 'utf8').catch(() => 'gone')).toBe('mine');
        expect([1, 2]).toContain(ran.status);
      }
  });
});

describe('files that may not be read', () => {
  const root = process.getuid?.() === 0;
  it('are told as sentences, not as a fault of the program', async () => {
    const base = await tempFolder();
    const day = await buildDay({}, join(base, 'day'));
    await chmod(base, 0o777);
    await chmod(join(day, 'traces/T1.csv'), 0);
    await chmod(join(day, 'strokes.csv'), 0);
    // Root reads everything: the program then runs as a user without rights.
    const as = root ? { uid: 65534, gid: 65534 } : {};
    const ran = await lanebench(['process', day, '--out', join(base, 'out')], as);
    expect(looksLikeAFault(ran), ran.stderr).toBe(false);
    expect(ran.status).toBe(3);
    const refused = await readFile(join(base, 'out/refused.csv'), 'utf8');
    expect(refused).toMatch(/^strokes\.csv,,/m);
    expect(refused).toMatch(/^traces\/T1\.csv,,/m);
    expect(refused).not.toContain(base);
  });

  it('a place that may not be written gives a sentence and 1', async () => {
    const base = await tempFolder();
    const day = await buildDay({}, join(base, 'day'));
    await mkdir(join(base, 'locked'));
    await chmod(base, 0o755);
    await chmod(join(base, 'locked'), 0o555);
    const as = root ? { uid: 65534, gid: 65534 } : {};
    expectStatus(await lanebench(['process', day, '--out', join(base, 'locked/out')], as), 1);
  });
});

describe('help and version', () => {
  it('--help teaches: commands, what a day folder holds, a line to try, the caution', async () => {
    for (const args of [['--help'], ['-h'], ['help']]) {
      const { status, stdout, stderr } = await lanebench(args);
      expect([status, stderr]).toEqual([0, '']);
      for (const word of [
        'lanebench process DAY_FOLDER --out OUT',
        'lanebench open',
        'day.json',
        'roster.csv',
        'trials.csv',
        'sample-sessions/harbour-morning',
        'not a diagnosis',
      ])
        expect(stdout).toContain(word);
    }
  });

  it('help process names every file it writes, --replace and all four statuses', async () => {
    for (const args of [
      ['help', 'process'],
      ['process', '--help'],
    ]) {
      const { status, stdout } = await lanebench(args);
      expect(status).toBe(0);
      for (const word of [
        'datapackage.json',
        'README.md',
        'provenance.json',
        'participants.csv',
        'calibrations.csv',
        'trials.csv',
        'strokes.csv',
        'refused.csv',
        '--replace',
        'consent',
      ])
        expect(stdout).toContain(word);
      expect(stdout.replaceAll('\n', ' ')).toMatch(/0 .*3 .*1 .*2 /);
      for (const line of stdout.split('\n')) expect(line.length, line).toBeLessThanOrEqual(120);
    }
  });

  it('--version prints the version alone', async () => {
    expect(await lanebench(['--version'])).toMatchObject({
      status: 0,
      stdout: `${about.version}\n`,
      stderr: '',
    });
  });
});
