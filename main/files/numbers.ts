/**
 * Numbers straight from the bytes of a trace file: the fast path of plain decimal numbers. Numbers of up to 15 digits
 * are exact in a double and divided by an exact power of ten, so the result is the correctly rounded one; anything
 * else goes through the same reader as every other table.
 */
import { isMissing, parseNumber } from '../../core/base/table.ts';

const POWERS = Array.from({ length: 23 }, (_, k) => 10 ** k);
const MOST_DIGITS = 15;
const [SPACE, TAB, PLUS, COMMA, MINUS, POINT, ZERO, NINE] = [32, 9, 43, 44, 45, 46, 48, 57];
const [LETTER_A, LETTER_N, LETTER_Z] = [97, 110, 122];

/** What a cell that is no number is: missing, or not to be read. */
export const MISSING = NaN;
export const UNREADABLE = Infinity;

/** Reads the cell in bytes[start, end): a finite number, {@link MISSING} or {@link UNREADABLE}. */
export function readCell(bytes: Uint8Array, start: number, end: number): number {
  let from = start;
  let to = end;
  while (from < to && isSpace(bytes[from]!)) from++;
  while (to > from && isSpace(bytes[to - 1]!)) to--;
  if (from === to) return MISSING;
  let at = from;
  const first = bytes[at]!;
  if (first === MINUS || first === PLUS) at++;
  let mantissa = 0;
  let digits = 0;
  let decimals = -1;
  for (; at < to; at++) {
    const byte = bytes[at]!;
    if (byte >= ZERO && byte <= NINE) {
      mantissa = mantissa * 10 + (byte - ZERO);
      digits++;
      if (decimals >= 0) decimals++;
    } else if ((byte === POINT || byte === COMMA) && decimals < 0) decimals = 0;
    else return readSlowly(bytes, from, to);
  }
  if (digits === 0 || digits > MOST_DIGITS) return readSlowly(bytes, from, to);
  const value = decimals > 0 ? mantissa / POWERS[decimals]! : mantissa;
  return first === MINUS ? -value : value;
}

const UTF8 = new TextDecoder();

function readSlowly(bytes: Uint8Array, from: number, to: number): number {
  // A word is no number, and of the words for nothing only NaN begins with a letter.
  const letter = bytes[from]! | 0x20;
  if (letter >= LETTER_A && letter <= LETTER_Z && letter !== LETTER_N) return UNREADABLE;
  const text = UTF8.decode(bytes.subarray(from, to));
  if (isMissing(text)) return MISSING;
  return parseNumber(text) ?? UNREADABLE;
}

function isSpace(byte: number): boolean {
  return byte === SPACE || byte === TAB;
}

/** A growing list of numbers in one typed array. */
export class NumberList {
  private values = new Float64Array(4096);
  length = 0;

  push(value: number): void {
    if (this.length === this.values.length) {
      const larger = new Float64Array(2 * this.length);
      larger.set(this.values);
      this.values = larger;
    }
    this.values[this.length++] = value;
  }

  take(): Float64Array {
    return this.values.slice(0, this.length);
  }
}
