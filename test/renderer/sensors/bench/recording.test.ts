/** Points from a recorded trace. The trace is invented: three levels of 6 s at 50 Hz, so their means are known exactly. */
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { LabError } from '../../../../core/base/refusal.ts';
import { done, failed } from '../../../../core/base/refusal.ts';
import { Recording } from '../../../../renderer/sensors/bench/recording.svelte.ts';
import { fakeLab } from '../../fixture.ts';

const LEVELS = [8000, 26_000, 8000];
const SAMPLES = Float64Array.from(
  { length: 900 },
  (_, k) => LEVELS[Math.floor(k / 300)]! + (k % 2 === 0 ? 3 : -3),
);
const SHA = 'ab'.repeat(32);
const VIEW = { sha256: SHA, file: 'steps.csv', columns: ['time', 'raw'], startS: 10, rateHz: 50, count: 900 };

function open(answer: unknown = done(VIEW)) {
  const { client, calls } = fakeLab({ answers: { 'bench.record': () => answer } });
  return { recording: new Recording(client), calls };
}

beforeEach(() => {
  vi.stubGlobal('fetch', async () => new Response(SAMPLES.buffer));
});
afterEach(() => vi.unstubAllGlobals());

it('proposes the levels, going up and down, and makes their mean, scatter and count a point', async () => {
  const { recording } = open();
  await recording.open('/lab/steps.csv', { column: 'time', unit: 's' });
  expect(recording.columns).toEqual([{ name: 'raw', index: 1 }]);
  expect(recording.stretches.map(({ direction }) => direction)).toEqual(['up', 'up', 'down']);
  const point = recording.pointOf(1, 5, 'kPa')!;
  expect(point).toMatchObject({ applied: 5, appliedUnit: 'kPa', direction: 'up', run: 1, setAside: null });
  expect(point.raw).toBeCloseTo(26_000, 1);
  const { startS, endS } = recording.stretches[1]!;
  const count = Math.round((endS - startS) * 50) + 1;
  expect(point.source).toMatchObject({ kind: 'trace', sha256: SHA, file: 'steps.csv', startS, endS, count });
  // ±3 in turn: SD 3·√(n/(n − 1)).
  if (point.source.kind === 'trace') expect(point.source.sdRaw).toBeCloseTo(3, 1);
});

it('moves an end no further than the recording and the other end', async () => {
  const { recording } = open();
  await recording.open('/lab/steps.csv', { column: 'time', unit: 's' });
  recording.moveEnd(0, 'startS', -100);
  expect(recording.stretches[0]!.startS).toBe(10);
  recording.moveEnd(0, 'endS', 0);
  expect(recording.stretches[0]!.endS).toBeCloseTo(10.1, 9);
  recording.moveEnd(2, 'endS', 1e6);
  expect(recording.stretches[2]!.endS).toBeCloseTo(10 + 899 / 50, 9);
});

it('adds a stretch for a person to move', async () => {
  const { recording } = open();
  await recording.open('/lab/steps.csv', { column: 'time', unit: 's' });
  const before = recording.stretches.length;
  recording.add();
  expect(recording.stretches).toHaveLength(before + 1);
  expect(recording.pointOf(recording.chosen, 1, 'kPa')).not.toBeNull();
});

it('says why a recording or its samples did not come', async () => {
  const no: LabError = { code: 'place_not_allowed', says: 'That folder is not allowed.', todo: 'Allow it.' };
  const refused = open(failed(no)).recording;
  await refused.open('/x/steps.csv', { rateHz: 50 });
  expect(refused.problem).toEqual(no);
  vi.stubGlobal('fetch', async () => new Response(new ArrayBuffer(16)));
  const short = open().recording;
  await short.open('/lab/steps.csv', { column: 'time', unit: 's' });
  expect(short.problem?.says).toContain('16 bytes came for 900 samples');
  expect(short.stretches).toEqual([]);
});
