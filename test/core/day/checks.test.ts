/** Known pressures, zeros of the day, references and columns calibrated elsewhere, as a day folder gives them. */
import { describe, expect, test } from 'vitest';
import { assembleDay } from '../../../core/day/book.ts';
import { elsewhereOf, pressureOutcome } from '../../../core/day/checks.ts';
import { readDay } from '../../../core/day/day.ts';
import { dayParameters } from '../../../core/dataset/dayparameters.ts';
import { textTable } from '../build.ts';

const JSON_DAY = {
  format: 'lanebench-day/1',
  day: 'D',
  sensors: [
    { sensor: 'S-01', hand: 'left', range_kpa: 15 },
    { sensor: 'S-02', hand: 'right', range_kpa: 15 },
  ],
  trace_columns: {
    left: { column: 'L', sensor: 'S-01' },
    right: { column: 'R', sensor: 'S-02', quantity: 'pressure', unit: 'mbar', scale_u_pct: 1 },
  },
};
const read = (change: object = {}) => {
  const outcome = readDay(JSON.stringify({ ...JSON_DAY, ...change }));
  if (!outcome.ok) throw new Error(outcome.error.reason);
  return outcome.value;
};
const book = (texts: Parameters<typeof assembleDay>[1]) =>
  assembleDay(read().day, {
    roster: textTable('roster.csv', 'participant,consent', 'P1,given'),
    trials: textTable('trials.csv', 'trial,participant', 'T1,P1'),
    ...texts,
  });

describe('checks.csv', () => {
  const checks = textTable(
    'checks.csv',
    'sensor,when,applied,applied_unit,raw',
    'S-01,start,0,kPa,1010',
    'S-01,start,5,kPa,1520',
    'S-01,start,10,kPa,1990',
    'S-01,end,5000,Pa,1530',
    'S-01,end,5,kPa,9999',
    'S-02,end,10,kPa,103',
    'S-99,end,10,kPa,103',
  );

  test('the deviation of largest size counts, by the zero of its time of day, else the intercept', () => {
    const found = book({ checks });
    const line = { interceptRaw: 1000, sensitivityRawPerKpa: 100 };
    // Start: (1520 − 1010)/100 − 5 = 0.1 and (1990 − 1010)/100 − 10 = −0.2. End: (1530 − 1000)/100 − 5 = 0.3.
    const check = pressureOutcome(found.checks.get('S-01')!, line, null)!;
    expect(check.startKpa).toBeCloseTo(-0.2, 12);
    expect(check.endKpa).toBeCloseTo(0.3, 12);
    // 5000 Pa and 5 kPa are one pressure: the first counts. An unknown sensor is refused.
    expect(
      found.refused.map(({ file, line: at }) => [file, at]).toSorted(([, a], [, b]) => Number(a) - Number(b)),
    ).toEqual([
      ['checks.csv', 6],
      ['checks.csv', 8],
    ]);
  });

  test('a pressure calibrated elsewhere is held against its own unit', () => {
    const found = book({ checks });
    const elsewhere = elsewhereOf(found.day, 'S-02');
    expect(pressureOutcome(found.checks.get('S-02')!, null, elsewhere)!.endKpa).toBeCloseTo(0.3, 12);
    expect(pressureOutcome(found.checks.get('S-01')!, null, null)).toBeNull();
  });
});

test('a zero without a trial is the day’s', () => {
  const zeros = textTable('zeros.csv', 'sensor,trial,when,raw', 'S-01,,before,990', 'S-01,T1,after,5');
  const found = book({ zeros });
  expect(found.dayZeros.get('S-01')).toEqual({ before: 990, after: null });
  expect(found.trials[0]!.zeros.get('S-01')).toEqual({ before: null, after: 5 });
});

test('the reference’s uncertainty reaches the sensitivity; the largest of a sensor’s rows counts', () => {
  const header = 'sensor,step,direction,applied,applied_unit,raw,reference_scale_u_pct,reference_zero_u';
  const calibration = textTable(
    'calibration.csv',
    header,
    'S-01,1,up,0,kPa,1000,0.1,',
    'S-01,2,up,5,kPa,1500,0.4,0.01',
    'S-01,3,up,10000,Pa,2000,,20',
  );
  const found = book({ calibration }).calibrations.get('S-01')!.calibration!;
  expect(found.sensitivityU).toBeCloseTo(100 * 0.004, 10);
  expect(found.referenceZeroUKpa).toBeCloseTo(0.02, 12);
});

describe('a column calibrated elsewhere', () => {
  test('survives being written and read', () => {
    const { day } = read();
    const again = readDay(JSON.stringify(dayParameters(day)));
    expect(again).toMatchObject({
      ok: true,
      value: { day: { traceColumns: day.traceColumns }, refused: [] },
    });
  });

  test.each([
    [{ quantity: 'voltage' }, 'quantity'],
    [{ quantity: 'pressure' }, 'unit'],
    [{ quantity: 'pressure', unit: 'N' }, 'unit'],
    [{ quantity: 'pressure', unit: 'm_water' }, 'unit'],
    [{ quantity: 'force', unit: 'kPa' }, 'unit'],
    [{ quantity: 'force', unit: 'N', filter: 'yes' }, 'filter'],
    [{ quantity: 'force', unit: 'N', scale_u_pct: -1 }, 'scale_u_pct'],
  ])('%j is refused, and the hand with it: as raw it would be wrong', (change, field) => {
    const { day, refused } = read({ trace_columns: { left: { column: 'L', ...change } } });
    expect(day.traceColumns.left).toBeNull();
    expect(refused.map((one) => one.field)).toEqual([`trace_columns.left.${field}`]);
  });

  test('lbf is 4.4482216152605 N (NIST SP 811)', () => {
    const { day } = read({ trace_columns: { left: { column: 'L', quantity: 'force', unit: 'lbf' } } });
    expect(day.traceColumns.left!.elsewhere).toMatchObject({
      newtonsPerUnit: 4.4482216152605,
      filter: false,
    });
  });
});
