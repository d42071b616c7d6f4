/** Rules of formats.md section 1 for rows: what breaks one is refused alone, with its place, and the rest is there. */
import { describe, expect, it } from 'vitest';
import { append, dayFiles, dayJson, processEdited, swap } from './day-builder.ts';

const FILES = dayFiles();
const after = (file: string) => FILES[file]!.split('\n').length;
const plain = await processEdited();

/** An added row is refused with its line, and every number stays as it was. */
function addedRows(file: string, rows: readonly string[]): void {
  it.each(rows)(`${file}: %s`, async (row) => {
    const { places, refused, files } = await processEdited({ [file]: append(row) });
    expect(places).toEqual([`${file}:${after(file)}`]);
    expect(refused[0]!.reason).toMatch(/^\S.{15,}\.$/s);
    expect(files.get('trials.csv')).toBe(plain.files.get('trials.csv'));
    expect(files.get('strokes.csv')).toBe(plain.files.get('strokes.csv'));
    expect(files.get('participants.csv')).toBe(plain.files.get('participants.csv'));
    expect(files.get('calibrations.csv')).toBe(plain.files.get('calibrations.csv'));
  });
}

describe('a row that breaks a rule is refused alone', () => {
  addedRows('roster.csv', [
    'P 03,female,2003,172.5,63.1,142,144,2,given,',
    `${'P'.repeat(65)},female,2003,172.5,63.1,142,144,2,given,`,
    ',female,2003,172.5,63.1,142,144,2,given,',
    'P03,woman,2003,172.5,63.1,142,144,2,given,',
    'P03,female,2003.5,172.5,63.1,142,144,2,given,',
    'P03,female,2003,tall,63.1,142,144,2,given,',
    'P03,female,2003,172.5,63.1,-142,144,2,given,',
    'P03,female,2003,172.5,63.1,142,0,2,given,',
    'P03,female,2003,172.5,63.1,142,144,-2,given,',
    'P03,female,2003,172.5,63.1,142,144,2,given,a,b',
    'P01,male,1990,190,90,200,200,2,given,',
  ]);
  addedRows('calibration.csv', [
    'S-01,9,sideways,5,kPa,26000',
    'S-01,9,up,5,bar,26000',
    'S-01,9,up,,kPa,26000',
    'S-01,9,up,5,kPa,high',
    'S-01,9,up,5,kPa,',
    'S 01,9,up,5,kPa,26000',
    'S-01,1,up,0,kPa,8000',
  ]);
  addedRows('zeros.csv', [
    'S-01,T1,during,8000',
    'S-01,T9,before,8000',
    'S-01,T1,before,9000',
    'S-01,T1,after,x',
    ',T1,after,8000',
  ]);
  addedRows('trials.csv', [
    'T3,P09,1,sprint,,,,,1,6,video,0.006,recorded,',
    'T 3,P01,1,sprint,,,,,1,6,video,0.006,recorded,',
    'T3,P01,0,sprint,,,,,1,6,video,0.006,recorded,',
    'T3,P01,1,sprint,,,,,1,6,sundial,0.006,recorded,',
    'T3,P01,1,sprint,,,,,1,6,video,-0.006,recorded,',
    'T3,P01,1,sprint,,,,,1,6,video,0.006,perfect,',
    'T3,P01,1,sprint,,,,,1,6,video,0.006,excluded,',
    'T3,P01,1,sprint,,,S?,,1,6,video,0.006,recorded,',
    'T1,P02,1,sprint,,,,,1,6,video,0.006,recorded,',
  ]);
  addedRows('sync.csv', [
    'T2,A,5,-0.1,lamp',
    'T2,A,x,5,lamp',
    'T9,A,5,5,lamp',
    'T2,A,0.5,0,lamp again',
    'T2,?,5,5,lamp',
  ]);
  addedRows('events.csv', [
    'T1,both,5,water_entry,7,trace,,R1',
    'T1,left,0,water_entry,7,trace,,R1',
    'T1,left,1.5,water_entry,7,trace,,R1',
    'T1,left,5,splash,7,trace,,R1',
    'T1,left,5,water_entry,soon,trace,,R1',
    'T1,left,5,water_entry,,trace,,R1',
    'T1,left,5,water_entry,7,wall,,R1',
    'T9,left,5,water_entry,7,trace,,R1',
    'T1,left,1,water_entry,0.75,trace,,R1',
  ]);
  addedRows('strokes.csv', [
    'T1,left,2,beside,none,,R1',
    'T1,left,2,above,both,,R1',
    'T1,left,0,above,none,,R1',
    'T9,left,2,above,none,,R1',
    'T1,left,1,below,left,,R1',
  ]);

  it.each([
    ['before', '6,1'],
    ['at', '6,6'],
  ])('a section that ends %s its start is refused and its trial has no section', async (_, times) => {
    const { places, trial } = await processEdited({
      'trials.csv': append(`T3,P01,2,sprint,traces/T1.csv,,,,${times},video,0.006,recorded,`),
    });
    expect(places).toEqual([`trials.csv:${after('trials.csv')}`]);
    expect(trial('T1')).toEqual(plain.trial('T1'));
    expect(trial('T3')['velocity_m_s'] ?? '').toBe('');
  });

  it('takes a code of 64 characters', async () => {
    const code = 'P_.-'.repeat(16);
    const { refused } = await processEdited({ 'roster.csv': append(`${code},,,,,,,,given,`) });
    expect(refused).toEqual([]);
  });

  it('takes blank optional columns as absent ones', async () => {
    const { refused } = await processEdited({
      'roster.csv': 'participant,consent\nP01,given\nP02,given\n',
      'trials.csv': 'trial,participant\nT1,P01\nT2,P02\n',
    });
    expect(refused).toEqual([]);
  });

  it.each([
    ['events.csv', 'time_s'],
    ['zeros.csv', 'when'],
    ['sync.csv', 'video_s'],
    ['strokes.csv', 'stroke'],
    ['calibration.csv', 'applied_unit'],
  ])('%s without its column %s is refused whole', async (file, column) => {
    const { places, refused } = await processEdited({ [file]: swap(column, 'other') });
    expect(places).toContain(`${file}:`);
    expect(refused.some(({ reason }) => reason.includes(column))).toBe(true);
  });

  it('refuses a table that is not UTF-8', async () => {
    const { places } = await processEdited({
      'strokes.csv': Buffer.from('trial,hand,stroke\nT1,left,1\n\xe9', 'latin1'),
    });
    expect(places).toEqual(['strokes.csv:']);
  });

  it('names the line of a row below comments, blank lines and quoted newlines', async () => {
    const { places } = await processEdited({
      'strokes.csv':
        '# a\r\n\r\ntrial,hand,stroke,entry_position,breath,exclusion_reason,rater\r\nT1,left,1,above,none,"rope\r\nhit",R1\r\n\r\nT1,left,2,beside,none,,R1\r\n',
    });
    expect(places).toEqual(['strokes.csv:7']);
  });
});

describe('what is refused', () => {
  it('stands in a fixed order: by file, the whole file first, then by line', async () => {
    const { places } = await processEdited({
      'events.csv': append('T1,left,9,splash,7,trace,,R1', 'T1,left,9,splash,8,trace,,R1'),
      'roster.csv': append('P 03,,,,,,,,given,'),
      'traces/T2.csv': null,
      'day.json': dayJson((day) => (day['date'] = 'x')),
    });
    const at = after('events.csv');
    expect(places).toEqual([
      'day.json:',
      `events.csv:${at}`,
      `events.csv:${at + 1}`,
      'roster.csv:4',
      'traces/T2.csv:',
    ]);
  });

  it('reads back whole where a reason holds quotes, commas and line breaks', async () => {
    const { refused, table } = await processEdited({
      'strokes.csv': append('T1,left,2,"a ""b"", c\nd",none,,R1'),
    });
    expect(refused).toHaveLength(1);
    expect(table('refused')[0]!['reason']).toContain('a "b", c\nd');
  });
});
