/**
 * Which of an archive's tables are the roster and the trials, and which of their columns give what: by their headings,
 * as in any list of persons, and by what stands in them. The words are common practice, no source.
 */
import { cellOf, isCode, parseNumber, type TextTable } from '../base/table.ts';
import { columnsOf } from '../day/tables.ts';
import { type MatchField, matchTable, words } from '../lists/columns.ts';
import { matchRoster } from '../lists/roster.ts';
import { MAPPED_TABLES, type MappedTable, type TableRule } from './map.ts';
import { foldName } from './pattern.ts';

/** A table of the archive with how it was decoded. */
export interface ArchiveTable {
  readonly table: TextTable;
  /** Null where the file tells it itself. */
  readonly encoding: string | null;
}

export interface ProposedTables {
  readonly rules: Readonly<Partial<Record<MappedTable, TableRule>>>;
  /** The roster's codes, as written. */
  readonly codes: readonly string[];
  /** Columns of roster and trials that give nothing, by file. */
  readonly leftovers: readonly string[];
}

/** Fields of a swimmer that go under another name in roster.csv. */
const ROSTER_NAMES: Readonly<Record<string, string>> = {
  consent_filming: 'film_consent',
  consent_sharing: 'film_sharing_consent',
};

const field = (name: string, group: string, beside = ''): MatchField => ({
  field: name,
  needed: false,
  says: '',
  groups: [words(group)],
  beside: words(beside),
});

const sensor = (name: string, side: string): MatchField => ({
  ...field(name, side),
  groups: [words(side), words('sensor capteur')],
});

const SECTION = 'section s time zeit abschnitt clock';
const TRIAL_FIELDS: readonly MatchField[] = [
  field('trial', 'trial run id versuchskennung essai prueba prova', 'code name'),
  field(
    'participant',
    'participant code swimmer subject athlete schwimmer schwimmerin wer who kurzel nageur nadador',
  ),
  field('attempt', 'attempt no nr number versuch lauf essai intento tentativo n', 'number nr no'),
  field('condition', 'condition kind bedingung art type variante'),
  field('section_start_s', 'start from begin anfang beginn debut inicio inizio', SECTION),
  field('section_end_s', 'end to until ende fin fine arrivee', SECTION),
  field('timing_method', 'method how methode messart timing', 'timing timed'),
  field('timing_u_s', 'u uncertainty unsicherheit plus', 'minus timing s'),
  sensor('left_sensor', 'left l links linker gauche'),
  sensor('right_sensor', 'right r rechts rechter droite'),
  field('status', 'status state stand'),
  field('exclusion_reason', 'reason grund why exclusion', 'not exclusion'),
];

/** Proposes what each table is. @param date bounds birth years, such as 2026-03-14 */
export function proposeTables(tables: readonly ArchiveTable[], date: string): ProposedTables {
  const rules: Partial<Record<MappedTable, TableRule>> = {};
  const leftovers: string[] = [];
  const roster = best(tables, ({ table }) => rosterRule(table, date));
  const codes = roster === null ? [] : codesOf(roster.of.table, roster.rule.columns['participant']!);
  if (roster !== null) {
    rules.roster = withEncoding(roster.rule, roster.of);
    const trials = best(tables, ({ table }) => trialsRule(table, codes));
    if (trials !== null) rules.trials = withEncoding(trials.rule, trials.of);
    for (const { of } of [roster, ...(trials === null || trials.of === roster.of ? [] : [trials])]) {
      const used = [roster, trials].flatMap((one) => (one?.of === of ? Object.values(one.rule.columns) : []));
      const free = of.table.header.filter((name) => name !== '' && !used.includes(name));
      if (free.length > 0) leftovers.push(`${of.table.file}: ${free.map((name) => `“${name}”`).join(', ')}`);
    }
  }
  for (const name of MAPPED_TABLES) {
    if (name === 'roster' || name === 'trials') continue;
    const found = tables.find(({ table }) => isOurs(name, table));
    if (found === undefined) continue;
    const own = found.table.header.filter((column) => columnsOf(name).includes(column));
    const columns = Object.fromEntries(own.map((column) => [column, column]));
    rules[name] = { file: found.table.file, columns, values: {}, fixed: {}, encoding: found.encoding };
  }
  return { rules, codes, leftovers };
}

interface Fit {
  readonly rule: TableRule;
  readonly score: number;
}

/** The table that fits best, the first of equals; null where none fits. */
function best(
  tables: readonly ArchiveTable[],
  fit: (table: ArchiveTable) => Fit | null,
): { readonly of: ArchiveTable; readonly rule: TableRule } | null {
  let found: { of: ArchiveTable; rule: TableRule; score: number } | null = null;
  for (const of of tables) {
    const one = fit(of);
    if (one !== null && one.score > (found?.score ?? 0)) found = { of, ...one };
  }
  return found;
}

function withEncoding(rule: TableRule, { encoding }: ArchiveTable): TableRule {
  return { ...rule, encoding };
}

function rosterRule(table: TextTable, date: string): Fit | null {
  const { matching, rows } = matchRoster({ table, matching: null, date, known: [] });
  if (matching['participant'] === undefined) return null;
  const columns: Record<string, string> = {};
  for (const [name, column] of Object.entries(matching)) {
    const target = ROSTER_NAMES[name] ?? name;
    if (columnsOf('roster').includes(target)) columns[target] = column;
  }
  // One row a swimmer is a roster; a list of trials tells the same swimmer again.
  const score = Object.keys(columns).length + (rows.length > 0 ? 0.5 : 0);
  if (Object.keys(columns).length < 2) return null;
  const read = new Map(rows.map(({ line, value }) => [line, value]));
  const values: Record<string, Record<string, string>> = {};
  for (const target of ['sex', 'consent'] as const) {
    const column = columns[target];
    if (column === undefined) continue;
    const own: Record<string, string> = {};
    for (const row of table.rows) {
      const cell = cellOf(table, row, column);
      const swimmer = read.get(row.line);
      const value = target === 'sex' ? swimmer?.sex : swimmer?.consents.measuring;
      if (cell !== '' && typeof value === 'string' && value !== cell) own[cell] = value;
    }
    if (Object.keys(own).length > 0) values[target] = own;
  }
  return { rule: { file: table.file, columns, values, fixed: {}, encoding: null }, score };
}

/** The codes of a column, each once, without regard to case. */
function codesOf(table: TextTable, column: string): readonly string[] {
  const codes = new Map<string, string>();
  for (const row of table.rows) {
    const code = cellOf(table, row, column);
    if (isCode(code) && !codes.has(foldName(code))) codes.set(foldName(code), code);
  }
  return [...codes.values()];
}

function trialsRule(table: TextTable, codes: readonly string[]): Fit | null {
  const known = new Set(codes.map(foldName));
  const rows = [...table.rows];
  const share = (column: string, holds: (cell: string) => boolean) =>
    rows.length === 0 ? 0 : rows.filter((row) => holds(cellOf(table, row, column))).length / rows.length;
  const isSwimmer = (column: string) => share(column, (cell) => known.has(foldName(cell))) > 0.8;
  const isAttempt = (column: string) =>
    share(column, (cell) => Number.isInteger(parseNumber(cell)) && Number(cell) >= 1 && Number(cell) <= 99) >
    0.8;
  const guessed = matchTable({
    table,
    fields: TRIAL_FIELDS,
    chosen: null,
    leftOut: () => false,
    leftOutSays: () => '',
    read: (all) => all.map(() => ({ value: null, problems: [] })),
  }).matching;
  const exact = table.header.filter((column) => columnsOf('trials').includes(column));
  const columns = new Map([...Object.entries(guessed), ...exact.map((name) => [name, name] as const)]);
  for (const name of ['trace', 'video']) columns.delete(name);
  const swimmer = table.header.find(isSwimmer);
  if (swimmer === undefined) return null;
  const give = (name: string, column: string) => {
    for (const [other, taken] of [...columns]) if (taken === column) columns.delete(other);
    columns.set(name, column);
  };
  give('participant', swimmer);
  for (const [name, known] of Object.entries(BY_CONTENT)) {
    const told = table.header.find((column) =>
      holdsOnly(
        rows.map((row) => cellOf(table, row, column)),
        known,
      ),
    );
    if (told !== undefined) give(name, told);
  }
  const guess = columns.get('attempt');
  if (guess !== undefined && !isAttempt(guess)) columns.delete('attempt');
  const used = new Set(columns.values());
  const attempt = table.header.find((column) => !used.has(column) && isAttempt(column));
  if (!columns.has('attempt') && attempt !== undefined) columns.set('attempt', attempt);
  const repeats = rows.length > new Set(rows.map((row) => foldName(cellOf(table, row, swimmer)))).size;
  const tells = ['attempt', 'trial', 'section_start_s'].filter((name) => columns.has(name)).length;
  if (tells === 0) return null;
  const rule = {
    file: table.file,
    columns: Object.fromEntries(columns),
    values: {},
    fixed: {},
    encoding: null,
  };
  return { rule, score: tells + (repeats ? 1 : 0) + (columns.has('section_end_s') ? 1 : 0) };
}

/** Columns that are told by what stands in them, in the words of trials.csv. */
const BY_CONTENT: Readonly<Record<string, readonly string[]>> = {
  timing_method: ['video', 'gate', 'stopwatch'],
  status: ['recorded', 'accepted', 'excluded'],
};

function holdsOnly(cells: readonly string[], known: readonly string[]): boolean {
  const said = cells.filter((cell) => cell !== '');
  return said.length > 0 && said.every((cell) => known.includes(cell));
}

/** True for a table that is written as a day folder has it. */
function isOurs(name: MappedTable, table: TextTable): boolean {
  const needed: Readonly<Partial<Record<MappedTable, readonly string[]>>> = {
    calibration: ['sensor', 'applied', 'applied_unit', 'raw'],
    zeros: ['sensor', 'when', 'raw'],
    checks: ['sensor', 'when', 'applied', 'applied_unit', 'raw'],
    sync: ['trial', 'trace_s', 'video_s'],
    events: ['trial', 'hand', 'stroke', 'event', 'time_s'],
    strokes: ['trial', 'hand', 'stroke'],
  };
  const lacks = (columns: readonly string[]) => columns.some((column) => !table.header.includes(column));
  if (lacks(needed[name] ?? [])) return false;
  if (name === 'zeros') return !table.header.includes('applied');
  if (name === 'calibration') return !table.header.includes('when');
  return name !== 'strokes' || !table.header.includes('event');
}
