/** A day written back reads to the same rows and the same day. */
import { existsSync, readFileSync } from 'node:fs';
import fc, { type Arbitrary } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readDay, type Day } from '../../../core/day/day.ts';
import { dayJsonText, dayTableText } from '../../../core/dataset/dayfolder.ts';
import {
  columnsOf,
  CONSENTS,
  POINTS,
  readDayTable,
  TABLE_NAMES,
  type RowOf,
  type TableName,
} from '../../../core/day/tables.ts';
import { inOneGo } from '../../../core/base/slices.ts';
import { PRESSURE_UNITS } from '../../../core/sensor/hydrostatics.ts';
import { EVENTS } from '../../../core/stroke/stroke.ts';
import { parseTextTable } from '../../../main/files/texttable.ts';

function readBack<N extends TableName>(name: N, text: string) {
  const table = parseTextTable(text, `${name}.csv`, columnsOf(name));
  if (!table.ok) throw new Error(table.error.reason);
  return inOneGo(readDayTable(name, table.value));
}

const code = fc.stringMatching(/^[A-Za-z0-9_.-]{1,12}$/);
/** Minus zero reads back as zero; it is the same number. */
const number = fc.double({ noNaN: true, noDefaultInfinity: true }).map((value) => value + 0);
const above = number.map((value) => Math.abs(value) + Number.MIN_VALUE).filter(Number.isFinite);
const atLeast = number.map(Math.abs);
const whole = (from: number, to: number) => fc.integer({ min: from, max: to });
const maybe = <T>(arbitrary: Arbitrary<T>) => fc.option(arbitrary, { nil: null });
/** Any text without white space at its ends, quotes, separators and line feeds among it. */
const text = fc
  .array(fc.oneof(fc.constantFrom('"', ',', ';', '\t', '\n', ' ', '#', '-'), fc.string({ maxLength: 4 })))
  .map((parts) => parts.join('').replaceAll('\r', '').trim());
const words = text.filter((cell) => cell !== '');
const hand = fc.constantFrom('left', 'right');
const pick = fc.constantFrom;

const ROWS: { readonly [N in TableName]: Arbitrary<RowOf<N>> } = {
  roster: fc.record({
    participant: code,
    sex: maybe(pick('female', 'male', 'unspecified')),
    birth_year: maybe(whole(1900, 2020)),
    height_cm: maybe(above),
    mass_kg: maybe(above),
    left_hand_area_cm2: maybe(above),
    right_hand_area_cm2: maybe(above),
    hand_area_u_cm2: maybe(atLeast),
    left_hand_area_u_cm2: maybe(atLeast),
    right_hand_area_u_cm2: maybe(atLeast),
    left_hand_area_method: maybe(pick('traced', 'typed', 'estimated')),
    right_hand_area_method: maybe(pick('traced', 'typed', 'estimated')),
    film_consent: maybe(pick('given', 'withheld', 'not_asked')),
    film_sharing_consent: maybe(pick('given', 'withheld', 'not_asked')),
    consent: pick(...CONSENTS),
    note: maybe(words),
  }),
  calibration: fc.record({
    sensor: code,
    step: text,
    direction: maybe(pick('up', 'down')),
    applied: number,
    applied_unit: pick(...PRESSURE_UNITS),
    raw: number,
    reference_scale_u_pct: maybe(atLeast),
    reference_zero_u: maybe(atLeast),
  }),
  checks: fc.record({
    sensor: code,
    when: pick('start', 'end'),
    applied: number,
    applied_unit: pick(...PRESSURE_UNITS),
    raw: number,
  }),
  zeros: fc.record({ sensor: code, trial: maybe(code), when: pick('before', 'after'), raw: number }),
  trials: fc.record({
    trial: code,
    participant: code,
    attempt: maybe(whole(1, 9)),
    condition: maybe(code),
    trace: maybe(words),
    video: maybe(words),
    left_sensor: maybe(code),
    right_sensor: maybe(code),
    left_column: maybe(words),
    right_column: maybe(words),
    section_start_s: maybe(number),
    section_end_s: maybe(number),
    timing_method: maybe(pick('video', 'gate', 'stopwatch')),
    timing_u_s: maybe(atLeast),
    status: pick('recorded', 'accepted', 'excluded'),
    exclusion_reason: maybe(words),
  }),
  videos: fc.record({ trial: code, camera: code, file: words }),
  sync: fc.record({ trial: code, camera: code, trace_s: number, video_s: atLeast, what: text }),
  events: fc.record({
    trial: code,
    hand,
    stroke: whole(1, 99),
    event: pick(...EVENTS),
    time_s: number,
    clock: pick('trace', 'video'),
    camera: maybe(code),
    rater: maybe(code),
    time_u_s: maybe(atLeast),
    time_u_shared_s: maybe(atLeast),
    unsure: maybe(pick('yes', 'no')),
  }),
  strokes: fc.record({
    trial: code,
    hand,
    stroke: whole(1, 99),
    entry_position: maybe(pick('above', 'level', 'below', 'undecided')),
    breath: maybe(pick('none', 'left', 'right')),
    exclusion_reason: maybe(words),
    rater: maybe(code),
    entry_height_cm: maybe(number),
    entry_height_cm_u: maybe(atLeast),
  }),
  points: fc.record({
    trial: code,
    camera: code,
    time_s: atLeast,
    point: pick(...POINTS),
    x_px: number,
    y_px: number,
    u_px: maybe(atLeast),
    how: pick('placed', 'followed'),
    rater: maybe(code),
  }),
};

describe.each(TABLE_NAMES)('%s.csv', (name) => {
  test('written, then read, gives the same rows', () => {
    fc.assert(
      fc.property(fc.array(ROWS[name] as Arbitrary<RowOf<TableName>>, { maxLength: 12 }), (rows) => {
        const written = dayTableText(name, rows);
        expect(written).not.toContain('\r');
        const { rows: found, refused } = readBack(name, written);
        expect(refused).toEqual([]);
        expect(found.map(({ value }) => value)).toEqual(rows);
        expect(
          dayTableText(
            name,
            found.map(({ value }) => value),
          ),
        ).toBe(written);
      }),
    );
  });

  test('without rows is its header', () =>
    expect(dayTableText(name, [])).toBe(`${columnsOf(name).join(',')}\n`));

  const file = new URL(`../../../sample-sessions/harbour-morning/${name}.csv`, import.meta.url);
  test.runIf(existsSync(file))('of the sample day reads back to the same rows', () => {
    const rows = readBack(name, readFileSync(file, 'utf8')).rows.map(({ value }) => value);
    expect(rows.length).toBeGreaterThan(0);
    expect(readBack(name, dayTableText(name, rows)).rows.map(({ value }) => value)).toEqual(rows);
  });
});

test('a number that is none is a bug, not a cell', () => {
  const row = { sensor: 'S-01', trial: 'P01-1', when: 'before', raw: NaN } as const;
  expect(() => dayTableText('zeros', [row])).toThrow(/zeros\.csv: raw is NaN/);
});

describe('day.json', () => {
  function day(jsonText: string): Day {
    const outcome = readDay(jsonText);
    if (!outcome.ok) throw new Error(outcome.error.reason);
    return outcome.value.day;
  }
  const sample = readFileSync(
    new URL('../../../sample-sessions/harbour-morning/day.json', import.meta.url),
    'utf8',
  );

  test('of the sample day, and one that gives next to nothing, read back the same', () => {
    for (const jsonText of [sample, '{"format":"lanebench-day/1","day":"a"}']) {
      const read = day(jsonText);
      expect(day(dayJsonText(read))).toEqual(read);
      expect(readDay(dayJsonText(read))).toMatchObject({ value: { refused: [] } });
    }
  });

  test('keeps a filter that cannot be used unusable', () => {
    const read = day('{"format":"lanebench-day/1","day":"a","protocol":{"filter":{"kind":"median"}}}');
    expect(read.protocol.filter).toEqual({ kind: 'unusable' });
    expect(day(dayJsonText(read))).toEqual(read);
  });
});
