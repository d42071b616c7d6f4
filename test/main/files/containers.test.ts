/**
 * Traces in containers of open standards, against readers and writers of others: EDF and BDF written from their
 * specifications by a script of its own and read back by MNE, MAT-files written by SciPy.
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { copyFile, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, describe, expect, it, test } from 'vitest';
import type { TraceColumns } from '../../../core/day/day.ts';
import { sampleRows } from '../../../core/force/trace.ts';
import { readTraceFile } from '../../../main/files/tracefile.ts';
import { buildDay, processFolder, swap, tempFolder, traceSamples } from './day-builder.ts';

const PYTHON = '/usr/bin/python3';
const hasReaders = ['mne', 'scipy'].every((name) => existsSync(`/usr/lib/python3/dist-packages/${name}`));

interface Written {
  readonly time: readonly number[];
  readonly left: readonly number[];
  readonly right: readonly number[];
  readonly onsets: readonly number[];
  readonly read: Readonly<Record<string, { rate: number; 'left hand': number[]; 'right hand': number[] }>>;
}

const columnsOf = (time: TraceColumns['time'], left = 'left hand', right = 'right hand'): TraceColumns => ({
  time,
  left: { column: left, sensor: null, elsewhere: null },
  right: { column: right, sensor: null, elsewhere: null },
});
const BY_COLUMN = { kind: 'column', column: 'time', unit: 's' } as const;

let folder = '';
let written: Written;
beforeAll(async () => {
  folder = await tempFolder();
  if (!hasReaders) return;
  const run = spawnSync(PYTHON, ['test/main/files/write_containers.py', folder], {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  });
  expect(run.stderr).toBe('');
  written = JSON.parse(run.stdout) as Written;
});

async function read(file: string, columns: TraceColumns) {
  const outcome = await readTraceFile(join(folder, file), file, columns);
  if (!outcome.ok) throw new Error(outcome.error.reason);
  return outcome.value;
}

/** The largest difference of two lists of one length. */
function apart(a: ArrayLike<number>, b: ArrayLike<number>): number {
  expect(a.length).toBe(b.length);
  let most = 0;
  for (let k = 0; k < a.length; k++) most = Math.max(most, Math.abs(a[k]! - b[k]!));
  return most;
}

describe.skipIf(!hasReaders)('EDF, EDF+ and BDF', () => {
  it.each(['plain.edf', 'unknown.EDF', 'continuous.edf', 'three.bdf'])(
    '%s reads as MNE reads it',
    async (file) => {
      const { rows, refused } = await read(file, columnsOf(BY_COLUMN));
      const theirs = written.read[file]!;
      expect(refused).toEqual([]);
      expect(apart(rows.left!, theirs['left hand'])).toBeLessThan(1e-12);
      expect(apart(rows.right!, theirs['right hand'])).toBeLessThan(1e-12);
      expect(apart(rows.timeS!, written.time)).toBeLessThan(1e-12);
      // Half a step of 40 kPa over 16 or 24 bits.
      expect(apart(rows.left!, written.left)).toBeLessThanOrEqual(
        20 / (2 ** (file.endsWith('bdf') ? 24 : 16) - 1) + 1e-12,
      );
      expect(sampleRows(rows).trace!.rateHz).toBeCloseTo(theirs.rate, 9);
    },
  );

  it('takes the day’s rate where it is the file’s, and says where it is not', async () => {
    const right = await read('plain.edf', columnsOf({ kind: 'rate', rateHz: 200 }));
    expect(right.rows).toMatchObject({ timeS: null, rateHz: 200 });
    const wrong = await readTraceFile(
      join(folder, 'plain.edf'),
      'plain.edf',
      columnsOf({ kind: 'rate', rateHz: 100 }),
    );
    expect(wrong).toMatchObject({ ok: false, error: { reason: expect.stringMatching(/200 Hz.*100 Hz/) } });
  });

  it('puts the records of a broken recording where they were, with gaps between', async () => {
    const { rows } = await read('broken.edf', columnsOf({ kind: 'rate', rateHz: 200 }));
    expect([0, 1, 2, 3, 4, 5].map((record) => rows.timeS![200 * record])).toEqual(written.onsets);
    const { trace } = sampleRows(rows);
    expect(trace!.left!.gaps.map(({ first, last }) => last - first + 1)).toEqual([100, 900]);
  });

  it('reads what is there of a file that was cut short, and says so', async () => {
    const { rows, refused } = await read('cut.edf', columnsOf(BY_COLUMN));
    expect(rows.left).toHaveLength(800);
    expect(refused).toEqual([
      expect.objectContaining({ reason: expect.stringMatching(/4 of its 6 records/) }),
    ]);
  });

  it('refuses a hand whose signal is not there, and hands of two rates', async () => {
    const { refused, rows } = await read('plain.edf', columnsOf(BY_COLUMN, 'left'));
    expect(rows.left).toBeNull();
    expect(refused[0]!.reason).toMatch(/no signal "left" .* "left hand", "water", "right hand"/);
    const two = await readTraceFile(join(folder, 'plain.edf'), 'plain.edf', columnsOf(BY_COLUMN, 'water'));
    expect(two).toMatchObject({ ok: false, error: { reason: expect.stringMatching(/60 and 1200 samples/) } });
  });
});

describe.skipIf(!hasReaders)('MAT-files of level 5', () => {
  it('read vectors by their names, exactly', async () => {
    const { rows } = await read('plain.mat', columnsOf(BY_COLUMN, 'L', 'R'));
    expect(apart(rows.timeS!, written.time)).toBe(0);
    expect(apart(rows.left!, written.left)).toBe(0);
    expect(apart(rows.right!, written.right)).toBe(0);
  });

  it('read columns of packed matrices of other types, in ms', async () => {
    const time = { kind: 'column', column: 't_ms', unit: 'ms' } as const;
    const { rows } = await read('packed.mat', columnsOf(time, 'hands(:,1)', 'counts'));
    expect(apart(rows.timeS!, written.time)).toBeLessThan(1e-12);
    expect(apart(rows.left!, written.left.map(Math.fround))).toBe(0);
    expect(
      apart(
        rows.right!,
        written.time.map((_, k) => k),
      ),
    ).toBe(0);
  });

  it('name what is there where a name is wrong, and say how a file of another version is saved', async () => {
    const wrong = await readTraceFile(join(folder, 'plain.mat'), 'x.mat', columnsOf(BY_COLUMN, 'a', 'b'));
    expect(wrong).toMatchObject({ ok: false, error: { reason: expect.stringMatching(/"time", "L", "R"/) } });
    const four = await readTraceFile(join(folder, 'four.mat'), 'four.mat', columnsOf(BY_COLUMN, 'L', 'R'));
    expect(four).toMatchObject({ ok: false, error: { reason: expect.stringMatching(/-v7/) } });
  });
});

describe.skipIf(!hasReaders)('damaged containers', () => {
  it.each(['plain.edf', 'three.bdf', 'broken.edf', 'plain.mat', 'packed.mat'])(
    '%s cut anywhere gives rows or a sentence, never a fault',
    async (name) => {
      const whole = await readFile(join(folder, name));
      for (let k = 0; k < 60; k++) {
        const file = `damaged-${name}`;
        const bytes = Buffer.from(
          whole.subarray(0, k < 30 ? Math.round((whole.length * k) / 30) : whole.length),
        );
        if (k >= 30)
          for (let at = k; at < Math.min(bytes.length, 4000); at += 37 + k)
            bytes[at] = (bytes[at]! * 7 + k) & 0xff;
        await writeFile(join(folder, file), bytes);
        const outcome = await readTraceFile(
          join(folder, file),
          file,
          columnsOf(BY_COLUMN, 'L', 'right hand'),
        );
        if (!outcome.ok) expect(outcome.error.reason).toMatch(/cannot be used/);
      }
    },
  );
});

test.skipIf(!hasReaders)(
  'a day whose traces are MAT-files is processed to the numbers of its CSV traces',
  async () => {
    const samples = traceSamples();
    const source = join(folder, 'samples.json');
    await writeFile(source, JSON.stringify(samples));
    const made = join(folder, 'day.mat');
    const script =
      'import json,sys,numpy,scipy.io as s; a=numpy.array(json.load(open(sys.argv[1]))); s.savemat(sys.argv[2],{"time":a[:,0],"L":a[:,1],"R":a[:,2]})';
    expect(spawnSync(PYTHON, ['-c', script, source, made], { encoding: 'utf8' }).stderr).toBe('');
    const day = await buildDay({
      'trials.csv': (text) => swap('traces/T1.csv', 'traces/T1.mat')(String(text)),
      'traces/T1.csv': null,
    });
    await copyFile(made, join(day, 'traces/T1.mat'));
    const [plain, packed] = [await processFolder(await buildDay()), await processFolder(day)];
    for (const name of ['trials', 'strokes', 'refused'])
      expect(packed.files.get(`${name}.csv`)).toBe(plain.files.get(`${name}.csv`));
  },
);
