/**
 * Text from a person's files as it is shown and printed: control characters and the marks that turn the direction of
 * writing are shown by their number, never obeyed. The marks: Unicode Standard Annex 9, explicit directional
 * formatting characters.
 */

const OBEYED = /[\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]/g; // eslint-disable-line no-control-regex -- they are what is looked for

const TURNS = /[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;

const SHOWN_TURN = /⟨U\+(061C|200E|200F|202[A-E]|206[6-9])⟩/g;

function byNumber(character: string): string {
  return `⟨U+${character.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}⟩`;
}

/** A text on one line, without anything that a terminal or a page would obey. */
export function shownText(text: string): string {
  return text.replace(OBEYED, byNumber);
}

/** The same with line ends left as they are. */
export function shownLines(text: string): string {
  return text.split('\n').map(shownText).join('\n');
}

/** Longest wrong value that is quoted whole, characters. */
const LONGEST_QUOTED = 60;

/** A wrong value in quotes, cut where it is long. */
export function quoted(text: string): string {
  const shown = shownText(text);
  return shown.length <= LONGEST_QUOTED ? `"${shown}"` : `"${shown.slice(0, LONGEST_QUOTED)}…"`;
}

/** Every text of a value of plain JSON with its marks of direction shown; the value itself where there is none. */
export function withTurnsShown<T>(value: T): T {
  return mapTexts(value, (text) => text.replace(TURNS, byNumber)) as T;
}

/** Takes back {@link withTurnsShown}, so that a text that a person only passes on stays what it was. */
export function withTurnsMeant<T>(value: T): T {
  return mapTexts(value, (text) =>
    text.replace(SHOWN_TURN, (_, digits: string) => String.fromCharCode(Number.parseInt(digits, 16))),
  ) as T;
}

function mapTexts(value: unknown, map: (text: string) => string): unknown {
  if (typeof value === 'string') return map(value);
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) {
    let mapped: unknown[] = value;
    for (const [at, item] of value.entries()) {
      const other = mapTexts(item, map);
      if (other === item) continue;
      if (mapped === value) mapped = value.slice();
      mapped[at] = other;
    }
    return mapped;
  }
  if (Object.getPrototypeOf(value) !== Object.prototype) return value;
  let mapped = value as Record<string, unknown>;
  for (const [name, item] of Object.entries(value)) {
    const other = mapTexts(item, map);
    if (other === item) continue;
    if (mapped === value) mapped = { ...value };
    mapped[name] = other;
  }
  return mapped;
}
