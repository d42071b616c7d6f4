/**
 * The rows of a trace as a recorder writes nearly all of them: digits, one decimal mark, separators, a line end. They
 * are read in one pass from bytes to numbers. Anything else is left to the reader that knows every rule, so that this
 * one may only ever give up, never differ.
 */

const POWERS = Float64Array.from({ length: 10 }, (_, k) => 10 ** k);
/** So many digits fit a 32-bit integer; so many in all are exact in a double, as is the power of ten they go with. */
const [MOST_PART, MOST_DIGITS] = [9, 15];
const [NEWLINE, RETURN, QUOTE, COMMA, MINUS, POINT, ZERO] = [10, 13, 34, 44, 45, 46, 48];

/** What a column holds for us; `PASSED` is nothing. */
export const [PASSED, TIME, LEFT, RIGHT] = [0, 1, 2, 3];

/** How the rows of one file are laid out. */
export interface PlainLayout {
  readonly separator: number;
  /** Columns of the header. */
  readonly width: number;
  /** What each column holds, up to the last that is needed. */
  readonly holds: Uint8Array;
  /** Time cells are divided by this to give seconds. */
  readonly perSecond: number;
}

/** Rows of a trace, one number of each column after the other, in memory that can be filled again. */
export class RowLists {
  times = new Float64Array(0);
  left = new Float64Array(0);
  right = new Float64Array(0);
  lines = new Uint32Array(0);
  length = 0;

  private grow(): void {
    const most = Math.max(1 << 15, 2 * this.length);
    this.times = larger(this.times, most);
    this.left = larger(this.left, most);
    this.right = larger(this.right, most);
    const lines = new Uint32Array(most);
    lines.set(this.lines);
    this.lines = lines;
  }

  push(timeS: number, left: number, right: number, line: number): void {
    if (this.length === this.lines.length) this.grow();
    const at = this.length++;
    this.times[at] = timeS;
    this.left[at] = left;
    this.right[at] = right;
    this.lines[at] = line;
  }

  /**
   * Reads rows from bytes[from], as long as they are plain and there are fewer than `most`. Every row that is begun must
   * have its line end in bytes[from, to). Gives where the first row begins that was not read.
   * @param line physical line at `from`
   */
  readPlain(
    bytes: Uint8Array,
    from: number,
    to: number,
    { separator, width, holds, perSecond }: PlainLayout,
    line: number,
    most: number,
  ): number {
    const columns = holds.length;
    const comma = separator === COMMA ? POINT : COMMA;
    let start = from;
    while (start < to && this.length < most) {
      let at = start;
      let time = NaN;
      let left = NaN;
      let right = NaN;
      for (let column = 0; column < columns; column++) {
        const what = holds[column]!;
        let byte = bytes[at]!;
        if (what === PASSED) {
          while (byte !== separator) {
            if (byte === NEWLINE || byte === QUOTE) return start;
            byte = bytes[++at]!;
          }
          at++;
          continue;
        }
        const isNegative = byte === MINUS;
        if (isNegative) byte = bytes[++at]!;
        const wholeAt = at;
        let whole = 0;
        for (let digit = byte - ZERO; digit >= 0 && digit <= 9; digit = byte - ZERO) {
          whole = (Math.imul(whole, 10) + digit) | 0;
          byte = bytes[++at]!;
        }
        let digits = at - wholeAt;
        if (digits > MOST_PART) return start;
        let value = whole;
        if (byte === POINT || byte === comma) {
          byte = bytes[++at]!;
          const partAt = at;
          let part = 0;
          for (let digit = byte - ZERO; digit >= 0 && digit <= 9; digit = byte - ZERO) {
            part = (Math.imul(part, 10) + digit) | 0;
            byte = bytes[++at]!;
          }
          const decimals = at - partAt;
          digits += decimals;
          if (decimals > MOST_PART || digits > MOST_DIGITS) return start;
          // Both steps up to the division are exact, and it rounds once: the result is the number that is written.
          const power = POWERS[decimals]!;
          value = (whole * power + part) / power;
        }
        if (digits === 0) return start;
        if (isNegative) value = -value;
        if (what === TIME) time = value;
        else if (what === LEFT) left = value;
        else right = value;
        if (byte === separator) at++;
        else if (column !== columns - 1 || (byte !== NEWLINE && byte !== RETURN)) return start;
      }
      // Behind the last column that is needed: either the line ends, or further cells of the header follow.
      if (bytes[at - 1] === separator) {
        let cells = columns;
        for (let byte = bytes[at]!; byte !== NEWLINE; byte = bytes[++at]!) {
          if (byte === QUOTE) return start;
          if (byte === separator) cells++;
        }
        if (cells >= width) return start;
      } else if (bytes[at] === RETURN && bytes[++at] !== NEWLINE) return start;
      this.push(perSecond === 1 ? time : time / perSecond, left, right, line++);
      start = at + 1;
    }
    return start;
  }
}

function larger(values: Float64Array, length: number): Float64Array<ArrayBuffer> {
  const grown = new Float64Array(length);
  grown.set(values);
  return grown;
}
