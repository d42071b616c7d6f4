/**
 * What a person types to find trials: words, all of which a row's texts must hold, and comparisons such as
 * `velocity>1.8` or `idc_pct<0`, by a column's name or head without its spaces.
 */
import { GRID_COLUMNS, numberAt, saidAt, textAt, type GridCells, type GridColumn } from './columns.ts';

export interface RowFilter {
  readonly holds: (cells: GridCells, texts: string) => boolean;
  /** What of the text could not be read; empty where all could. */
  readonly says: string;
}

const COMPARISON = /^([^<>=]+)(<=|>=|<|>|=)(.*)$/;

const TEXTS = GRID_COLUMNS.filter(({ isNumber }) => !isNumber);

/** A row's texts as the filter reads them: made once for a row, since typing must not wait. */
export function textsOf(cells: GridCells): string {
  return TEXTS.map((column) => saidAt(cells, column))
    .join(' ')
    .toLowerCase();
}

/** Reads what was typed. */
export function readFilter(typed: string): RowFilter {
  const rules: RowFilter['holds'][] = [];
  const faults: string[] = [];
  for (const part of typed.toLowerCase().split(/\s+/).filter(Boolean)) {
    const [, name, operator, rest] = COMPARISON.exec(part) ?? [];
    if (name === undefined || operator === undefined || rest === undefined) {
      rules.push((_cells, texts) => texts.includes(part));
      continue;
    }
    const column = columnNamed(name);
    if (column === null) faults.push(`There is no column "${name}".`);
    // A comparison that is still being typed holds nothing back.
    else if (rest !== '') {
      const rule = compare(column, operator, rest);
      if (rule === null) faults.push(`"${rest}" is no number, and ${column.head} holds numbers.`);
      else rules.push(rule);
    }
  }
  return { holds: (cells, texts) => rules.every((rule) => rule(cells, texts)), says: faults.join(' ') };
}

function columnNamed(typed: string): GridColumn | null {
  const plain = ({ head }: GridColumn) => head.toLowerCase().replaceAll(/[\s,]/g, '');
  return (
    GRID_COLUMNS.find((column) => column.name === typed || plain(column) === typed) ??
    GRID_COLUMNS.find((column) => column.name.startsWith(typed) || plain(column).startsWith(typed)) ??
    null
  );
}

function compare({ at, isNumber }: GridColumn, operator: string, text: string): RowFilter['holds'] | null {
  if (!isNumber) return operator === '=' ? (cells) => textAt(cells, at).toLowerCase() === text : null;
  const limit = Number(text.replace('−', '-').replace(',', '.'));
  if (!Number.isFinite(limit)) return null;
  const holds: (value: number) => boolean = {
    '<': (value: number) => value < limit,
    '<=': (value: number) => value <= limit,
    '>': (value: number) => value > limit,
    '>=': (value: number) => value >= limit,
    '=': (value: number) => value === limit,
  }[operator]!;
  return (cells) => {
    const value = numberAt(cells, at);
    return value !== null && holds(value);
  };
}
