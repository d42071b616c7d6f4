/**
 * Patterns of file names: text and fields in braces, such as `{participant}_{attempt}_{camera}.mp4`. A name may be cut
 * in several ways; every way that could be meant is found, none is preferred. Upper and lower case are the same, and so
 * are letters written as one character or as two (Unicode Standard Annex 15). Contract: formats.md section 5.
 */
import { done, failed, type Outcome } from '../base/refusal.ts';
import { isCode } from '../base/table.ts';

/** What a name may tell; `any` is passed over. */
export const NAME_FIELDS = ['participant', 'attempt', 'condition', 'camera', 'trial', 'any'] as const;

type NameField = (typeof NAME_FIELDS)[number];

type Part =
  { readonly kind: 'text'; readonly text: string } | { readonly kind: 'field'; readonly field: NameField };

export interface NamePattern {
  readonly text: string;
  readonly parts: readonly Part[];
  /** True where the pattern is held against the whole path, false where against the file's name. */
  readonly onPath: boolean;
}

/** One way to cut a name: what stands in each field, as written; a field that the pattern lacks is absent. */
export interface NameWay {
  readonly participant?: string;
  /** From 1. */
  readonly attempt?: number;
  readonly condition?: string;
  readonly camera?: string;
  readonly trial?: string;
}

/** Fields of one pattern, and ways of one name that are looked at: far more than a name means. */
const MOST_FIELDS = 12;
const MOST_WAYS = 20_000;

/** A text as names are compared: one spelling of letters, small. */
export function foldName(text: string): string {
  return text.normalize('NFC').toLowerCase();
}

/** Reads a pattern; the failure is the end of a sentence that begins with it. */
export function parsePattern(text: string): Outcome<NamePattern, string> {
  const parts: Part[] = [];
  for (const [whole, field, plain] of text.normalize('NFC').matchAll(/\{([^{}]*)\}|([^{}]+|[{}])/g)) {
    if (plain === '{' || plain === '}') return failed(`has a brace without its other half`);
    if (plain !== undefined) parts.push({ kind: 'text', text: plain });
    else {
      const known = NAME_FIELDS.find((name) => name === field!.toLowerCase());
      if (known === undefined)
        return failed(`has ${whole}; a pattern knows ${NAME_FIELDS.map((name) => `{${name}}`).join(', ')}`);
      parts.push({ kind: 'field', field: known });
    }
  }
  const fields = parts.flatMap((part) => (part.kind === 'field' ? [part.field] : []));
  if (fields.length > MOST_FIELDS)
    return failed(`has ${fields.length} fields, and at most ${MOST_FIELDS} are read`);
  if (!fields.includes('participant') && !fields.includes('trial'))
    return failed('has neither {participant} nor {trial}, so that no file would tell whose it is');
  return done({ text, parts, onPath: text.includes('/') });
}

/** A way as far as the name is cut: what is told, and where the rest begins. */
interface Cut {
  readonly at: number;
  readonly told: Readonly<Partial<Record<NameField, string>>>;
}

/**
 * Every way to cut the name of a file in which `isParticipant` holds for the participant, each once; null where there
 * are too many to look at.
 * @param path below the folder, with forward slashes
 */
export function waysOf(
  pattern: NamePattern,
  path: string,
  isParticipant: (text: string) => boolean,
): readonly NameWay[] | null {
  const plain = path.normalize('NFC');
  const name = pattern.onPath ? plain : plain.slice(plain.lastIndexOf('/') + 1);
  let cuts = new Map<string, Cut>([['', { at: 0, told: {} }]]);
  for (const part of pattern.parts) {
    const next = new Map<string, Cut>();
    for (const cut of cuts.values()) {
      if (part.kind === 'text') {
        const end = cut.at + part.text.length;
        if (foldName(name.slice(cut.at, end)) === foldName(part.text)) add(next, { ...cut, at: end });
      } else for (const longer of fieldCuts(part.field, name, cut, isParticipant)) add(next, longer);
      if (next.size > MOST_WAYS) return null;
    }
    cuts = next;
  }
  const ways = new Map<string, NameWay>();
  for (const { at, told } of cuts.values()) {
    if (at !== name.length) continue;
    const { any: _, attempt, ...texts } = told;
    const way = attempt === undefined ? texts : { ...texts, attempt: Number(attempt) };
    ways.set(keyOf(way), way);
  }
  return [...ways.values()];
}

function add(cuts: Map<string, Cut>, cut: Cut): void {
  cuts.set(`${cut.at} ${keyOf(cut.told)}`, cut);
}

function keyOf(told: NameWay | Cut['told']): string {
  return NAME_FIELDS.map((field) =>
    foldName(String((told as Readonly<Record<string, unknown>>)[field] ?? '')),
  ).join('/');
}

/** The ways in which a name goes on with a field. */
function* fieldCuts(
  field: NameField,
  name: string,
  { at, told }: Cut,
  isParticipant: (text: string) => boolean,
): Generator<Cut> {
  if (field === 'any') {
    for (let end = at; end <= name.length; end++) {
      yield { at: end, told };
      if (name[end] === '/') return;
    }
    return;
  }
  const before = told[field];
  for (let end = at + 1; end <= name.length; end++) {
    const text = name.slice(at, end);
    if (!couldBe(field, text)) return;
    if (field === 'participant' && !isParticipant(text)) continue;
    const value = field === 'attempt' ? String(Number(text)) : text;
    if (field === 'attempt' && value === '0') continue;
    if (before === undefined) yield { at: end, told: { ...told, [field]: value } };
    else if (foldName(before) === foldName(value)) yield { at: end, told };
  }
}

/** True where a field may hold the text; what does not hold is not mended by more of the name. */
function couldBe(field: NameField, text: string): boolean {
  return field === 'attempt' ? /^\d{1,9}$/.test(text) : isCode(text);
}
