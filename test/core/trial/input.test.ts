/** From a day's tables to the input of a trial's analysis. */
import { describe, expect, test } from 'vitest';
import { readDay } from '../../../core/day/day.ts';
import { assembleDay } from '../../../core/day/book.ts';
import { analyseTrial } from '../../../core/trial/trial.ts';
import { sectionOf, toTrialInput } from '../../../core/trial/input.ts';
import { textTable, trace } from '../build.ts';

const outcome = readDay(
  JSON.stringify({
    format: 'lanebench-day/1',
    day: 'd',
    cameras: [
      { camera: 'A', frame_rate_hz: 50 },
      { camera: 'B', frame_rate_hz: 25 },
    ],
    sensors: [
      { sensor: 'S-01', hand: 'left', range_kpa: 15, raw_min: 0, raw_max: 65535 },
      { sensor: 'S-02', hand: 'right', range_kpa: 15 },
      { sensor: 'S-03', range_kpa: 15 },
    ],
    trace_columns: { left: { column: 'L', sensor: 'S-01' }, right: { column: 'R', sensor: 'S-02' } },
  }),
);
if (!outcome.ok) throw new Error(outcome.error.reason);
const book = assembleDay(outcome.value.day, {
  roster: textTable(
    'roster.csv',
    'participant,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,consent',
    'P,150,155,3,given',
  ),
  trials: textTable(
    'trials.csv',
    'trial,participant,right_sensor,section_start_s,section_end_s,timing_u_s',
    'T1,P,S-03,1,7,0.01',
    'T2,P,,1,,',
    'T3,P,,7,1,',
  ),
  calibration: textTable(
    'calibration.csv',
    'sensor,applied,applied_unit,raw',
    ...['S-01', 'S-03'].flatMap((sensor) => [
      `${sensor},0,kPa,1000`,
      `${sensor},5,kPa,1501`,
      `${sensor},10,kPa,2000`,
    ]),
  ),
  zeros: textTable(
    'zeros.csv',
    'sensor,trial,when,raw',
    'S-01,T1,before,1000',
    'S-03,T1,after,1002',
    'S-02,T1,before,900',
  ),
  sync: textTable('sync.csv', 'trial,camera,trace_s,video_s', 'T1,A,3,1'),
  events: textTable(
    'events.csv',
    'trial,hand,stroke,event,time_s,clock,camera',
    'T1,left,1,propulsion_start,1,video,',
    'T1,left,1,propulsion_end,1.5,video,A',
  ),
});
const [one, two, three] = book.trials;
const input = (filmStepS = new Map<string, number>()) =>
  toTrialInput(book, one!, { trace: trace(() => 1500), filmStepS }).input;

describe('a hand', () => {
  test('has the calibration, zeros and raw range of the sensor it wore', () => {
    const { left, right } = input().hands;
    expect(left).toMatchObject({
      areaCm2: 150,
      areaUCm2: 3,
      zeros: { before: 1000, after: null },
      rawMin: 0,
      rawMax: 65535,
    });
    expect(right).toMatchObject({
      areaCm2: 155,
      zeros: { before: null, after: 1002 },
      rawMin: null,
      rawMax: null,
    });
    expect(right.calibration).toEqual(left.calibration);
  });

  test('without a calibration has no force', () => {
    const { input: other } = toTrialInput(book, two!, { trace: trace(() => 1500), filmStepS: new Map() });
    expect(other.hands.right.calibration).toBeNull();
    expect(analyseTrial(other).flags).toContain('no_calibration');
  });
});

describe('time', () => {
  test('the frame interval is that of the film, else of the day', () => {
    const uOf = (steps?: Map<string, number>) => input(steps).strokes[0]!.marks.propulsion_start!.uS;
    expect(uOf()).toBeCloseTo(0.02 / Math.sqrt(12), 15);
    expect(uOf(new Map([['A', 0.04]]))).toBeCloseTo(0.04 / Math.sqrt(12), 15);
  });

  test('marks on film come to the trace’s clock; camera A’s clock is reported', () => {
    expect(input().strokes[0]!.marks.propulsion_end!.timeS).toBeCloseTo(3.5, 12);
    expect(input().clock).toMatchObject({ offsetS: 2, rate: 1 });
  });

  test('the section needs both times, the end after the start', () => {
    expect(sectionOf(one!)).toEqual({ startS: 1, endS: 7 });
    expect(sectionOf(two!)).toBeNull();
    expect(three === undefined ? null : sectionOf(three)).toBeNull();
    expect(book.refused.some(({ file, line }) => file === 'trials.csv' && line === 4)).toBe(true);
  });
});
