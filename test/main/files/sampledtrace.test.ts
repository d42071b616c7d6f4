import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { TraceColumns } from '../../../core/day/day.ts';
import { readSampledTrace } from '../../../main/files/sampledtrace.ts';

const COLUMNS: TraceColumns = {
  time: { kind: 'column', column: 'time', unit: 's' },
  left: { column: 'L', sensor: 'S-01', elsewhere: null },
  right: { column: 'R', sensor: 'S-02', elsewhere: null },
};

async function read(text: string) {
  const path = join(mkdtempSync(join(tmpdir(), 'lanebench-sampled-')), 'x.csv');
  writeFileSync(path, text);
  return readSampledTrace(path, 'traces/x.csv', COLUMNS);
}

// formats.md, section 1, traces: a sample later than the one after it is refused where that one is later than the last
// taken; a refused row is a gap, filled by straight lines; fs = N / (last − first).
test('what is refused of cells and of times comes together, and the grid goes on over it', async () => {
  const outcome = await read(
    'time,L,R\n0,1,10\n0.01,x,20\n0.025,3,30\n0.02,4,40\n0.03,5,50\n0.04,6,60\n0.05,7,70\n',
  );
  expect(outcome.ok).toBe(true);
  if (!outcome.ok) return;
  const { trace, refused } = outcome.value;
  expect(refused.map(({ line, field }) => [line, field])).toEqual([
    [3, null],
    [4, 'time'],
  ]);
  expect(trace.rateHz).toBeCloseTo(100, 9);
  expect([...trace.left!.raw]).toEqual([1, 2.5, 4, 5, 6, 7]);
});

test('without samples it says so last, after what was refused on the way', async () => {
  const outcome = await read('time,L,R\n0,1,10\n0.01,x,y\n');
  expect(outcome.ok).toBe(false);
  if (outcome.ok) return;
  expect(outcome.error.at(-1)).toMatchObject({
    line: null,
    reason: 'traces/x.csv cannot be used: it holds fewer than two samples.',
  });
});
