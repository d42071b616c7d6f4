/** Every dialect of formats.md section 1 for tables; rows and lines as RFC 4180 counts them. */
import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { parseTextTable } from '../../../main/files/texttable.ts';
import { dayFiles, dayJson, processEdited, swap, traceSamples, type Edits } from './day-builder.ts';

const EXPECTED = ['participant', 'consent', 'note'];
function parse(text: string) {
  const table = parseTextTable(text, 'roster.csv', EXPECTED);
  if (!table.ok) throw new Error(table.error.reason);
  return table.value;
}

type Write = (text: string) => string | Uint8Array;
const separated =
  (delimiter: string, comma: boolean): Write =>
  (text) =>
    Papa.unparse(
      Papa.parse<string[]>(text, { skipEmptyLines: true }).data.map((row) =>
        row.map((cell) => (comma && /^-?\d+\.\d+$/.test(cell) ? cell.replace('.', ',') : cell)),
      ),
      { delimiter, newline: '\n' },
    ) + '\n';
const bom = '\ufeff';

const DIALECTS: Record<string, Write> = {
  'byte order mark': (text) => bom + text,
  CRLF: (text) => text.replaceAll('\n', '\r\n'),
  semicolons: separated(';', false),
  'semicolons, decimal commas': separated(';', true),
  'tabs, decimal commas': separated('\t', true),
  tabs: separated('\t', false),
  'comment lines': (text) => `# from the logger; 3 columns, tab\tand more\n#\n\n${text}`,
  'comment lines after a byte order mark': (text) =>
    `${bom}# from the logger\r\n${text.replaceAll('\n', '\r\n')}`,
  'no line end at the end': (text) => text.trimEnd(),
  'blank lines at the end': (text) => `${text}\n\r\n  \n`,
  'everything quoted': (text) =>
    Papa.unparse(Papa.parse<string[]>(text, { skipEmptyLines: true }).data, {
      quotes: true,
      newline: '\r\n',
    }),
  'blanks around cells': (text) =>
    text
      .split('\n')
      .map((line) => line.split(',').join(' , '))
      .join('\n'),
};

describe('dialects', async () => {
  const plain = await processEdited();
  const trials = plain.files.get('trials.csv');

  it('takes the plain day without a refusal', () => {
    expect(plain.refused).toEqual([]);
    expect(plain.trial('T1')['peak_force_left_n']).not.toBe('');
    expect(plain.trial('T2')['idc_pct']).not.toBe('');
  });

  it.each(Object.entries(DIALECTS))(
    'reads every table and trace with %s as the plain one',
    async (_, write) => {
      const edits: Record<string, Edits[string]> = {};
      for (const [name, text] of Object.entries(dayFiles()))
        if (name.endsWith('.csv')) edits[name] = write(text) as string;
      const written = await processEdited(edits);
      expect(written.refused).toEqual([]);
      expect(written.files.get('trials.csv')).toBe(trials);
      expect(written.files.get('strokes.csv')).toBe(plain.files.get('strokes.csv'));
    },
  );

  it('takes a units row below a trace’s header', async () => {
    for (const units of ['s,count,count', 's,,', '(s),[1],[1]']) {
      const written = await processEdited({ 'traces/T1.csv': swap('time,L,R\n', `time,L,R\n${units}\n`) });
      expect(written.refused).toEqual([]);
      expect(written.files.get('trials.csv')).toBe(trials);
    }
  });

  it.each([
    ['ms', 1000],
    ['us', 1e6],
  ] as const)('reads times in %s', async (unit, factor) => {
    const text = `t;L;R\n${traceSamples()
      .map(([time, left, right]) => `${Math.round(time * factor)};${left};${right}\n`)
      .join('')}`;
    const written = await processEdited({
      'day.json': dayJson((day) => (day.trace_columns['time'] = { column: 't', unit })),
      'traces/T1.csv': text,
      'traces/T2.csv': text,
    });
    expect(written.refused).toEqual([]);
    expect(written.files.get('trials.csv')).toBe(trials);
  });

  it('reads a trace by its rate, the first sample at 0', async () => {
    const text = `R\tL\n${traceSamples()
      .map(([, left, right]) => `${right}\t${left}\n`)
      .join('')}`;
    const written = await processEdited({
      'day.json': dayJson((day) => (day.trace_columns['time'] = { rate_hz: 100 })),
      'traces/T1.csv': text,
      'traces/T2.csv': text,
    });
    expect(written.refused).toEqual([]);
    const number = (name: string) => Number(written.trial('T1')[name]);
    for (const name of ['peak_force_left_n', 'impulse_right_ns', 'idc_pct'])
      expect(number(name)).toBeCloseTo(Number(plain.trial('T1')[name]), 9);
  });

  it('reads a decimal comma only where the separator is not a comma', async () => {
    // A quoted "8,213" in a comma-separated table is as likely a thousands separator as a decimal comma.
    const text = dayFiles()['zeros.csv']!;
    const written = await processEdited({ 'zeros.csv': swap('T1,before,8000', 'T1,before,"8,001"')(text) });
    expect(written.places).toEqual(['zeros.csv:2']);
  });
});

describe('physical lines', () => {
  it('counts comments, blank lines, CRLF and quoted newlines', () => {
    const text =
      '# one\r\n\r\nparticipant,consent,note\r\nP01,given,"two\r\nlines, ""quoted"""\r\n\r\nP02,given,\r\nP03,missing,"a\nb\nc"\r\nP04,given,x';
    const table = parse(text);
    expect(table.header).toEqual(['participant', 'consent', 'note']);
    expect([...table.rows].map(({ line, cells }) => [line, cells[0]])).toEqual([
      [4, 'P01'],
      [7, 'P02'],
      [8, 'P03'],
      [11, 'P04'],
    ]);
    expect([...table.rows][0]!.cells[2]).toBe('two\nlines, "quoted"');
  });

  it('gives the line on which a row starts for any table (property)', () => {
    const cell = fc.string({ unit: fc.constantFrom('a', '"', ',', '\n', ';', ' ', '1'), maxLength: 6 });
    const row = fc.tuple(fc.constant('P01'), cell, cell);
    fc.assert(
      fc.property(
        fc.array(row, { minLength: 1, maxLength: 12 }),
        fc.array(fc.constantFrom('# c', '', '  '), { maxLength: 3 }),
        fc.array(fc.nat(2), { minLength: 12, maxLength: 12 }),
        fc.constantFrom('\n', '\r\n'),
        (rows, preamble, blanks, newline) => {
          let text = [...preamble, EXPECTED.join(',')].map((line) => line + newline).join('');
          const lines: number[] = [];
          rows.forEach((cells, i) => {
            text += newline.repeat(blanks[i]!);
            lines.push(text.split('\n').length);
            text +=
              cells.map((one) => `"${one.replaceAll('"', '""').replaceAll('\n', newline)}"`).join(',') +
              newline;
          });
          const table = parse(text);
          expect([...table.rows].map(({ line }) => line)).toEqual(lines);
          expect([...table.rows].map(({ cells }) => cells)).toEqual(rows.map((cells) => [...cells]));
        },
      ),
      { numRuns: 400 },
    );
  });

  it.each(['', '\ufeff', '\n\n', '# only a comment\n'])(
    'refuses a table without a header row: %j',
    (text) => {
      expect(parseTextTable(text, 'roster.csv', EXPECTED)).toMatchObject({
        ok: false,
        error: { file: 'roster.csv', line: null },
      });
    },
  );
});

describe('broken quoting', () => {
  it('says so where a quote that never closes swallows the rest of a table', async () => {
    const written = await processEdited({
      'strokes.csv': swap('T1,left,1,above,none,,R1', 'T1,left,1,above,none,"lane rope,R1'),
    });
    expect(written.places.some((place) => place.startsWith('strokes.csv:'))).toBe(true);
  });
});
