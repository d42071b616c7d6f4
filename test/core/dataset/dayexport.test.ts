/** A day folder out and in again: whatever its tables hold, the day that is read back is the one that was written. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { dayFolderTexts } from '../../../core/dataset/dayexport.ts';
import { assembleDay, type Daybook } from '../../../core/day/book.ts';
import { readDay } from '../../../core/day/day.ts';
import { columnsOf, TABLE_NAMES } from '../../../core/day/tables.ts';
import { printCell } from '../../../core/base/csv.ts';
import { parseTextTable } from '../../../main/files/texttable.ts';
import { dayFiles } from '../../main/files/day-builder.ts';

type Files = ReadonlyMap<string, string>;

function readBook(files: Files): Daybook {
  const day = readDay(files.get('day.json')!);
  if (!day.ok) throw new Error(day.error.reason);
  const texts = TABLE_NAMES.map((name) => {
    const columns = columnsOf(name);
    const text = files.get(`${name}.csv`) ?? `${columns.join(',')}\n`;
    const table = parseTextTable(text, `${name}.csv`, columns);
    if (!table.ok) throw new Error(table.error.reason);
    return [name, table.value] as const;
  });
  return assembleDay(day.value.day, Object.fromEntries(texts));
}

/** A day without the lines at which its rows stood, and without what was refused on the way in. */
function content(book: Daybook): unknown {
  const plain = (value: unknown): unknown => {
    if (value instanceof Map) return [...value].map(plain);
    if (Array.isArray(value)) return value.map(plain);
    if (typeof value !== 'object' || value === null) return value;
    return Object.fromEntries(
      Object.entries(value).flatMap(([name, own]) => (name === 'line' ? [] : [[name, plain(own)]])),
    );
  };
  const { refused: _refused, leftOut: _leftOut, ...rest } = book;
  return plain(rest);
}

/** Rows of a table of the small day, each kept or not, its free cells written anew. */
function changed(text: string, kept: readonly boolean[], cells: Readonly<Record<string, string>>): string {
  const [head, ...rows] = text.trimEnd().split('\n');
  const names = head!.split(',');
  const lines = rows
    .filter((_, k) => kept[k % kept.length])
    .map((row) =>
      row
        .split(',')
        .map((cell, k) => (Object.hasOwn(cells, names[k]!) ? printCell(cells[names[k]!]!) : cell))
        .join(','),
    );
  return `${[head, ...lines].join('\n')}\n`;
}

const keeping = fc.array(
  fc.boolean().map((none) => !none),
  { minLength: 3, maxLength: 11 },
);
const words = fc
  .array(fc.oneof(fc.constantFrom('"', ',', ';', '=', '-', ' ', "'", '@'), fc.string({ maxLength: 4 })))
  .map((parts) =>
    parts
      .join('')
      .replaceAll(/[\r\n]/g, ' ')
      .trim(),
  );

test('is the same day', () => {
  const given = dayFiles();
  const tables = ['calibration.csv', 'zeros.csv', 'sync.csv', 'events.csv', 'strokes.csv'];
  fc.assert(
    fc.property(
      fc.record({
        keeps: fc.array(keeping, { minLength: tables.length, maxLength: tables.length }),
        note: words,
        reason: words,
        condition: fc.stringMatching(/^[A-Za-z0-9_.-]{1,12}$/),
        status: fc.constantFrom('recorded', 'accepted', 'excluded', ''),
        endS: fc.double({ min: 1.5, max: 8, noNaN: true }),
        areaCm2: fc.double({ min: 90, max: 240, noNaN: true }),
      }),
      ({ keeps, note, reason, condition, status, endS, areaCm2 }) => {
        const files = new Map(Object.entries(given));
        tables.forEach((name, k) => files.set(name, changed(given[name]!, keeps[k]!, {})));
        const roster = changed(given['roster.csv']!, [true], { note, left_hand_area_cm2: String(areaCm2) });
        files.set('roster.csv', roster);
        const trial = { condition, status, exclusion_reason: reason, section_end_s: String(endS) };
        files.set('trials.csv', changed(given['trials.csv']!, [true], trial));
        const first = readBook(files);
        const out = dayFolderTexts(first, new Map(), new Map());
        const again = readBook(out);
        expect(content(again)).toEqual(content(first));
        // Written once more it is the same text.
        expect(dayFolderTexts(again, new Map(), new Map())).toEqual(out);
      },
    ),
    { numRuns: 60 },
  );
});
