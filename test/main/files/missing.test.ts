/** What a missing or unreadable file, or a sensor without a calibration, costs (formats.md section 3): as little as possible. */
import { describe, expect, it } from 'vitest';
import { append, dayFiles, dayJson, lineOf, processEdited, swap, type Edit } from './day-builder.ts';

const FILES = dayFiles();
const after = (file: string) => FILES[file]!.split('\n').length;
const plain = await processEdited();

describe('files that are missing or cannot be read', () => {
  const JUNK = Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919) % 256);
  it.each<[string, Edit]>([
    ['missing', null],
    ['empty', ''],
    ['header only', 'time,L,R\n'],
    ['one sample', 'time,L,R\n0,1,2\n'],
    ['binary junk', JUNK],
    ['another header', 't,a,b\n0,1,2\n1,2,3\n'],
    ['without one readable number', 'time,L,R\na,b,c\nd,e,f\ng,h,i\n'],
  ])('a trace that is %s leaves the trial’s forces empty, the rest stays', async (_, content) => {
    const { places, trial, refused } = await processEdited({ 'traces/T2.csv': content });
    expect(places).toContain('traces/T2.csv:');
    expect(refused.every(({ reason }) => reason.endsWith('.'))).toBe(true);
    const row = trial('T2');
    expect(row['flags']!.split(';')).toContain('no_trace');
    for (const name of ['peak_force_left_n', 'mean_force_right_n', 'impulse_left_ns', 'force_symmetry_pct'])
      expect(row[name], name).toBe('');
    expect(Number(row['velocity_m_s'])).toBeCloseTo(10 / 5.5, 9);
    expect(row['idc_pct']).not.toBe('');
    expect(trial('T1')).toEqual(plain.trial('T1'));
  });

  it('a trace without one sample of a hand costs that hand alone', async () => {
    const { trial } = await processEdited({
      'traces/T1.csv': (text) => text.replace(/^(\d[^,]*,[^,]*),.*$/gm, '$1,'),
    });
    expect(trial('T1')['flags']!.split(';')).toContain('one_channel');
    expect(trial('T1')['peak_force_right_n']).toBe('');
    expect(trial('T1')['peak_force_left_n']).toBe(plain.trial('T1')['peak_force_left_n']);
  });

  it('a sample out of time is refused alone, with its line', async () => {
    const { places } = await processEdited({ 'traces/T1.csv': swap('\n3.00,', '\n3.50,') });
    expect(places).toEqual([`traces/T1.csv:${lineOf(FILES['traces/T1.csv']!, '3.00,')}`]);
  });

  it.each<[string, Edit]>([
    ['missing', null],
    ['junk', JUNK],
    ['empty', ''],
  ])('a film that is %s is refused and the trial is computed', async (_, content) => {
    const { places, trial } = await processEdited({
      'trials.csv': swap('T2,P02,1,sprint,traces/T2.csv,,', 'T2,P02,1,sprint,traces/T2.csv,video/T2.mp4,'),
      'video/T2.mp4': content,
    });
    expect(places).toEqual(['video/T2.mp4:']);
    expect(trial('T2')).toEqual(plain.trial('T2'));
  });

  it('the same missing film named twice is told for each row that names it', async () => {
    const { refused } = await processEdited({
      'videos.csv': 'trial,camera,file\nT1,B,video/b.mp4\nT2,B,video/c.mp4\n',
    });
    expect(refused.map(({ file }) => file)).toEqual(['video/b.mp4', 'video/c.mp4']);
  });

  it('a film of camera A stands in trials.csv first', async () => {
    const { places } = await processEdited({
      'trials.csv': swap('T2,P02,1,sprint,traces/T2.csv,,', 'T2,P02,1,sprint,traces/T2.csv,video/T2.mp4,'),
      'videos.csv': 'trial,camera,file\nT2,A,video/other.mp4\n',
    });
    expect(places).toEqual(['video/T2.mp4:', 'videos.csv:2']);
  });
});

describe('sensors', () => {
  const only = (rows: string) => (text: string) =>
    `${text
      .split('\n')
      .filter((line) => !line.startsWith('S-01'))
      .join('\n')}${rows}`;
  it.each([
    ['one pressure', 'S-01,1,up,5,kPa,100\nS-01,2,up,5,kPa,101\n'],
    ['one point', 'S-01,1,up,5,kPa,100\n'],
    ['a raw value that does not change', 'S-01,1,up,0,kPa,100\nS-01,2,up,5,kPa,100\nS-01,3,up,9,kPa,100\n'],
  ])('a calibration of %s leaves the hand’s forces empty', async (_, rows) => {
    const { places, table, trial, refused } = await processEdited({ 'calibration.csv': only(rows) });
    expect(places).toEqual(['calibration.csv:']);
    expect(refused[0]!.reason).toContain('S-01');
    expect(table('calibrations').find((row) => row['sensor'] === 'S-01')).toMatchObject({
      verdict: 'not_fitted',
      sensitivity_raw_per_kpa: '',
    });
    expect(trial('T1')['flags']!.split(';')).toContain('no_calibration');
    expect(trial('T1')['peak_force_left_n']).toBe('');
    expect(trial('T1')['peak_force_right_n']).toBe(plain.trial('T1')['peak_force_right_n']);
  });

  it('a depth without the water’s temperature is refused with its line', async () => {
    const { places } = await processEdited({
      'day.json': dayJson((day) => delete day.pool['water_temperature_c']),
      'calibration.csv': append('S-01,8,up,0,m_water,1', 'S-01,9,up,1,m_water,9'),
    });
    const at = after('calibration.csv');
    expect(places).toEqual([`calibration.csv:${at}`, `calibration.csv:${at + 1}`]);
  });

  it('without a zero reading the intercept serves, flagged', async () => {
    const { trial, refused } = await processEdited({ 'zeros.csv': null });
    expect(refused).toEqual([]);
    expect(trial('T1')['flags']!.split(';')).toContain('zero_from_calibration');
    expect(trial('T1')['zero_shift_left_kpa']).toBe('');
  });

  it('pairs that contradict one another cost the marks on that film', async () => {
    const { trial, refused } = await processEdited({
      'sync.csv': 'trial,camera,trace_s,video_s,what\nT2,A,5,1,a\nT2,A,1,5,b\n',
    });
    expect(trial('T2')['flags']!.split(';')).toContain('sync_contradiction');
    expect(trial('T2')['idc_pct']).toBe('');
    expect(refused.every(({ file }) => file === 'events.csv' || file === 'sync.csv')).toBe(true);
    expect(trial('T1')).toEqual(plain.trial('T1'));
  });
});
