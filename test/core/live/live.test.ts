/** Names of live sources, lines cut from bytes, and rows told from what is none. Contract: formats.md section 5. */
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { datagramLines, LineCutter } from '../../../core/live/lines.ts';
import { paceOf } from '../../../core/live/pace.ts';
import { RowSorter } from '../../../core/live/rows.ts';
import { listensBeyond, parseSource } from '../../../core/live/sourcename.ts';

describe('a source', () => {
  test.each([
    ['serial:/dev/ttyUSB0?baud=57600', { kind: 'serial', path: '/dev/ttyUSB0', baud: 57600 }, false],
    ['serial:COM3', { kind: 'serial', path: 'COM3', baud: 115200 }, false],
    ['tcp:recorder.local:9000', { kind: 'tcp', host: 'recorder.local', port: 9000 }, false],
    ['tcp:[fe80::1]:9000', { kind: 'tcp', host: 'fe80::1', port: 9000 }, false],
    ['listen:9000', { kind: 'listen', host: '127.0.0.1', port: 9000 }, false],
    ['listen:0.0.0.0:9000', { kind: 'listen', host: '0.0.0.0', port: 9000 }, true],
    ['udp:9000', { kind: 'udp', host: '127.0.0.1', port: 9000 }, false],
    ['udp:192.168.4.2:9000', { kind: 'udp', host: '192.168.4.2', port: 9000 }, true],
  ])('%s', (text, source, beyond) => {
    const read = parseSource(text);
    expect(read).toEqual({ ok: true, value: source });
    expect(read.ok && listensBeyond(read.value)).toBe(beyond);
  });

  test.each([
    '',
    'usb:1',
    'tcp:9000',
    'tcp:host:0',
    'listen:70000',
    'udp:',
    'serial:',
    'serial:/dev/x?speed=9',
    'listen:x',
  ])('"%s" is none, and is told', (text) =>
    expect(parseSource(text)).toEqual({ ok: false, error: expect.stringContaining('takes') }),
  );
});

test('lines are the same however their bytes come in pieces', () => {
  const bytes = fc
    .uint8Array({ maxLength: 60 })
    .map((raw) => raw.map((byte) => (byte % 5 === 0 ? 10 : byte)));
  fc.assert(
    fc.property(bytes, fc.array(fc.nat(60)), (whole, cuts) => {
      const cutter = new LineCutter();
      const places = [0, ...cuts.filter((cut) => cut < whole.length).toSorted((a, b) => a - b), whole.length];
      const lines = places.slice(1).flatMap((end, k) => cutter.take(whole.subarray(places[k], end)));
      const rest = cutter.takeRest();
      expect(Buffer.from(lines.join('') + rest, 'latin1')).toEqual(Buffer.from(whole));
      expect(lines.every((line) => line.endsWith('\n') && line.indexOf('\n') === line.length - 1)).toBe(true);
      expect(rest).not.toContain('\n');
    }),
  );
});

test('what never ends a line is thrown away and counted, and lines go on after it', () => {
  const cutter = new LineCutter();
  for (let k = 0; k < 3; k++) expect(cutter.take(Buffer.alloc(40_000, 'x'))).toEqual([]);
  expect(cutter.thrown).toBe(1);
  expect(cutter.take(Buffer.from('\n1,2,3\n')).at(-1)).toBe('1,2,3\n');
});

test('a datagram holds whole lines, the last with an end or without', () => {
  expect(datagramLines(Buffer.from('1,2\n3,4'))).toEqual(['1,2\n', '3,4\n']);
  expect(datagramLines(Buffer.from('1,2\r\n'))).toEqual(['1,2\r\n']);
  expect(datagramLines(Buffer.from(''))).toEqual([]);
});

/** What a source's lines come to: the file's text and how many lines were left out; null where it has no header. */
function recorded(lines: readonly string[], columns: readonly string[] | null = null, mayBeCut = true) {
  const sorter = new RowSorter({ columns, mayBeCut });
  let text = '';
  for (const line of lines) {
    const sorted = sorter.take(line);
    if (sorted === null) return null;
    text += sorted.text;
  }
  text += sorter.release().text;
  return { text, leftOut: sorter.leftOut };
}

const NAMES = ['time', 'L', 'R'];

test.each([
  ['a header', ['time,L,R\n', '0,1,2\n', '1,1,2\n'], null, 'time,L,R\n0,1,2\n1,1,2\n', 0],
  ['a header in place of which columns are given', ['t,a,b\n', '0,1,2\n'], NAMES, 'time,L,R\n0,1,2\n', 0],
  ['no header', ['0;1,5;2\r\n', '1;1,5;2\r\n'], NAMES, 'time;L;R\r\n0;1,5;2\r\n1;1,5;2\r\n', 0],
  [
    'a first line of which a cell is missing',
    ['12,3\n', '2,1,2\n', '3,1,2\n', '4,1,2\n'],
    NAMES,
    'time,L,R\n2,1,2\n3,1,2\n4,1,2\n',
    1,
  ],
  [
    'a first line cut in its first cell',
    ['45,1,2\n', '12.346,1,2\n', '12.347,1,2\n'],
    NAMES,
    'time,L,R\n12.346,1,2\n12.347,1,2\n',
    1,
  ],
  [
    'a first line cut to a smaller number',
    ['.345,1,2\n', '12.346,1,2\n', '12.347,1,2\n'],
    NAMES,
    'time,L,R\n12.346,1,2\n12.347,1,2\n',
    1,
  ],
  [
    'a first line that is short and whole',
    ['9,1,2\n', '10,1,2\n', '11,1,2\n'],
    NAMES,
    'time,L,R\n9,1,2\n10,1,2\n11,1,2\n',
    0,
  ],
  [
    'a gap behind the first row',
    ['1.000,1,2\n', '1.500,1,2\n', '1.501,1,2\n'],
    NAMES,
    'time,L,R\n1.000,1,2\n1.500,1,2\n1.501,1,2\n',
    0,
  ],
  [
    'garbage, an empty line, a second header',
    ['time\tL\tR\n', '0\t1\t2\n', '\xff\x00\n', '\n', '1\tx\t2\n', 'time\tL\tR\n', '1\t-\t2\n'],
    null,
    'time\tL\tR\n0\t1\t2\n1\t-\t2\n',
    4,
  ],
  [
    'a byte order mark and comments',
    ['# rig 2\n', 'time,L,R\n', 's,count,count\n', '0,1,2\n'],
    null,
    'time,L,R\n0,1,2\n',
    2,
  ],
  [
    'a cell too many that is empty',
    ['time,L,R\n', '0,1,2,\n', '1,1,2,3\n', '2,1\n'],
    null,
    'time,L,R\n0,1,2,\n',
    2,
  ],
  [
    'missing samples, but never a missing time',
    ['time,L,R\n', '0,,NaN\n', ',1,2\n', '1,1,\n'],
    null,
    'time,L,R\n0,,NaN\n1,1,\n',
    1,
  ],
])('%s', (_, lines, columns, text, leftOut) => expect(recorded(lines, columns)).toEqual({ text, leftOut }));

test('rows without a header and without columns are not recorded', () => {
  expect(recorded(['0,1,2\n'])).toBeNull();
});

test('rows come out as they came, each once, whatever stands between them', () => {
  const row = fc.tuple(fc.integer(), fc.integer()).map(([left, right]) => `${left},${right}`);
  const line = fc.oneof(row, fc.stringMatching(/^[a-z;]{0,6}$/));
  fc.assert(
    fc.property(fc.array(line), (lines) => {
      const sent = lines.map((text, k) => (/^-?\d/.test(text) ? `${k},${text}\n` : `${text}\n`));
      const rows = sent.filter((text) => /^\d+,-?\d+,-?\d+\n$/.test(text));
      const out = recorded(['time,L,R\n', ...sent], null, false)!;
      expect(out.text).toBe(rows.length === 0 ? '' : `time,L,R\n${rows.join('')}`);
      expect(out.leftOut).toBe(sent.length - rows.length);
    }),
  );
});

describe('the pace of rows', () => {
  it('counts a step over one and a half medians as a gap, and samples lost in it for the rate', () => {
    // 100 Hz with samples 3 and 4, and 8, missing: formats.md section 1, fs = N/(last − first).
    const times = Float64Array.from([0, 1, 2, 5, 6, 7, 9, 10].map((k) => k / 100));
    const pace = paceOf(times, 8, 0.01);
    expect(pace).toMatchObject({ rows: 8, gaps: 2, backward: 0 });
    expect(pace.seconds).toBeCloseTo(0.1, 12);
    expect(pace.rateHz).toBeCloseTo(100, 9);
  });

  it.each([
    ['ms', 2, 500],
    ['µs', 2000, 500],
    ['s', 0.5, 2],
  ])('reads times in %s', (_, step, rateHz) => {
    const times = Float64Array.from({ length: 101 }, (__, k) => 40_000 + k * step);
    const pace = paceOf(times, 101, 100 / rateHz < 1 ? 0.9 : 100 / rateHz);
    expect(pace.rateHz).toBeCloseTo(rateHz, 9);
    expect(pace.seconds).toBeCloseTo(100 / rateHz, 9);
  });

  it('says where a clock runs backward, and where rows have no time', () => {
    expect(paceOf(Float64Array.from([0, 1, 0.5, 1.5]), 4, 0)).toMatchObject({ backward: 1, gaps: 0 });
    expect(paceOf(null, 11, 2)).toEqual({ rows: 11, seconds: 2, rateHz: 5, gaps: null, backward: 0 });
    expect(paceOf(Float64Array.from([3]), 1, 0)).toMatchObject({ seconds: 0, rateHz: null, gaps: 0 });
  });
});
