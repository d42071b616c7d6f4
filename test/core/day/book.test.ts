/** A day's tables checked against one another; every row that cannot be used refused alone (formats.md section 1). */
import { describe, expect, test } from 'vitest';
import { readDay, type Day } from '../../../core/day/day.ts';
import { assembleDay, sensorWorn, type DayTexts } from '../../../core/day/book.ts';
import { columnsOf, TABLE_NAMES } from '../../../core/day/tables.ts';
import { waterDensity, localGravity } from '../../../core/sensor/hydrostatics.ts';
import { textTable } from '../build.ts';

const ROSTER = 'participant,sex,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,consent';
const TRIALS = 'trial,participant,attempt,video,section_start_s,section_end_s,status,exclusion_reason';

function dayOf(change: Record<string, unknown> = {}): Day {
  const outcome = readDay(
    JSON.stringify({
      format: 'lanebench-day/1',
      day: 'd',
      pool: { water_temperature_c: 27, latitude_deg: 54.3, altitude_m: 40 },
      sensors: [
        { sensor: 'S-01', hand: 'left', range_kpa: 15 },
        { sensor: 'S-02', hand: 'right', range_kpa: 15 },
      ],
      trace_columns: { left: { column: 'L', sensor: 'S-01' }, right: { column: 'R', sensor: 'S-02' } },
      ...change,
    }),
  );
  if (!outcome.ok) throw new Error(outcome.error.reason);
  return outcome.value.day;
}
const GOOD: DayTexts = {
  roster: textTable('roster.csv', ROSTER, 'P1,female,150,152,3,given', 'P2,male,,,,assent_and_guardian'),
  trials: textTable('trials.csv', TRIALS, 'T1,P1,1,film.mp4,2,7,recorded,', 'T2,P2,1,,,,,'),
};
const assemble = (texts: DayTexts, day = dayOf()) => assembleDay(day, { ...GOOD, ...texts });
const refusedLines = (texts: DayTexts) => assemble(texts).refused.map(({ file, line }) => [file, line]);

test('the columns are those of formats.md, in its order', () => {
  expect(Object.fromEntries(TABLE_NAMES.map((name) => [name, columnsOf(name).join(',')]))).toEqual({
    roster:
      'participant,sex,birth_year,height_cm,mass_kg,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,left_hand_area_u_cm2,right_hand_area_u_cm2,left_hand_area_method,right_hand_area_method,consent,film_consent,film_sharing_consent,note',
    calibration: 'sensor,step,direction,applied,applied_unit,raw,reference_scale_u_pct,reference_zero_u',
    zeros: 'sensor,trial,when,raw',
    checks: 'sensor,when,applied,applied_unit,raw',
    trials:
      'trial,participant,attempt,condition,trace,video,left_sensor,right_sensor,left_column,right_column,section_start_s,section_end_s,timing_method,timing_u_s,status,exclusion_reason',
    videos: 'trial,camera,file',
    sync: 'trial,camera,trace_s,video_s,what',
    events: 'trial,hand,stroke,event,time_s,clock,camera,rater,time_u_s,time_u_shared_s,unsure',
    strokes:
      'trial,hand,stroke,entry_position,breath,exclusion_reason,rater,entry_height_cm,entry_height_cm_u',
    points: 'trial,camera,time_s,point,x_px,y_px,u_px,how,rater',
  });
});

test('a good day has nothing refused', () => {
  const book = assemble({});
  expect(book.refused).toEqual([]);
  expect(book.trials.map(({ row }) => row.trial)).toEqual(['T1', 'T2']);
  expect(book.trials[0]!.films.get('A')).toEqual({ file: 'film.mp4', table: 'trials.csv', line: 2 });
  expect(book.roster).toHaveLength(2);
});

describe('trials', () => {
  test('need a swimmer of the roster', () => {
    expect(refusedLines({ trials: textTable('trials.csv', TRIALS, 'T1,P9,1,,,,,', 'T2,P2,1,,,,,') })).toEqual(
      [['trials.csv', 2]],
    );
  });

  test('an excluded one needs a reason, and is kept with it', () => {
    const table = textTable('trials.csv', TRIALS, 'T1,P1,1,,,,excluded,', 'T2,P1,2,,,,excluded,false start');
    const book = assemble({ trials: table });
    expect(book.refused.map(({ line }) => line)).toEqual([2]);
    expect(book.trials.map(({ row }) => row.trial)).toEqual(['T2']);
  });

  test('of two with one code the first stays', () => {
    const table = textTable('trials.csv', TRIALS, 'T1,P1,1,,,,,', 'T1,P2,1,,,,,');
    const book = assemble({ trials: table });
    expect(book.trials.map(({ row }) => row.participant)).toEqual(['P1']);
    expect(book.refused).toMatchObject([{ line: 3, reason: expect.stringContaining('Line 2') }]);
  });
});

describe('rows about a trial', () => {
  test('need a trial that is there', () => {
    expect(
      refusedLines({
        zeros: textTable('zeros.csv', 'sensor,trial,when,raw', 'S-01,T9,before,1000'),
        videos: textTable('videos.csv', 'trial,camera,file', 'T9,B,b.mp4'),
        sync: textTable('sync.csv', 'trial,camera,trace_s,video_s', 'T9,A,1,1'),
        events: textTable(
          'events.csv',
          'trial,hand,stroke,event,time_s,clock',
          'T9,left,1,water_entry,1,trace',
        ),
        strokes: textTable('strokes.csv', 'trial,hand,stroke', 'T9,left,1'),
      }),
    ).toEqual([
      ['zeros.csv', 2],
      ['videos.csv', 2],
      ['sync.csv', 2],
      ['events.csv', 2],
      ['strokes.csv', 2],
    ]);
  });

  test('that say the same thing twice: the first stays', () => {
    const header = 'trial,hand,stroke,event,time_s,clock,rater';
    const book = assemble({
      events: textTable(
        'events.csv',
        header,
        'T1,left,1,water_entry,1,trace,R1',
        'T1,left,1,water_entry,1.2,trace,R1',
        'T1,left,1.0,water_entry,1.3,video,R1',
        'T1,left,1,water_entry,1.1,trace,R2',
        'T1,right,1,water_entry,1.2,trace,R1',
      ),
      zeros: textTable('zeros.csv', 'sensor,trial,when,raw', 'S-01,T1,before,1000', 'S-01,T1,before,1001'),
      sync: textTable('sync.csv', 'trial,camera,trace_s,video_s', 'T1,A,1,1', 'T1,A,1.0,1', 'T1,A,2,2'),
    });
    expect(book.refused.map(({ file, line }) => [file, line])).toEqual([
      ['zeros.csv', 3],
      ['sync.csv', 3],
      ['events.csv', 3],
    ]);
    expect(book.refused.at(-1)).toMatchObject({ lastLine: 4, rows: 2 });
    const [trial] = book.trials;
    expect(trial!.zeros.get('S-01')).toEqual({ before: 1000, after: null });
    expect(trial!.pairs.get('A')).toHaveLength(2);
  });

  test('a film of camera A in videos.csv does not take the place of that in trials.csv', () => {
    const videos = textTable('videos.csv', 'trial,camera,file', 'T1,A,other.mp4', 'T1,B,b.mp4', 'T2,A,a.mp4');
    const book = assemble({ videos });
    expect(book.refused.map(({ file, line }) => [file, line])).toEqual([['videos.csv', 2]]);
    expect([...book.trials[0]!.films.keys()]).toEqual(['A', 'B']);
    expect(book.trials[0]!.films.get('A')!.file).toBe('film.mp4');
    expect(book.trials[1]!.films.get('A')).toEqual({ file: 'a.mp4', table: 'videos.csv', line: 4 });
  });

  test('a video time below 0 is refused', () => {
    expect(
      refusedLines({
        sync: textTable('sync.csv', 'trial,camera,trace_s,video_s', 'T1,A,1,-0.1', 'T1,A,-1,0'),
      }),
    ).toEqual([['sync.csv', 2]]);
  });
});

describe('calibrations', () => {
  const header = 'sensor,step,direction,applied,applied_unit,raw';

  test('take every unit of formats.md; m_water by the day’s pool', () => {
    const water = (waterDensity(27)! * localGravity(54.3, 40)!) / 1000;
    const table = textTable(
      'calibration.csv',
      header,
      'S-01,1,up,0,kPa,0',
      'S-01,2,up,1000,Pa,100',
      'S-01,3,up,20,mbar,200',
      'S-01,4,up,1,psi,689.4757293168',
      'S-01,5,up,1,m_water,' + String(100 * water),
      'S-01,6,up,100,cmH2O,980.665',
      'S-01,7,up,100,mmHg,1333.22387415',
    );
    const { calibration } = assemble({ calibration: table }).calibrations.get('S-01')!;
    expect(calibration!.sensitivityRawPerKpa).toBeCloseTo(100, 9);
    expect(calibration!.residualSdKpa).toBeCloseTo(0, 9);
  });

  test('a depth without the water’s temperature is refused alone', () => {
    const table = textTable(
      'calibration.csv',
      header,
      'S-01,1,up,0,kPa,0',
      'S-01,2,up,1,m_water,900',
      'S-01,3,up,9,kPa,900',
    );
    const book = assemble({ calibration: table }, dayOf({ pool: { latitude_deg: 54.3 } }));
    expect(book.refused.map(({ line }) => line)).toEqual([3]);
    expect(book.calibrations.get('S-01')!.calibration!.sensitivityRawPerKpa).toBeCloseTo(100, 9);
    const cold = assemble(
      { calibration: table },
      dayOf({ pool: { latitude_deg: 54.3, water_temperature_c: 41 } }),
    );
    expect(cold.refused.map(({ line }) => line)).toEqual([3]);
  });

  test('one that cannot be fitted says so and leaves the sensor without a line', () => {
    const table = textTable('calibration.csv', header, 'S-01,1,up,5,kPa,500', 'S-01,2,up,5,kPa,501');
    const book = assemble({ calibration: table });
    expect(book.calibrations.get('S-01')).toMatchObject({ calibration: null, verdict: 'not_fitted' });
    expect(book.refused).toMatchObject([
      { file: 'calibration.csv', line: null, reason: expect.stringContaining('S-01') },
    ]);
  });
});

describe('the sensor a hand wore', () => {
  test('is the trial’s own word, else the day’s', () => {
    const day = dayOf();
    const table = textTable('trials.csv', 'trial,participant,left_sensor', 'T1,P1,S-09', 'T2,P1,');
    const [one, two] = assemble({ trials: table }).trials;
    expect(sensorWorn(day, one!.row, 'left')).toBe('S-09');
    expect(sensorWorn(day, two!.row, 'left')).toBe('S-01');
    expect(sensorWorn(day, one!.row, 'right')).toBe('S-02');
    expect(sensorWorn(dayOf({ trace_columns: {} }), two!.row, 'left')).toBeNull();
  });
});
