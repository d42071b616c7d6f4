/** A swimmer whose consent is withdrawn or missing is nowhere: no result, no refusal, no name (formats.md section 1). */
import { describe, expect, test } from 'vitest';
import { readDay, type Day } from '../../../core/day/day.ts';
import { assembleDay, type DayTexts } from '../../../core/day/book.ts';
import { consentHolds, CONSENTS } from '../../../core/day/tables.ts';
import { textTable } from '../build.ts';

const outcome = readDay(
  '{"format":"lanebench-day/1","day":"d","sensors":[{"sensor":"S-01","hand":"left"}],"trace_columns":{}}',
);
const day: Day = outcome.ok ? outcome.value.day : (undefined as never);

const ROSTER = 'participant,sex,left_hand_area_cm2,consent';
const TRIALS = 'trial,participant,attempt,trace';
const roster = (...rows: readonly string[]) => ({ roster: textTable('roster.csv', ROSTER, ...rows) });
const trials = (...rows: readonly string[]) => ({ trials: textTable('trials.csv', TRIALS, ...rows) });

/** Every table, with a good and a bad row of trial TX and one of T1. */
const EVERYWHERE: DayTexts = {
  ...trials('TX,PX,1,x.csv', 'T1,P1,1,one.csv', 'TY,PX,nonsense,y.csv'),
  zeros: textTable(
    'zeros.csv',
    'sensor,trial,when,raw',
    'S-01,TX,before,1',
    'S-01,TX,before,x',
    'S-01,T1,before,1',
  ),
  videos: textTable('videos.csv', 'trial,camera,file', 'TX,B,x.mp4', 'TX,B B,x.mp4'),
  sync: textTable('sync.csv', 'trial,camera,trace_s,video_s', 'TX,A,1,1', 'TX,A,1,-1', 'TY,A,1,1'),
  events: textTable(
    'events.csv',
    'trial,hand,stroke,event,time_s,clock',
    'TX,left,1,water_entry,1,trace',
    'TX,left,0,water_entry,1,trace',
    'TX,left,1,water_entry,2,trace',
  ),
  strokes: textTable('strokes.csv', 'trial,hand,stroke', 'TX,left,1', 'TX,middle,1'),
};

test('consent holds where it was given, or by assent and guardian', () => {
  expect(CONSENTS.filter(consentHolds)).toEqual(['given', 'assent_and_guardian']);
});

describe.each([
  ['withdrawn', 'PX,female,150,withdrawn'],
  ['missing', 'PX,female,150,missing'],
  ['blank', 'PX,female,150,'],
  ['in a row that is wrong otherwise', 'PX,nonsense,-3,withdrawn'],
  ['in a row with too many cells', 'PX,female,150,withdrawn,more'],
])('%s', (_, row) => {
  const book = assembleDay(day, { ...EVERYWHERE, ...roster(row, 'P1,male,150,given') });

  test('no code, file or row of theirs is anywhere', () => {
    expect(
      JSON.stringify([...book.trials], (_key, value: unknown) => (value instanceof Map ? [...value] : value)),
    ).not.toMatch(/PX|TX|TY|x\.csv|y\.csv|x\.mp4/);
    expect(book.roster.map(({ participant }) => participant)).toEqual(['P1']);
    expect(book.refused).toEqual([]);
  });

  test('they are counted, and the others stay', () => {
    expect(book.leftOut).toEqual({ swimmers: 1, trials: 2 });
    expect(book.trials.map(({ row: { trial } }) => trial)).toEqual(['T1']);
    expect(book.trials[0]!.zeros.get('S-01')).toEqual({ before: 1, after: null });
  });
});

describe('rows of one swimmer that differ', () => {
  test('the one that withholds consent decides, wherever it stands', () => {
    for (const rows of [
      ['PX,female,150,given', 'PX,female,150,withdrawn'],
      ['PX,female,150,withdrawn', 'PX,female,150,given'],
      ['PX,female,150,given', 'PX,female,150,'],
    ]) {
      const book = assembleDay(day, { ...EVERYWHERE, ...roster(...rows, 'P1,male,150,given') });
      expect(book.roster.map(({ participant }) => participant)).toEqual(['P1']);
      expect(book.refused).toEqual([]);
    }
  });

  test('a consent that cannot be read is none: another row does not speak for it', () => {
    const book = assembleDay(day, {
      ...trials('TX,PX,1,x.csv', 'T1,P1,1,one.csv'),
      ...roster('PX,female,150,Withdrawn', 'PX,female,150,given', 'P1,male,150,given'),
    });
    expect(book.trials.map(({ row }) => row.trial)).toEqual(['T1']);
  });
});

test('a consent in words that mean none refuses the row, and its trials are not processed', () => {
  const book = assembleDay(day, { ...trials('TX,PX,1,x.csv'), ...roster('PX,female,150,yes') });
  expect(book.trials).toEqual([]);
  expect(book.roster).toEqual([]);
  expect(book.refused.map(({ file, line }) => [file, line])).toContainEqual(['roster.csv', 2]);
  expect(JSON.stringify(book.refused)).not.toContain('PX');
});

test('a roster without the column has no consent at all', () => {
  const table = textTable('roster.csv', 'participant,sex', 'P1,male');
  const book = assembleDay(day, { ...trials('T1,P1,1,one.csv'), roster: table });
  expect(book).toMatchObject({ roster: [], trials: [], refused: [], leftOut: { swimmers: 1, trials: 1 } });
});

test('a trial code used again by a swimmer with consent does not bring the rows of the first back', () => {
  const book = assembleDay(day, {
    ...EVERYWHERE,
    ...trials('TX,PX,1,x.csv', 'TX,P1,1,one.csv'),
    ...roster('PX,female,150,withdrawn', 'P1,male,150,given'),
  });
  expect(book.trials).toEqual([]);
  expect(book.refused.filter(({ file }) => file === 'trials.csv').map(({ line }) => line)).toEqual([3]);
});

test('and one of a swimmer with consent is not lost to a later row of one without', () => {
  const book = assembleDay(day, {
    ...trials('T1,P1,1,one.csv', 'T1,PX,1,x.csv'),
    ...roster('PX,female,150,withdrawn', 'P1,male,150,given'),
  });
  expect(book.trials.map(({ row }) => row.trace)).toEqual(['one.csv']);
  expect(book.refused).toEqual([]);
});
