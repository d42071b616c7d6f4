/**
 * Archives that nobody has described: the map that is proposed for each brings it in to the same trials as a map written
 * by a person, and the traces' columns are told by their curves. Invented data.
 */
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it, test } from 'vitest';
import { proposeColumns } from '../../../../core/gather/curves.ts';
import { proposePatterns } from '../../../../core/gather/names.ts';
import { gatherHere, proposeHere } from '../../cli/run.ts';
import { readFolder, tempFolder } from '../../files/day-builder.ts';
import { buildArchive, LAYOUTS } from './archives.ts';

interface MapJson {
  day: { trace_columns: object };
  files: object[];
}

describe.each(LAYOUTS)('an archive laid out %s', (layout) => {
  it('comes in by the proposed map as by a person’s', async () => {
    const folder = await tempFolder();
    const at = (name: string) => join(folder, name);
    const own = (await buildArchive(layout, at('archive'))) as MapJson;
    await writeFile(at('own.json'), JSON.stringify(own));
    const proposed = await proposeHere(at('archive'), at('map.json'));
    expect(proposed).toMatchObject({ status: 0, stderr: '' });
    const map = JSON.parse(await readFile(at('map.json'), 'utf8')) as MapJson;
    // Sensors, protocol and pool are not in the names and tables of an archive.
    const columns = map.day.trace_columns as Record<string, object>;
    expect(own.day.trace_columns).toMatchObject(columns);
    await writeFile(at('map.json'), JSON.stringify({ ...map, day: own.day }));
    const [theirs, mine] = [
      await gatherHere(at('archive'), at('own.json'), at('own')),
      await gatherHere(at('archive'), at('map.json'), at('day')),
    ];
    expect(mine.stdout).not.toMatch(/Not taken/);
    expect([theirs.status, mine.status]).toEqual([0, 0]);
    const [expected, came] = [await readFolder(at('own')), await readFolder(at('day'))];
    expect([...came.keys()].toSorted()).toEqual([...expected.keys()].toSorted());
    for (const [name, text] of expected) expect(came.get(name), name).toBe(text);
    expect((await proposeHere(at('archive'), at('map.json'))).status).toBe(2);
  });
});

test.each([
  ['trace', ['P01_1.csv', 'P01_2.csv', 'P02_1.csv'], ['{participant}_{attempt}.csv']],
  [
    'trace',
    ['2026-03-14 P01 sprint 1.CSV', '2026-03-14 p02 easy 1.csv'],
    ['2026-03-14 {participant} {condition} {attempt}.csv'],
  ],
  [
    'trace',
    ['rec_0001_P01_1.csv', 'rec_0002_P01_2.csv', 'rec_0003_P02_1.csv'],
    ['rec_{any}_{participant}_{attempt}.csv'],
  ],
  ['trace', ['P01/run1.csv', 'P02/run1.csv', 'P02/run2.csv'], ['{participant}/run{attempt}.csv']],
  ['film', ['P01_1_A.mp4', 'P01_1_B.mp4'], ['{participant}_{attempt}_{camera}.mp4']],
  ['film', ['camA P01-1.mp4', 'camB P02-1.mp4'], ['cam{camera} {participant}-{attempt}.mp4']],
  ['trace', ['notes.csv', 'X9_1.csv'], []],
] as const)('%s names %j come to %j', (kind, paths, names) =>
  expect(proposePatterns(kind, paths, ['P01', 'P02']).map(({ name }) => name)).toEqual(names),
);

describe('columns told by their curves', () => {
  const count = 400;
  const series = (value: (k: number) => number) => Float64Array.from({ length: count }, (_, k) => value(k));
  const wave = (shift: number) => series((k) => Math.round(8000 + 3000 * Math.sin(k / 20 + shift)));
  const ms = series((k) => 12_000 + 2 * k);

  it('finds time and hands whatever their order, and names dead and copied columns', () => {
    const found = proposeColumns({
      columns: ['x', 'Rechts', 'Millis', 'Kopie', 'Links'],
      values: [series(() => 5), wave(1), ms, wave(1), wave(2)],
      rateHz: null,
    });
    expect(found).toMatchObject({ time: { column: 'Millis', unit: 'ms' }, left: 'Links', right: 'Rechts' });
    expect(found.remarks).toEqual(['“x” never changes: a dead channel.', '“Kopie” is a copy of “Rechts”.']);
  });

  it('says where no heading tells the hands apart, and where a sensor is at its end', () => {
    const cut = wave(0).map((value) => Math.min(value, 9000));
    const found = proposeColumns({ columns: ['t', 'A1', 'A2'], values: [ms, cut, wave(2)], rateHz: null });
    expect(found).toMatchObject({ left: 'A1', right: 'A2' });
    expect(found.remarks).toEqual([
      expect.stringMatching(/“A1” was taken as left/),
      expect.stringMatching(/“A1” stands at the end/),
    ]);
  });

  it('takes the rate that a file tells where it has no times', () => {
    const found = proposeColumns({ columns: ['L', 'R'], values: [wave(0), wave(1)], rateHz: 250 });
    expect(found).toEqual({ time: { rate_hz: 250 }, left: 'L', right: 'R', remarks: [] });
  });
});
