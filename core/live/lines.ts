/** Bytes as they come, cut into lines. A line keeps its end, and its bytes are one character each (ISO 8859-1). */

/** Longer than any row: what has no line end by then is no line, bytes. */
const LONGEST = 1 << 16;
const NEWLINE = 10;

export class LineCutter {
  private rest = '';
  /** How many pieces without a line end were thrown away. */
  thrown = 0;

  /** The lines that are whole now. */
  take(bytes: Uint8Array): readonly string[] {
    const lines: string[] = [];
    let start = 0;
    for (let end = bytes.indexOf(NEWLINE); end >= 0; end = bytes.indexOf(NEWLINE, start)) {
      lines.push(this.rest + textOf(bytes.subarray(start, end + 1)));
      this.rest = '';
      start = end + 1;
    }
    this.rest += textOf(bytes.subarray(start));
    if (this.rest.length > LONGEST) {
      this.rest = '';
      this.thrown++;
    }
    return lines;
  }

  /** The beginning of a line whose end has not come; it is given once. */
  takeRest(): string {
    const { rest } = this;
    this.rest = '';
    return rest;
  }
}

/** Bytes as characters of the same number. */
function textOf(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return text;
}

/** A datagram's lines, each with an end: it holds whole ones. */
export function datagramLines(bytes: Uint8Array): readonly string[] {
  const text = textOf(bytes);
  return text.match(/[^\n]*\n|[^\n]+$/g)?.map((line) => (line.endsWith('\n') ? line : `${line}\n`)) ?? [];
}
