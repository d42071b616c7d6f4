/** day.json: what is read, and what is refused alone (formats.md section 1). */
import { describe, expect, test } from 'vitest';
import { readDay } from '../../../core/day/day.ts';
import { hasMixedSectionPoints, sectionLengthM } from '../../../core/protocol/protocol.ts';
import { PROTOCOL } from '../build.ts';

/** The example of formats.md, with parts replaced. */
const day = (change: Record<string, unknown> = {}) => ({
  format: 'lanebench-day/1',
  day: '2026-03-14-am',
  date: '2026-03-14',
  venue: 'Harbour pool',
  pool: { length_m: 25, water_temperature_c: 27.0, latitude_deg: 54.3, altitude_m: 40 },
  protocol: {
    name: '20 m sprint to the wall',
    stroke: 'front crawl',
    run_m: 20,
    section_from_wall_m: [10, 0],
    section_u_m: 0.02,
    section_points: { start: 'head', end: 'hand' },
    attempts: 2,
    rest_min_s: 180,
    marking_u_s: 0,
    filter: { kind: 'butterworth', order: 2, cutoff_hz: 12 },
    accept: {
      min_strokes_per_hand: 3,
      max_gap_ms: 20,
      max_saturated_fraction: 0.001,
      max_zero_shift_kpa: 0.15,
    },
  },
  cameras: [{ camera: 'A', frame_rate_hz: 50 }],
  sensors: [{ sensor: 'S-01', hand: 'left', range_kpa: 15, raw_unit: 'count', raw_min: 0, raw_max: 65535 }],
  trace_columns: {
    time: { column: 'time', unit: 's' },
    left: { column: 'L', sensor: 'S-01' },
    right: { column: 'R', sensor: 'S-02', elsewhere: null },
  },
  ...change,
});

function read(change: Record<string, unknown> = {}) {
  const outcome = readDay(JSON.stringify(day(change)));
  if (!outcome.ok) throw new Error(outcome.error.reason);
  return outcome.value;
}

describe('a day', () => {
  test('the example of formats.md is read whole', () => {
    const { day: found, refused } = read();
    expect(refused).toEqual([]);
    expect(found.pool).toEqual({ lengthM: 25, waterTemperatureC: 27, latitudeDeg: 54.3, altitudeM: 40 });
    expect(found.protocol.filter).toEqual({ kind: 'butterworth', order: 2, cutoffHz: 12 });
    expect(found.protocol.sectionPoints).toEqual({ start: 'head', end: 'hand' });
    expect(found.protocol.accept).toEqual({
      minStrokesPerHand: 3,
      maxGapMs: 20,
      maxSaturatedFraction: 0.001,
      maxZeroShiftKpa: 0.15,
      maxCheckDeviationKpa: null,
    });
    expect(found.traceColumns.time).toEqual({ kind: 'column', column: 'time', unit: 's' });
    expect(found.traceColumns.right).toEqual({ column: 'R', sensor: 'S-02', elsewhere: null });
    expect(found.sensors[0]).toMatchObject({ sensor: 'S-01', hand: 'left', rangeKpa: 15, rawMax: 65535 });
    expect(found.cameras).toEqual([{ camera: 'A', frameRateHz: 50 }]);
  });

  test('format and day are enough', () => {
    const outcome = readDay('{"format":"lanebench-day/1","day":"d"}');
    expect(outcome).toMatchObject({ ok: true, value: { refused: [] } });
  });

  test.each([
    ['{', null],
    ['null', 'format'],
    ['[]', 'format'],
    ['{"day":"d"}', 'format'],
    ['{"format":"lanebench-day/2","day":"d"}', 'format'],
    ['{"format":"lanebench-day/1"}', 'day'],
    ['{"format":"lanebench-day/1","day":"d/../e"}', 'day'],
  ])('%s is no day', (text, field) => {
    expect(readDay(text)).toMatchObject({ ok: false, error: { file: 'day.json', field } });
  });

  test('a rate in place of a time column', () => {
    const { day: found } = read({ trace_columns: { time: { rate_hz: 500 }, left: { column: 'L' } } });
    expect(found.traceColumns).toEqual({
      time: { kind: 'rate', rateHz: 500 },
      left: { column: 'L', sensor: null, elsewhere: null },
      right: null,
    });
  });
});

describe('a field that breaks a rule is refused alone', () => {
  const protocol = (change: Record<string, unknown>) => ({ protocol: { ...day().protocol, ...change } });

  test.each([
    [{ date: '14.3.2026' }, 'date'],
    [{ pool: { length_m: -25 } }, 'pool.length_m'],
    [{ pool: { latitude_deg: 91 } }, 'pool.latitude_deg'],
    [{ pool: { water_temperature_c: '27' } }, 'pool.water_temperature_c'],
    [protocol({ section_from_wall_m: [10] }), 'protocol.section_from_wall_m'],
    [protocol({ section_u_m: -0.1 }), 'protocol.section_u_m'],
    [protocol({ attempts: 1.5 }), 'protocol.attempts'],
    [protocol({ section_points: { start: 'foot' } }), 'protocol.section_points.start'],
    [protocol({ accept: { max_gap_ms: -1 } }), 'protocol.accept.max_gap_ms'],
    [{ cameras: [{ camera: 'A B' }] }, 'cameras.0.camera'],
    [{ sensors: 'S-01' }, 'sensors'],
    [{ trace_columns: { time: { column: 'time', unit: 'min' } } }, 'trace_columns.time'],
  ])('%j', (change, field) => {
    const { refused } = read(change);
    expect(refused.map((refusal) => refusal.field)).toEqual([field]);
    expect(refused[0]!.reason).toContain(field);
  });

  test('one bad field of a sensor leaves the others as given', () => {
    const { day: found, refused } = read({
      sensors: [{ sensor: 'S-01', hand: 'left', range_kpa: '15', raw_min: 0, raw_max: 65535 }],
    });
    expect(refused.map(({ field }) => field)).toEqual(['sensors.0.range_kpa']);
    expect(found.sensors).toEqual([
      { sensor: 'S-01', hand: 'left', rangeKpa: null, rawUnit: null, rawMin: 0, rawMax: 65535 },
    ]);
  });

  test('a bad sensor code of a trace column leaves the column', () => {
    const { day: found, refused } = read({
      trace_columns: { time: { rate_hz: 500 }, left: { column: 'L', sensor: 'S 01' } },
    });
    expect(refused.map(({ field }) => field)).toEqual(['trace_columns.left.sensor']);
    expect(found.traceColumns.left).toEqual({ column: 'L', sensor: null, elsewhere: null });
  });

  test('of two sensors with one code the first stays', () => {
    const { day: found, refused } = read({
      sensors: [
        { sensor: 'S', range_kpa: 15 },
        { sensor: 'S', range_kpa: 20 },
      ],
    });
    expect(found.sensors.map(({ rangeKpa }) => rangeKpa)).toEqual([15]);
    expect(refused).toMatchObject([{ field: 'sensors.1' }]);
  });

  test('a filter asked for in words that mean none is never taken as no filter', () => {
    expect(read(protocol({ filter: { kind: 'butterworth', order: 2 } })).day.protocol.filter.kind).toBe(
      'unusable',
    );
    expect(read(protocol({ filter: { kind: 'median' } })).day.protocol.filter.kind).toBe('unusable');
    expect(read(protocol({ filter: 'none' })).day.protocol.filter.kind).toBe('unusable');
    expect(read(protocol({ filter: { kind: 'none' } })).day.protocol.filter.kind).toBe('none');
  });
});

describe('the measured section', () => {
  test('its length is the difference of the distances from the wall', () => {
    expect(sectionLengthM({ ...PROTOCOL, sectionFromWallM: [15, 5] })).toBe(10);
    expect(sectionLengthM({ ...PROTOCOL, sectionFromWallM: [5, 5] })).toBeNull();
    expect(sectionLengthM({ ...PROTOCOL, sectionFromWallM: null })).toBeNull();
  });

  test('different points at its ends are mixed; one that is not known is not', () => {
    const of = (start: 'head' | 'hand' | null, end: 'head' | 'hand' | null) =>
      hasMixedSectionPoints({ ...PROTOCOL, sectionPoints: { start, end } });
    expect([of('head', 'hand'), of('head', 'head'), of('head', null), of(null, null)]).toEqual([
      true,
      false,
      false,
      false,
    ]);
  });
});
