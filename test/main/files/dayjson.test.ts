/** Faults of day.json, and what leaves nothing to process (formats.md sections 1 and 3). */
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { makeDataset } from '../../../main/lab/days/dataset.ts';
import {
  buildDay,
  dayJson,
  processEdited,
  swap,
  tempFolder,
  type DayJson,
  type Edits,
} from './day-builder.ts';

describe('day.json', () => {
  it.each<[string, (day: DayJson) => void]>([
    ['date', (day) => (day['date'] = '14.03.2026')],
    ['date', (day) => (day['date'] = '2026-02-30')],
    ['venue', (day) => (day['venue'] = 7)],
    ['pool.latitude_deg', (day) => (day.pool['latitude_deg'] = 95)],
    ['pool.length_m', (day) => (day.pool['length_m'] = -25)],
    ['pool.altitude_m', (day) => (day.pool['altitude_m'] = '40')],
    ['protocol.section_from_wall_m', (day) => (day.protocol['section_from_wall_m'] = 10)],
    ['protocol.section_from_wall_m', (day) => (day.protocol['section_from_wall_m'] = [10, -1])],
    ['protocol.section_u_m', (day) => (day.protocol['section_u_m'] = -0.1)],
    [
      'protocol.section_points.start',
      (day) => (day.protocol['section_points'] = { start: 'foot', end: 'hand' }),
    ],
    ['protocol.attempts', (day) => (day.protocol['attempts'] = 1.5)],
    ['protocol.marking_u_s', (day) => (day.protocol['marking_u_s'] = -1)],
    ['protocol.filter', (day) => (day.protocol['filter'] = { kind: 'chebyshev' })],
    ['protocol.filter', (day) => (day.protocol['filter'] = { kind: 'butterworth', order: 2, cutoff_hz: 0 })],
    ['protocol.accept.max_gap_ms', (day) => (day.protocol['accept'] = { max_gap_ms: -1 })],
    ['cameras', (day) => (day['cameras'] = 'A')],
    ['cameras.0', (day) => (day['cameras'] = [{ camera: 'no code' }])],
    [
      'cameras.1',
      (day) =>
        (day['cameras'] = [
          { camera: 'A', frame_rate_hz: 50 },
          { camera: 'A', frame_rate_hz: 25 },
        ]),
    ],
    ['cameras.0', (day) => (day['cameras'] = [{ camera: 'A', frame_rate_hz: 0 }])],
    ['sensors.0', (day) => (day['sensors'] = [{ sensor: 'S-01', hand: 'foot' }])],
    ['sensors', (day) => (day['sensors'] = {})],
    ['trace_columns.time', (day) => (day.trace_columns['time'] = { column: 'time', unit: 'min' })],
    ['trace_columns.time', (day) => (day.trace_columns['time'] = { rate_hz: 0 })],
    ['trace_columns.left', (day) => (day.trace_columns['left'] = 'L')],
  ])('%s that breaks its rule is refused alone', async (field, change) => {
    const { refused, table } = await processEdited({ 'day.json': dayJson(change) });
    const own = refused.filter(({ file }) => file === 'day.json');
    expect(own).toHaveLength(1);
    expect(own[0]!.reason).toContain(field);
    expect(table('trials').map((row) => row['trial'])).toEqual(['T1', 'T2']);
  });

  it.each<[string, Edits]>([
    ['no day.json', { 'day.json': null }],
    ['no roster.csv', { 'roster.csv': null }],
    ['no trials.csv', { 'trials.csv': null }],
    ['an empty day.json', { 'day.json': '' }],
    ['an empty roster.csv', { 'roster.csv': '' }],
    ['a trials.csv that is not UTF-8', { 'trials.csv': Uint8Array.of(0xff, 0xfe, 0x41, 0) }],
    ['broken JSON', { 'day.json': '{"format": ' }],
    ['JSON that is no object', { 'day.json': '[]' }],
    ['null', { 'day.json': 'null' }],
    ['another format', { 'day.json': dayJson((day) => (day['format'] = 'lanebench-day/2')) }],
    ['no format', { 'day.json': dayJson((day) => delete day['format']) }],
    ['no day code', { 'day.json': dayJson((day) => delete day['day']) }],
    ['a day code with a slash', { 'day.json': dayJson((day) => (day['day'] = 'a/b')) }],
    ['no trial', { 'trials.csv': (text) => text.split('\n')[0]! }],
    ['only trials of strangers', { 'trials.csv': (text) => text.replaceAll(/P0\d/g, 'P77') }],
    ['a roster without participant', { 'roster.csv': swap('participant', 'name') }],
  ])('nothing is processed with %s', async (_, edits) => {
    const folder = await buildDay(edits);
    const outcome = await makeDataset(
      { folder, out: join(await tempFolder(), 'out'), replace: false },
      () => undefined,
    );
    expect(outcome.kind).toBe('nothing');
    if (outcome.kind === 'nothing') expect(outcome.says).toMatch(/^\S.+\.$/s);
  });

  it('takes a day.json with a byte order mark and CRLF', async () => {
    const { refused } = await processEdited({ 'day.json': `\ufeff${dayJson().replaceAll('\n', '\r\n')}` });
    expect(refused).toEqual([]);
  });
});
