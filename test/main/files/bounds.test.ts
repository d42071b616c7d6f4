/**
 * What a broken file may cost: its entries in refused.csv, memory and work follow from limits, not from how often a
 * fault stands in it. Sizes are such that a list spread into a call, or work that grows with the square of the rows,
 * would overflow the stack or the test's time many times over.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { copyFile, open, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readFilm } from '../../../main/files/film.ts';
import { MOST_FRAMES } from '../../../main/files/filmtables.ts';
import { readTextTable } from '../../../main/files/texttable.ts';
import { MOST_SAMPLES, readTraceFile } from '../../../main/files/tracefile.ts';
import { dayJson, lineOf, processEdited, dayFiles, tempFolder } from './day-builder.ts';

const LONG = 300_000;
const COLUMNS = {
  time: { kind: 'column', column: 'time', unit: 's' },
  left: { column: 'L', sensor: null, elsewhere: null },
  right: null,
} as const;

async function fileOf(content: string | Uint8Array): Promise<string> {
  const path = join(await tempFolder(), 'file.csv');
  await writeFile(path, content);
  return path;
}

const after = (name: string) => dayFiles()[name]!.split('\n').length;

describe('refused rows', () => {
  it('200,000 bad samples that stand together are one row, and the rest of the day stays', async () => {
    const bad = 'x,1,1\n'.repeat(200_000);
    const { refused, trial } = await processEdited({ 'traces/T1.csv': (text) => `${text}${bad}` });
    const first = after('traces/T1.csv');
    expect(refused).toEqual([
      {
        file: 'traces/T1.csv',
        line: first,
        reason: `The time is "x", which is not a number; this sample was left out. Lines ${first} to ${first + 199_999}, 200000 rows.`,
      },
    ]);
    expect(trial('T1')['peak_force_left_n']).not.toBe('');
  });

  it('bad samples that stand apart are told together beyond ten thousand places', async () => {
    const apart = Array.from({ length: 150_000 }, (_, k) => `${8 + k / 100},1,1\nx,1,1\n`).join('');
    const { refused } = await processEdited({ 'traces/T1.csv': (text) => `${text}${apart}` });
    expect(refused).toHaveLength(10_001);
    expect(refused.at(-1)!.reason).toMatch(/^More than 10000 places .* 140000 rows\.$/);
  });

  it('a trace that cannot be used says once what that costs', async () => {
    const { refused } = await processEdited({ 'traces/T1.csv': () => 'no,such,columns\n1,2,3\n' });
    expect(refused.map(({ reason }) => reason.match(/until then the trial has no force/gi)?.length)).toEqual([
      1,
    ]);
  });

  it('times that run backward over a whole trace are one row', async () => {
    const back = Array.from({ length: LONG }, (_, k) => `${-k},1,1\n`).join('');
    const { refused } = await processEdited({ 'traces/T1.csv': (text) => `${text}${back}` });
    expect(refused.length).toBeLessThan(3);
    expect(refused.at(-1)!.reason).toMatch(/not later than .* 300000 rows\.$/);
  });

  it('one unknown swimmer is one cause, and one row for each file that only follows from it', async () => {
    const swap = (text: string) => text.replace('T2,P02,', 'T2,P77,');
    const { refused } = await processEdited({ 'trials.csv': swap });
    const files = refused.map(({ file }) => file);
    expect(files).toEqual(['trials.csv', 'events.csv', 'strokes.csv', 'sync.csv', 'zeros.csv']);
    expect(refused[0]).toMatchObject({ line: lineOf(swap(dayFiles()['trials.csv']!), 'T2,') });
    expect(refused[0]!.reason).toContain('participant is "P77"');
    for (const { reason } of refused.slice(1))
      expect(reason).toMatch(/^Left out because the swimmer P77 .* \d+ rows\.$/);
  });
});

describe('tables', () => {
  it('20,000 open quotes are 20,000 lines put aside, each alone', async () => {
    const read = await readTextTable(await fileOf('trial,note\n' + 'T1,"open\n'.repeat(20_000)), 'a.csv', []);
    expect(read.ok && [...read.value.rows]).toEqual([]);
    expect(read.ok && read.value.unclosed).toHaveLength(20_000);
  });

  it('millions of blank lines leave the rows and their lines as they are', async () => {
    const text = Buffer.concat([
      Buffer.from('trial\nT1\n'),
      Buffer.alloc(5_000_000, '\n'),
      Buffer.from('T2\n'),
    ]);
    const read = await readTextTable(await fileOf(text), 'a.csv', []);
    expect(read.ok && [...read.value.rows]).toEqual([
      { line: 2, cells: ['T1'] },
      { line: 5_000_003, cells: ['T2'] },
    ]);
  });

  it('moments and strokes beyond what a trial can hold are left out with a sentence', async () => {
    const moments = Array.from({ length: LONG }, (_, k) => `T2,A,${100 + k},${100 + k},x\n`).join('');
    const marks = Array.from({ length: LONG }, (_, k) => `T1,left,${k + 10},water_entry,${k},trace,,R2\n`);
    const { refused } = await processEdited({
      'sync.csv': (text) => `${text}${moments}`,
      'events.csv': (text) => `${text}${marks.join('')}`,
    });
    expect(refused.map(({ file }) => file)).toEqual(['events.csv', 'sync.csv']);
    expect(refused[0]!.reason).toMatch(/stroke is 2001; it must be at most 2000/);
    expect(refused[1]!.reason).toMatch(/more than 1000 moments/);
  });

  it('sensors beyond what a lab owns are left out with a sentence', async () => {
    const many = Array.from({ length: 20_000 }, (_, k) => ({ sensor: `X-${k}` }));
    const { refused, table } = await processEdited({
      'day.json': dayJson((day) => (day['sensors'] = [...(day['sensors'] as object[]), ...many])),
    });
    expect(refused).toHaveLength(1);
    expect(refused[0]!.reason).toMatch(/more than the 200 entries that a day takes/);
    expect(table('calibrations')).toHaveLength(200);
  });
});

describe('traces', () => {
  it('blank rows count as missing samples only where a sample follows, and only so many', async () => {
    const blanks = Buffer.alloc(MOST_SAMPLES + 10, '\n');
    const columns = { ...COLUMNS, time: { kind: 'rate', rateHz: 100 } } as const;
    const open = await fileOf(Buffer.concat([Buffer.from('L\n1\n2\n'), blanks]));
    const read = await readTraceFile(open, 'a.csv', columns);
    expect(read.ok && read.value.rows.left).toEqual(Float64Array.of(1, 2));
    const closed = await fileOf(Buffer.concat([Buffer.from('L\n1\n2\n'), blanks, Buffer.from('3\n')]));
    expect(await readTraceFile(closed, 'a.csv', columns)).toMatchObject({
      ok: false,
      error: { reason: expect.stringMatching(/more than 5000000 samples/) },
    });
  });
});

describe('films', () => {
  const FILM = 'sample-sessions/harbour-morning/video';

  async function filmCopy(): Promise<string> {
    const name = readdirSync(FILM).find((one) => one.endsWith('.mp4'))!;
    const path = join(await tempFolder(), 'film.mp4');
    await copyFile(join(FILM, name), path);
    return path;
  }

  /** A film of the sample day with one count of its sample table damaged. */
  async function damagedFilm(table: string, at: number, count: number): Promise<string> {
    const path = await filmCopy();
    const place = readFileSync(path).indexOf(table) + 4 + at;
    const file = await open(path, 'r+');
    const bytes = Buffer.alloc(4);
    bytes.writeUInt32BE(count);
    await file.write(bytes, 0, 4, place);
    await file.close();
    return path;
  }

  // Places: ISO/IEC 14496-12, TimeToSampleBox and SampleSizeBox (from memory).
  it.each([
    ['stts', 8, 10_000_000],
    ['stsz', 8, 10_000_000],
    ['stts', 4, 10_000_000],
    ['stts', 8, 0xffffffff],
  ])('a count of %s that cannot be true is a damaged film', async (table, at, count) => {
    const path = await damagedFilm(table, at, count);
    expect((await stat(path)).size).toBeLessThan(MOST_FRAMES * 16);
    expect(await readFilm(path)).toMatchObject({ ok: false, error: expect.stringMatching(/^is damaged/) });
  });

  it('reading ends where nobody wants the film any more, and the next one is read', async () => {
    const path = await filmCopy();
    const stop = new AbortController();
    const reading = readFilm(path, stop.signal);
    stop.abort(new Error('not wanted'));
    await expect(reading).rejects.toThrow('not wanted');
    expect(await readFilm(path)).toMatchObject({ ok: true });
  });
});
