/**
 * Patterns proposed from the names themselves: what stands in all names stays, what is a swimmer's code becomes the
 * swimmer, and of the rest that changes from name to name numbers are attempts, single letters of films cameras, words
 * conditions. Where two folders hold files of one name, folders are a part of the names. Our own rules; a person looks at what they come to.
 */
import { smallest } from '../base/extent.ts';
import type { FileKind } from './map.ts';
import { foldName } from './pattern.ts';

export interface ProposedPattern {
  readonly kind: FileKind;
  readonly name: string;
}

/** A number above this is no attempt. */
const MOST_ATTEMPTS = 60;
/** More words than this are no conditions. */
const MOST_CONDITIONS = 12;

/** Words that are conditions though all names have them: common practice, no source. */
const CONDITIONS = new Set([
  'sprint',
  'max',
  'maximal',
  'submaximal',
  'submax',
  'easy',
  'moderate',
  'slow',
  'fast',
]);

/** A name in pieces: the swimmer, runs of digits, of letters, and what separates them. */
type Piece = { readonly kind: 'who' | 'digits' | 'letters' | 'other'; readonly text: string };

/** Proposes patterns for files of one kind whose names tell a swimmer of the roster. @param codes of the roster */
export function proposePatterns(
  kind: FileKind,
  paths: readonly string[],
  codes: readonly string[],
): readonly ProposedPattern[] {
  const groups = new Map<string, (readonly Piece[])[]>();
  const stems = paths.map((path) => foldName(path.replace(/^.*\//, '').replace(/\.[^.]*$/, '')));
  const needsFolders = new Set(stems).size < stems.length;
  for (const path of paths) {
    const pieces = needsFolders ? cut(path, codes) : piecesOf(path, codes);
    if (pieces === null) continue;
    const key = shapeOf(pieces);
    groups.set(key, [...(groups.get(key) ?? []), pieces]);
  }
  const names = [...groups.values()].map((names) => patternOf(kind, names));
  return [...new Set(names)].map((name) => ({ kind, name }));
}

/** The pieces of the name, or of the whole path where the name alone tells no swimmer; null where neither does. */
function piecesOf(path: string, codes: readonly string[]): readonly Piece[] | null {
  const name = path.slice(path.lastIndexOf('/') + 1);
  return cut(name, codes) ?? cut(path, codes);
}

function cut(text: string, codes: readonly string[]): readonly Piece[] | null {
  const longest = codes.toSorted((a, b) => b.length - a.length || (a < b ? -1 : 1));
  const ending = /\.[^./]*$/.exec(text)?.[0] ?? '';
  const pieces: Piece[] = [];
  const body = text.slice(0, text.length - ending.length);
  let isTold = false;
  for (let at = 0; at < body.length;) {
    const code = longest.find((one) => stands(body, at, one));
    if (code !== undefined) {
      pieces.push({ kind: 'who', text: body.slice(at, at + code.length) });
      at += code.length;
      isTold = true;
      continue;
    }
    const run = /^(?:\d+|\p{L}+|[^\p{L}\d])/u.exec(body.slice(at))![0];
    const kind = /^\d/.test(run) ? 'digits' : /^\p{L}/u.test(run) ? 'letters' : 'other';
    pieces.push({ kind, text: run });
    at += run.length;
  }
  return isTold ? [...pieces, { kind: 'other', text: ending }] : null;
}

/** True where a code stands at a place of a text by itself: not within a longer word or number. */
function stands(text: string, at: number, code: string): boolean {
  if (foldName(text.slice(at, at + code.length)) !== foldName(code)) return false;
  const joins = (a: string | undefined, b: string | undefined) =>
    a !== undefined && b !== undefined && (/^\d\d$/.test(a + b) || /^\p{L}\p{L}$/u.test(a + b));
  return !joins(text[at - 1], text[at]) && !joins(text[at + code.length - 1], text[at + code.length]);
}

/** What names of one pattern share: kinds of pieces, and the signs between them. */
function shapeOf(pieces: readonly Piece[]): string {
  return pieces.map(({ kind, text }) => (kind === 'other' ? foldName(text) : `<${kind}>`)).join('');
}

function patternOf(kind: FileKind, names: readonly (readonly Piece[])[]): string {
  const columns = names[0]!.map((_, at) => names.map((pieces) => pieces[at]!));
  const varies = columns.map((column) => new Set(column.map(({ text }) => foldName(text))).size > 1);
  const digits = columns.flatMap((column, at) =>
    column[0]!.kind === 'digits' && isSmall(column) ? [at] : [],
  );
  const attempt = digits.findLast((at) => varies[at]) ?? digits.at(-1);
  let hasCondition = false;
  return columns
    .map((column, at) => {
      const { kind: what, text } = column[0]!;
      if (what === 'who') return '{participant}';
      if (at === attempt) return '{attempt}';
      if (what === 'other' || (!varies[at] && what === 'digits')) return foldName(text);
      if (what === 'digits') return '{any}';
      const words = [...new Set(column.map((piece) => foldName(piece.text)))];
      const isCameraAlone = kind === 'film' && !varies[at] && words[0]!.length === 1 && isLast(names[0]!, at);
      if (isCameraAlone) return '{camera}';
      if (!varies[at]) {
        if (hasCondition || !CONDITIONS.has(words[0]!)) return foldName(text);
        hasCondition = true;
        return '{condition}';
      }
      const start = sharedStart(words);
      if (kind === 'film' && words.every((word) => word.length === start.length + 1))
        return `${start}{camera}`;
      if (hasCondition || words.length > MOST_CONDITIONS) return '{any}';
      hasCondition = true;
      return '{condition}';
    })
    .join('')
    .replace(/(?:\{any\}[^{}/]*)+\{any\}/g, '{any}');
}

function isSmall(column: readonly Piece[]): boolean {
  return column.every(({ text }) => Number(text) >= 1 && Number(text) <= MOST_ATTEMPTS);
}

/** True where nothing but the ending comes behind a piece. */
function isLast(pieces: readonly Piece[], at: number): boolean {
  return at === pieces.length - 2;
}

function sharedStart(words: readonly string[]): string {
  const [first] = words;
  let length = smallest(words.map((word) => word.length));
  while (length > 0 && !words.every((word) => word.startsWith(first!.slice(0, length)))) length--;
  return first!.slice(0, length);
}
