/**
 * Which column of a person's table gives which field: guessed from the headings, in the wordings and languages that a
 * lab meets, or as the person says. A heading matches a field where it has a word of each of the field's groups and no
 * word that the field does not know; each column is used once. The words are common practice, no source.
 */
import { smallest } from '../base/extent.ts';
import { unguardText } from '../base/csv.ts';
import type { TextTable } from '../base/table.ts';

/** A table of a person's file, being matched to what a roster or a list of section times needs. */
export interface MatchView<T> {
  readonly columns: readonly string[];
  /** Which column gives which field; a field without one is absent. */
  readonly matching: Readonly<Record<string, string>>;
  readonly fields: readonly { readonly field: string; readonly needed: boolean; readonly says: string }[];
  readonly rows: readonly {
    readonly line: number;
    readonly value: T | null;
    readonly problems: readonly string[];
  }[];
}

/** A field that a column may give. */
export interface MatchField {
  readonly field: string;
  readonly needed: boolean;
  /** What the field takes, as sentences. */
  readonly says: string;
  /** A heading has a word of every group; of several headings the one with the earlier word of the first group wins. */
  readonly groups: readonly (readonly string[])[];
  /** Words that may stand beside those. */
  readonly beside: readonly string[];
}

/** Words of a list, written with spaces between. */
export function words(list: string): readonly string[] {
  return list.trim().split(/\s+/);
}

/** Letters that Unicode does not take apart into a plain one and a mark. */
const PLAIN: Readonly<Record<string, string>> = {
  ß: 'ss',
  æ: 'ae',
  œ: 'oe',
  ø: 'o',
  ł: 'l',
  đ: 'd',
  µ: 'u',
  μ: 'u',
};

const LINKING = new Set(
  words('a the of in for to and der die das des de du del la le les el di do da van het'),
);

const UNITS = new Set(words('m cm mm in ft kg g lb lbs m2 cm2 mm2 in2 s sec secs ms us min'));

/** Units that are no word and no initial wherever they stand. */
const PLAIN_UNITS = new Set(words('cm mm kg cm2 mm2 ms'));

const SAME_UNIT: Readonly<Record<string, string>> = { lbs: 'lb', sec: 's', secs: 's' };

interface Heading {
  readonly words: readonly string[];
  /** The unit that the heading names; null where it names none. */
  readonly unit: string | null;
}

/** The words of a text in plain small letters: no accents, no punctuation, `birthYear` and `birth_year` alike. */
export function plainWords(text: string): readonly string[] {
  const parted = text.replace(/(\p{Ll})(\p{Lu})/gu, '$1 $2');
  const plain = parted
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[ßæœøłđµμ]/g, (letter) => PLAIN[letter]!)
    .replace(/\^/g, '');
  return plain.split(/[^\p{L}\p{N}]+/u).filter((word) => word !== '');
}

function readHeading(text: string): Heading {
  const [bracketed] = [...text.matchAll(/[([{]([^)\]}]*)[)\]}]/g)].flatMap(([whole, inner]) => {
    const [unit, ...more] = plainWords(inner!);
    return unit !== undefined && more.length === 0 && UNITS.has(unit) ? [{ whole, unit }] : [];
  });
  const all = plainWords(bracketed === undefined ? text : text.replace(bracketed.whole, ' '));
  let unit = bracketed?.unit ?? null;
  let named = all;
  if (unit === null) {
    const last = all.length - 1;
    const at = last > 0 && UNITS.has(all[last]!) ? last : all.findIndex((word) => PLAIN_UNITS.has(word));
    if (at >= 0 && all.length > 1) {
      unit = all[at]!;
      named = all.toSpliced(at, 1);
    }
  }
  return {
    words: named.filter((word) => !LINKING.has(word)),
    unit: unit === null ? null : (SAME_UNIT[unit] ?? unit),
  };
}

/** The columns of a table by names that tell them apart: a heading that comes twice, or is empty, gets its number. */
export function columnNames(header: readonly string[]): readonly string[] {
  const seen = new Set<string>();
  return header.map((heading, index) => {
    const name = heading === '' || seen.has(heading) ? `${heading} (column ${index + 1})`.trim() : heading;
    seen.add(name);
    return name;
  });
}

/** How well a heading fits a field, the less the better; null where it does not. */
function fitOf(heading: Heading, { groups, beside }: MatchField): number | null {
  const known = new Set([...groups.flat(), ...beside]);
  if (heading.words.length === 0 || !heading.words.every((word) => known.has(word))) return null;
  if (!groups.every((group) => group.some((word) => heading.words.includes(word)))) return null;
  const first = smallest(heading.words.map((word) => groups[0]!.indexOf(word)).filter((at) => at >= 0));
  return 100 * first + heading.words.length;
}

/** Guesses which column gives which field; columns that `leftOut` holds for are never taken. */
function guess(
  columns: readonly string[],
  fields: readonly MatchField[],
  leftOut: (column: string) => boolean,
): Readonly<Record<string, string>> {
  const fits = fields.flatMap((field, order) =>
    columns.flatMap((column, at) => {
      const fit = leftOut(column) ? null : fitOf(readHeading(column), field);
      return fit === null ? [] : [{ field: field.field, column, fit, order, at }];
    }),
  );
  const matching: Record<string, string> = {};
  const used = new Set<string>();
  for (const { field, column } of fits.toSorted(
    (a, b) => a.fit - b.fit || a.order - b.order || a.at - b.at,
  )) {
    if (field in matching || used.has(column)) continue;
    matching[field] = column;
    used.add(column);
  }
  return matching;
}

/** How many of a table's headings are known: tells the separator of a table nobody has described. */
export function knownHeadings(header: readonly string[], fields: readonly MatchField[]): number {
  return Object.keys(guess(columnNames(header), fields, () => false)).length;
}

/** Takes a person's matching as far as it can be followed; a sentence for each part that cannot. */
function follow(
  chosen: Readonly<Record<string, string>>,
  columns: readonly string[],
  fields: readonly MatchField[],
  leftOut: (column: string) => boolean,
): { readonly matching: Readonly<Record<string, string>>; readonly says: ReadonlyMap<string, string> } {
  const matching: Record<string, string> = {};
  const says = new Map<string, string>();
  const used = new Map<string, string>();
  for (const { field } of fields) {
    const column = chosen[field];
    if (column === undefined) continue;
    const other = used.get(column);
    if (leftOut(column)) says.set(field, `“${column}” is never taken; choose another column.`);
    else if (!columns.includes(column))
      says.set(field, `The table has no column “${column}”; choose another.`);
    else if (other !== undefined)
      says.set(field, `“${column}” already gives ${other.replaceAll('_', ' ')}; choose another column.`);
    else {
      matching[field] = column;
      used.set(column, field);
    }
  }
  return { matching, says };
}

/** A cell of the column that gives a field. */
export interface MatchedCell {
  /** Trimmed. */
  readonly text: string;
  readonly column: string;
  /** The unit that the heading names, such as `cm2`; null where it names none. */
  readonly unit: string | null;
}

export interface MatchedRow {
  readonly line: number;
  /** Null where no column gives the field. */
  readonly cell: (field: string) => MatchedCell | null;
}

export interface RowReading<T> {
  /** Null where the row cannot be taken. */
  readonly value: T | null;
  /** Why not; beside a value, what is to be kept in mind. */
  readonly problems: readonly string[];
}

export interface MatchOrder<T> {
  readonly table: TextTable;
  readonly fields: readonly MatchField[];
  /** Which column gives which field, as a person says; null asks for a guess. */
  readonly chosen: Readonly<Record<string, string>> | null;
  /** True for a column that is never taken, for the reason `leftOutSays`. */
  readonly leftOut: (column: string) => boolean;
  /** The sentence about such columns, put to the first field. */
  readonly leftOutSays: (columns: readonly string[]) => string;
  /** Reads the rows, all at once so that they can be held against one another; in their order. */
  readonly read: (rows: readonly MatchedRow[]) => readonly RowReading<T>[];
}

/** Matches the columns of a table and reads its rows, each with its line and its problems. */
export function matchTable<T>(order: MatchOrder<T>): MatchView<T> {
  const { table, fields, chosen, leftOut } = order;
  const columns = columnNames(table.header);
  const { matching, says } =
    chosen === null
      ? { matching: guess(columns, fields, leftOut), says: new Map<string, string>() }
      : follow(chosen, columns, fields, leftOut);
  const shunned = columns.filter(leftOut);
  const places = new Map(
    Object.entries(matching).map(([field, column]) => [
      field,
      { column, at: columns.indexOf(column), unit: readHeading(column).unit },
    ]),
  );
  const all = [...table.rows];
  const whole = all.filter(({ cells }) => !overflows(cells, columns.length));
  const readings = order.read(
    whole.map(({ line, cells }) => ({
      line,
      cell(field) {
        const place = places.get(field);
        if (place === undefined) return null;
        return { text: unguardText((cells[place.at] ?? '').trim()), column: place.column, unit: place.unit };
      },
    })),
  );
  const refused = (line: number, problem: string) => ({ line, value: null, problems: [problem] });
  const rows = [
    ...readings.map((reading, index) => ({ line: whole[index]!.line, ...reading })),
    ...all
      .filter(({ cells }) => overflows(cells, columns.length))
      .map(({ line, cells }) =>
        refused(
          line,
          `The row has ${cells.length} cells and the header ${columns.length}; quote a cell that holds the separator.`,
        ),
      ),
    ...table.unclosed.map((line) =>
      refused(line, 'A quote is opened and not closed; close it or take it out.'),
    ),
  ];
  return {
    columns,
    matching,
    fields: fields.map(({ field, needed, says: what }, index) => ({
      field,
      needed,
      says: [
        what,
        says.get(field),
        index === 0 && shunned.length > 0 ? order.leftOutSays(shunned) : undefined,
      ]
        .filter((sentence) => sentence !== undefined)
        .join(' '),
    })),
    rows: rows.toSorted((a, b) => a.line - b.line),
  };
}

function overflows(cells: readonly string[], width: number): boolean {
  return cells.slice(width).some((cell) => cell.trim() !== '');
}
