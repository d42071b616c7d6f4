/** The trace reader: missing samples, refusals with their lines, chunk boundaries, and papaparse as an independent peer. */
import { createHash } from 'node:crypto';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import type { TraceColumns } from '../../../core/day/day.ts';
import { readTraceFile } from '../../../main/files/tracefile.ts';
import { tempFolder } from './day-builder.ts';

const BY_TIME: TraceColumns = {
  time: { kind: 'column', column: 'time', unit: 's' },
  left: { column: 'L', sensor: null, elsewhere: null },
  right: { column: 'R', sensor: null, elsewhere: null },
};
const BY_RATE: TraceColumns = { ...BY_TIME, time: { kind: 'rate', rateHz: 100 } };
/** The size of a read of the reader: rows are laid across its multiples on purpose. */
const CHUNK = 1 << 18;

const folder = await tempFolder();
const path = join(folder, 'trace.csv');

async function outcomeOf(content: string | Uint8Array, columns = BY_TIME) {
  await writeFile(path, content);
  return readTraceFile(path, 'traces/x.csv', columns);
}

async function read(content: string | Uint8Array, columns = BY_TIME) {
  const outcome = await outcomeOf(content, columns);
  if (!outcome.ok) throw new Error(outcome.error.reason);
  const { rows, refused, sha256 } = outcome.value;
  const list = (values: Float64Array | null) => (values === null ? null : [...values]);
  return {
    time: list(rows.timeS),
    left: list(rows.left),
    right: list(rows.right),
    lines: [...rows.lines],
    refused: refused.map(({ line }) => line),
    sha256,
  };
}

describe('samples', () => {
  it('takes an empty cell, NaN and - for a missing sample', async () => {
    const { left, right, refused } = await read('time,L,R\n0,,2\n0.1,NaN,3\n0.2,-,4\n0.3,nan, \n0.4,7,8\n');
    expect(left).toEqual([NaN, NaN, NaN, NaN, 7]);
    expect(right).toEqual([2, 3, 4, NaN, 8]);
    expect(refused).toEqual([]);
  });

  it('refuses alone, with its physical line, each row that cannot be read', async () => {
    const text =
      '# one\r\n\r\ntime;L;R;note\r\ns;count;count;\r\n0,0;1;2;a\r\n0,1;x;2;\r\n\r\n;3;4;\r\n0,3;3;?;\r\nlate;3;4;\r\n0,5;5;6;;;7\r\n0,6;"6";"7";"a;b"\r\n0,7;8;9';
    const { time, left, lines, refused } = await read(text);
    expect(time).toEqual([0, 0.6, 0.7]);
    expect(left).toEqual([1, 6, 8]);
    expect(lines).toEqual([5, 12, 13]);
    expect(refused).toEqual([6, 8, 9, 10, 11]);
  });

  it('keeps the place in time of a refused row where the rate is known', async () => {
    const { left, right, refused, time } = await read('L,R\n1,2\nx,4\n5,6\n\n', BY_RATE);
    expect(time).toBeNull();
    expect(left).toEqual([1, NaN, 5]);
    expect(right).toEqual([2, NaN, 6]);
    expect(refused).toEqual([3]);
  });

  it('refuses every row of a decimal comma under a comma separator', async () => {
    const outcome = await outcomeOf('time,L,R\n0,0,1,2\n0,1,3,4\n');
    if (!outcome.ok) throw new Error(outcome.error.reason);
    expect(outcome.value.refused).toMatchObject([{ line: 2, lastLine: 3, rows: 2 }]);
    expect(outcome.value.refused[0]!.reason).toMatch(/4 cells .* 3/);
  });

  it('refuses a last row that was cut in the middle of a number', async () => {
    // RFC 4180 section 2.4: each line should contain the same number of fields throughout the file.
    const { left, refused } = await read('time,L,R\n0.0,8213,8400\n0.1,8214,8401\n0.2,82');
    expect(left).toEqual([8213, 8214]);
    expect(refused).toEqual([4]);
  });

  it('reads a hand alone where the other’s column is missing, and names the column', async () => {
    const outcome = await outcomeOf('time,L\n0,1\n0.1,2\n');
    if (!outcome.ok) throw new Error(outcome.error.reason);
    expect(outcome.value.rows.right).toBeNull();
    expect(outcome.value.refused).toMatchObject([{ file: 'traces/x.csv', line: 1, field: 'R' }]);
  });

  it('gives the SHA-256 of the bytes', async () => {
    const text = `\ufefftime,L,R\r\n${'0.5,1,2\r\n'.repeat(40_000)}`;
    expect((await read(text)).sha256).toBe(createHash('sha256').update(text).digest('hex'));
  });
});

describe('a file that is no trace', () => {
  const junk = Uint8Array.from({ length: 70_000 }, (_, i) => (i * 7919 + (i >> 3)) % 256);
  it.each([
    ['empty', ''],
    ['a byte order mark only', '\ufeff'],
    ['comments only', '# a\n# b\n'],
    ['binary junk', junk],
    ['zero bytes', new Uint8Array(300_000)],
    ['UTF-16', Buffer.from('\ufefftime,L,R\n0,1,2\n', 'utf16le')],
    ['no time column', 't,L,R\n0,1,2\n'],
    ['neither hand', 'time,a,b\n0,1,2\n'],
    ['numbers without a header', '0,1,2\n0.1,1,2\n'],
  ])('%s is refused whole with a sentence', async (_, content) => {
    const outcome = await outcomeOf(content);
    expect(outcome).toMatchObject({ ok: false, error: { file: 'traces/x.csv', line: null } });
    if (!outcome.ok) expect(outcome.error.reason).toMatch(/^traces\/x\.csv cannot be used: .+\.$/);
  });

  it('is a value and not an exception where the file has gone', async () => {
    const outcome = await readTraceFile(join(folder, 'gone.csv'), 'traces/gone.csv', BY_TIME);
    expect(outcome.ok).toBe(false);
  });
});

/** What papaparse makes of the text: rows with as many cells as the header, by the header's columns. */
function peer(text: string, delimiter: string, units: boolean) {
  const lines = text.replace(/^\ufeff/, '').split(/\r?\n/);
  const body = lines
    .slice(lines.findIndex((line) => line.trim() !== '' && !line.trim().startsWith('#')))
    .join('\n');
  const [header, ...rows] = Papa.parse<string[]>(body, {
    delimiter,
    newline: '\n',
    skipEmptyLines: 'greedy',
  }).data.map((cells) => cells.map((cell) => cell.trim()));
  const at = (name: string) => header!.indexOf(name);
  const value = (cell: string) =>
    ['', '-', 'nan'].includes(cell.toLowerCase()) ? NaN : Number(cell.replace(',', '.'));
  const kept = rows.slice(units ? 1 : 0);
  const column = (name: string) => kept.map((row) => value(row[at(name)]!));
  return { time: column('time'), left: column('L'), right: column('R') };
}

const finite = fc.double({ noNaN: true, noDefaultInfinity: true });
const cellOf = fc.oneof(
  { weight: 5, arbitrary: fc.integer({ min: 0, max: 65535 }).map(String) },
  { weight: 3, arbitrary: finite.map(String) },
  { weight: 1, arbitrary: finite.map((value) => value.toFixed(5)) },
  { weight: 1, arbitrary: fc.constantFrom('', '-', 'NaN', ' ', 'nan') },
);
const note = fc.string({ unit: fc.constantFrom('a', 'é', ';', ',', '\t', '"', ' ', '#', '7'), maxLength: 5 });

describe('against papaparse', () => {
  it('gives the same samples for any dialect (property)', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(cellOf, cellOf, note), { minLength: 2, maxLength: 25 }),
        fc.constantFrom(',', ';', '\t'),
        fc.record({
          bom: fc.boolean(),
          comma: fc.boolean(),
          crlf: fc.boolean(),
          units: fc.boolean(),
          quotes: fc.boolean(),
          comments: fc.boolean(),
          end: fc.boolean(),
        }),
        fc.shuffledSubarray(['time', 'L', 'R', 'note'], { minLength: 4 }),
        async (samples, delimiter, has, order) => {
          const decimal = (text: string) => (has.comma && delimiter !== ',' ? text.replace('.', ',') : text);
          const rows = samples.map(([left, right, about], i) => {
            const cells: Record<string, string> = {
              time: decimal((i / 8).toString()),
              L: decimal(left),
              R: decimal(right),
              note: about,
            };
            return order.map((name) => cells[name]!);
          });
          const unitsRow = order.map((name) => (name === 'time' ? 's' : 'count'));
          const newline = has.crlf ? '\r\n' : '\n';
          const table = Papa.unparse([order, ...(has.units ? [unitsRow] : []), ...rows], {
            delimiter,
            newline,
            quotes: has.quotes,
          });
          const text =
            (has.bom ? '\ufeff' : '') +
            (has.comments ? `# a;b,c${newline}${newline}` : '') +
            table +
            (has.end ? newline : '');
          const { time, left, right, refused } = await read(text);
          expect({ time, left, right }).toEqual(peer(text, delimiter, has.units));
          expect(refused).toEqual([]);
        },
      ),
      { numRuns: 400 },
    );
  });

  it('takes a row up to a line break inside quotes, and refuses the rest alone', async () => {
    const text = 'time,L,R,note\n0,1,2,"two\nlines"\n0.1,3,4,\n0.2,5,6,x\n';
    const { time, left, refused } = await read(text);
    expect({ time, left, refused }).toEqual({ time: [0, 0.1, 0.2], left: [1, 3, 5], refused: [3] });
  });
});

describe('chunk boundaries', () => {
  const header = 'time,L,R,note\r\n';
  const row = (i: number) => `${(i / 500).toFixed(3)},${8000 + (i % 977)},${-i}.25,\r\n`;

  it('gives every row of a long file, wherever a read ends (property)', async () => {
    const rows = Array.from({ length: 40_000 }, (_, i) => row(i));
    const body = rows.join('');
    expect(body.length).toBeGreaterThan(2 * CHUNK);
    const expected = peer(header + body, ',', false);
    await fc.assert(
      fc.asyncProperty(fc.integer({ min: 0, max: 40 }), fc.boolean(), async (shift, bom) => {
        const preamble = (bom ? '\ufeff' : '') + `#${'x'.repeat(shift)}\r\n`;
        const { time, left, right, refused, lines } = await read(preamble + header + body);
        expect(refused).toEqual([]);
        expect(time).toEqual(expected.time);
        expect(left).toEqual(expected.left);
        expect(right).toEqual(expected.right);
        expect(lines.at(-1)).toBe(rows.length + 2);
      }),
      { numRuns: 10 },
    );
  }, 180_000);

  it('does not mind what stands at the boundary: quotes, CR, a letter of two bytes, a row longer than a read', async () => {
    const awkward = [
      '0.9,7,8,"é,é"\r\n',
      '0.9,7,8,é\r\n',
      '0.9,7,8,"a""b"\r\n',
      '"0.9","7","8",""\r\n',
      `0.9,7,8,${'z'.repeat(CHUNK + 11)}\r\n`,
    ];
    for (const line of awkward)
      for (let before = 0; before < 18; before++) {
        const first = '0.0,1,2,';
        const pad = CHUNK - header.length - first.length - 2 - before;
        const text = `${header}${first}${'p'.repeat(pad)}\r\n${line}1.0,3,4,`;
        const { time, left, right, lines, refused } = await read(text);
        expect({ time, left, right, lines, refused }).toEqual({
          time: [0, 0.9, 1],
          left: [1, 7, 3],
          right: [2, 8, 4],
          lines: [2, 3, 4],
          refused: [],
        });
      }
  }, 180_000);
});
