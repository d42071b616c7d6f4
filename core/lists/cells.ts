/** Cells of a person's table read for what they mean: quantities in the unit of their heading, and words. */
import { type MatchedCell, plainWords } from './columns.ts';
import { isMissing, number } from '../base/table.ts';

/** Takes a sentence about the row. */
export type Say = (problem: string) => void;

/** How a quantity is read, and what of it can be true. */
export interface QuantityRule {
  /** With its article, such as `a height`. */
  readonly what: string;
  /** The unit that the number is given in, and that a heading without a unit has. */
  readonly unit: string;
  /** Factor to that unit, by the unit of a heading. */
  readonly factors: Readonly<Record<string, number>>;
  /** What lies outside is a slip; both in `unit`. */
  readonly low: number;
  readonly high: number;
}

/** Superscripts as a person reads them. */
function unitText(unit: string): string {
  return unit.replace(/2$/, '²');
}

/**
 * The cell's number in the rule's unit; null where it is empty or, with a sentence, cannot be taken. Factors between
 * units are exact (NIST SP 811); bounds are common practice, no source.
 */
export function readQuantity(
  cell: MatchedCell | null,
  rule: QuantityRule,
  decimalComma: boolean,
  say: Say,
): number | null {
  if (cell === null || isMissing(cell.text)) return null;
  const { column, text } = cell;
  const { what, low, high } = rule;
  const unit = unitText(rule.unit);
  const factor = cell.unit === null ? 1 : rule.factors[cell.unit];
  if (factor === undefined) {
    say(
      `Column “${column}” is in ${unitText(cell.unit!)}; ${what} is read in ${Object.keys(rule.factors).map(unitText).join(', ')}: convert it and change the heading.`,
    );
    return null;
  }
  const read = number()(text, decimalComma);
  if (!read.ok) {
    say(`“${column}” ${read.error}.`);
    return null;
  }
  const value = scaled(read.value, factor);
  if (value >= low && value <= high) return value;
  const other = Object.entries(rule.factors).find(
    ([name, by]) => name !== cell.unit && read.value * by >= low && read.value * by <= high,
  );
  const hint =
    other === undefined
      ? 'correct it'
      : `if it is in ${unitText(other[0])}, say so in the heading; else correct it`;
  say(
    `“${column}” gives ${value} ${unit}; ${what} lies between ${low} ${unit} and ${high} ${unit}: ${hint}.`,
  );
  return null;
}

/** A value in another unit, without the dust of the multiplication. */
function scaled(value: number, factor: number): number {
  return factor === 1 ? value : Number((value * factor).toPrecision(14));
}

/** Meanings by the words for them, as plain small letters. */
export type Meanings<T> = ReadonlyMap<string, T>;

/** Makes {@link Meanings} from lists of words or phrases, separated by `|`. */
export function meanings<T extends string>(lists: Readonly<Record<T, string>>): Meanings<T> {
  return new Map(
    Object.entries<string>(lists).flatMap(([meaning, list]) =>
      list.split('|').map((phrase) => [phrase.trim(), meaning as T] as const),
    ),
  );
}

/** A cell's words as plain small letters, as {@link Meanings} has them. */
export function plainText(text: string): string {
  return plainWords(text).join(' ');
}

/** What a cell's words mean; null where it is empty or, with a sentence, not known. */
export function readWord<T>(cell: MatchedCell | null, known: Meanings<T>, takes: string, say: Say): T | null {
  const found = cell === null ? undefined : known.get(plainText(cell.text));
  if (found !== undefined) return found;
  if (cell !== null && !isMissing(cell.text)) say(`“${cell.column}” is “${cell.text}”; it takes ${takes}.`);
  return null;
}
