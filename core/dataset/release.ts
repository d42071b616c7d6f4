/**
 * What of a release is handed over: rows of its tables by what a person wishes, without what stays at home. Contract:
 * formats.md section 6, `export`.
 */
import { DATASET_FIELDS } from './dataset.ts';
import type { TableName } from './pool.ts';

/** How a release is written out; each is false unless asked for. */
export interface ExportWish {
  /** The samples of every trial as Parquet. */
  readonly samples: boolean;
  /** Every table as Parquet too. */
  readonly parquet: boolean;
  /** The mean force curves of every trial over the cycle. */
  readonly curves: boolean;
  /** Every trial as a MATLAB file. */
  readonly matlab: boolean;
  /** Every trial as an EDF+ file. */
  readonly edf: boolean;
  /** Birth years to five years. */
  readonly coarseBirthYear: boolean;
  /** Free text: why something was excluded, and what the refused input said. */
  readonly notes: boolean;
}

/** The years that a coarsened birth year may stand for. */
export const BIRTH_YEARS = 5;

/** A birth year as the first of its five years (2003 gives 2000); what is no whole number is empty. */
export function coarseYear(cell: string): string {
  if (!/^\d{1,4}$/.test(cell)) return '';
  return String(Math.floor(Number(cell) / BIRTH_YEARS) * BIRTH_YEARS);
}

/** Columns that hold what a person wrote freely. */
const FREE_TEXT: ReadonlySet<string> = new Set(['exclusion_reason']);

/** What stands for a text that stays at home, within a sentence of ours. */
const WITHHELD = '"…"';

/**
 * The cells of a row of a table (columns of formats.md section 3, as written) as they are handed over. Without notes
 * free text is empty, and a refusal keeps its sentence but not the value that it quotes.
 */
export function handedOver(
  table: TableName,
  cells: readonly string[],
  wish: Pick<ExportWish, 'coarseBirthYear' | 'notes'>,
): readonly string[] {
  return DATASET_FIELDS[table].map(({ name }, place) => {
    const cell = cells[place] ?? '';
    if (name === 'birth_year' && wish.coarseBirthYear) return coarseYear(cell);
    if (wish.notes) return cell;
    if (FREE_TEXT.has(name)) return '';
    return table === 'refused' && name === 'reason' ? cell.replaceAll(/"[^"]*"/g, WITHHELD) : cell;
  });
}

/** What is said before a release is written out, a sentence each: of whom it tells, and what stays at home. */
export function handedOverSays(wish: ExportWish): readonly string[] {
  return [
    wish.notes
      ? 'Free text goes along: reasons for exclusions, and what refused input said. See that it names nobody.'
      : 'Free text stays here: reasons for exclusions are empty, and refused input is not quoted.',
    wish.coarseBirthYear
      ? `Birth years are coarsened to ${BIRTH_YEARS} years.`
      : 'Birth years go along as they are; with sex, height and date they can tell who somebody is.',
    'Swimmers are codes; notes of the roster, names and films never go along.',
  ];
}
