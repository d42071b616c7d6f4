/** A path that leads out of the day folder is refused (formats.md section 3), however it is written. */
import { mkdir, symlink, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { folderSource, insidePath } from '../../../main/files/source.ts';
import { buildDay, processFolder, swap, tempFolder, traceText } from './day-builder.ts';

const OUT = [
  '..',
  '../secret.csv',
  'traces/../../secret.csv',
  './../secret.csv',
  '/etc/hostname',
  '//server/share/secret.csv',
  '..\\secret.csv',
  'traces\\..\\..\\secret.csv',
  '\\secret.csv',
  '\\\\server\\share\\secret.csv',
  'C:\\secret.csv',
  'C:secret.csv',
  'c:/secret.csv',
  'traces/T1.csv\0.mp4',
];

describe('insidePath', () => {
  it.each(OUT)('refuses %j', (path) => {
    expect(insidePath(path)).toBeNull();
  });

  it.each([
    ['traces/T1.csv', 'traces/T1.csv'],
    ['traces\\T1.csv', 'traces/T1.csv'],
    ['./traces//T1.csv', 'traces/T1.csv'],
    ['traces/../traces/T1.csv', 'traces/T1.csv'],
    ['..traces/T1.csv', '..traces/T1.csv'],
    ['Träning 1/a b.csv', 'Träning 1/a b.csv'],
  ])('takes %j', (path, inside) => {
    expect(insidePath(path)).toBe(inside);
  });

  it('never gives a path that climbs (property)', () => {
    const part = fc.constantFrom('..', '.', 'a', '', '/', '\\', 'C:', '...', '\0', ' ..');
    fc.assert(
      fc.property(fc.array(part, { maxLength: 8 }), fc.constantFrom('/', '\\', ''), (parts, between) => {
        const inside = insidePath(parts.join(between));
        if (inside === null) return;
        const joined = join('/root/day', inside);
        expect(joined === '/root/day' || joined.startsWith('/root/day/') || dirname(joined) === '/root').toBe(
          true,
        );
        expect(joined.startsWith('/root/day')).toBe(true);
      }),
      { numRuns: 3000 },
    );
  });
});

describe('a day that points out of itself', () => {
  const around = async () => {
    const root = await tempFolder();
    await writeFile(join(root, 'secret.csv'), traceText());
    return { root, day: join(root, 'day') };
  };

  it.each(OUT.filter((path) => !path.includes('\0')))('does not follow %j in trials.csv', async (path) => {
    const { day } = await around();
    const quoted = /["\n,]/.test(path) ? JSON.stringify(path) : path;
    await buildDay({ 'trials.csv': swap('traces/T1.csv', quoted) }, day);
    const { places, refused, trial, files } = await processFolder(day);
    expect(places[0]).toMatch(/^(trials\.csv:2|.*secret.*)$/);
    expect(refused[0]!.reason).toMatch(/leads out of the day folder/);
    expect(trial('T1')['peak_force_left_n']).toBe('');
    expect(trial('T1')['flags']).toContain('no_trace');
    expect(files.get('provenance.json')).not.toContain('secret');
  });

  it('does not follow a path with a zero byte', async () => {
    const day = await buildDay({ 'trials.csv': swap('traces/T1.csv', 'traces/T1.csv\0') });
    const { places, trial } = await processFolder(day);
    expect(places).toContain('trials.csv:2');
    expect(trial('T1')['peak_force_left_n']).toBe('');
  });

  it('does not follow links that leave, for files and folders', async () => {
    const { root, day } = await around();
    await buildDay({ 'trials.csv': swap('traces/T1.csv', 'traces/link.csv') }, day);
    await symlink(join(root, 'secret.csv'), join(day, 'traces/link.csv'));
    await symlink(root, join(day, 'up'));
    const source = folderSource(day);
    expect(await source.find('traces/link.csv')).toEqual({ kind: 'outside' });
    expect(await source.find('up/secret.csv')).toEqual({ kind: 'outside' });
    expect((await processFolder(day)).places).toContain('trials.csv:2');
  });

  it('does not take a neighbour folder whose name begins alike', async () => {
    const { root, day } = await around();
    await buildDay({}, day);
    await mkdir(join(root, 'day-2'));
    await writeFile(join(root, 'day-2/secret.csv'), traceText());
    await symlink(join(root, 'day-2/secret.csv'), join(day, 'alike.csv'));
    expect(await folderSource(day).find('alike.csv')).toEqual({ kind: 'outside' });
  });

  it('follows links that stay inside', async () => {
    const day = await buildDay({ 'trials.csv': swap('traces/T1.csv', 'traces/link.csv') });
    await symlink('T1.csv', join(day, 'traces/link.csv'));
    const { refused, trial } = await processFolder(day);
    expect(refused).toEqual([]);
    expect(trial('T1')['peak_force_left_n']).not.toBe('');
  });

  it('says so where a table itself is a link that leaves', async () => {
    const { root, day } = await around();
    await buildDay({ 'events.csv': null }, day);
    await symlink(join(root, 'secret.csv'), join(day, 'events.csv'));
    expect((await processFolder(day)).places).toContain('events.csv:');
  });

  it('says so where a table is a folder', async () => {
    const day = await buildDay({ 'events.csv': null });
    await mkdir(join(day, 'events.csv'));
    expect((await processFolder(day)).places).toContain('events.csv:');
  });

  it('refuses a film path in videos.csv with its line there', async () => {
    const day = await buildDay({ 'videos.csv': 'trial,camera,file\nT1,B,../secret.mp4\nT1,C,\n' });
    expect((await processFolder(day)).places).toEqual(['videos.csv:2', 'videos.csv:3']);
  });

  it('says that a folder is no file', async () => {
    const day = await buildDay({ 'trials.csv': swap('traces/T1.csv', 'traces') });
    expect((await processFolder(day)).trial('T1')['flags']).toContain('no_trace');
  });
});
