/**
 * The order in which trials are swum. Runs go in rounds: everybody swims once, then everybody once more, so that a
 * swimmer rests while the others swim. The swimmers keep one order through all rounds, so that each rests one whole
 * round. With conditions, a block of rounds holds each condition once; each further attempt is one more block, so that
 * no condition is swum on fresher arms than another by plan.
 *
 * - `listed`: swimmers as listed, each with the conditions as listed.
 * - `random`: swimmers in an order drawn from the seed; each swimmer's conditions shuffled anew in each block
 *   (complete randomised blocks).
 * - `balanced`: swimmers in an order drawn from the seed; conditions by a Williams design, balanced over places in the
 *   block and over first-order carry-over. The first swimmers as listed take the design's sequences in an order drawn
 *   from the seed, the next ones in an order of their own, and so on; from block to block a swimmer goes on to the
 *   following sequence. The step from one block to the next stands outside the balance.
 *
 * Everything is drawn by `blindOrder`: the same seed and roster give the same order on every machine. A swimmer's place
 * and shuffled conditions depend on the seed and that swimmer's code alone, sequences on the place in the roster, so
 * that one who is added at its end changes nothing for the others.
 */
import type { ProtocolContent } from './content.ts';
import { blindOrder } from '../base/drawnorder.ts';

export interface OrderRequest {
  /** Codes, as listed in the roster. */
  readonly participants: readonly string[];
  /** Codes; one that is named twice is swum once per block. Empty where there is one condition only. */
  readonly conditions: readonly string[];
  /** Of each swimmer in each condition. */
  readonly attempts: number;
  readonly order: ProtocolContent['order'];
  readonly seed: string;
}

export interface OrderedRun {
  readonly participant: string;
  readonly condition: string | null;
  /** Within the condition, from 1. */
  readonly attempt: number;
  /** From 1. */
  readonly round: number;
}

/**
 * Puts a day's runs into order.
 * @returns the runs as they are to be swum, and sentences about what the order does not achieve
 * Throws a RangeError where a participant is given twice: that is a fault of the caller.
 */
export function orderRuns({ participants, conditions, attempts, order, seed }: OrderRequest): {
  readonly runs: readonly OrderedRun[];
  readonly says: readonly string[];
} {
  if (new Set(participants).size !== participants.length)
    throw new RangeError('A participant is given twice.');
  const each = [...new Set(conditions)];
  const swimmers = order === 'listed' ? participants : drawnOrder(participants, seed);
  const sequenceOf = sequences(participants, each, order, seed);
  const runs: OrderedRun[] = [];
  const perBlock = Math.max(1, each.length);
  for (let round = 0; round < perBlock * attempts; round++) {
    const block = Math.floor(round / perBlock);
    for (const participant of swimmers) {
      const condition = sequenceOf(participant, block)[round % perBlock] ?? null;
      runs.push({ participant, condition, attempt: block + 1, round: round + 1 });
    }
  }
  const note = order === 'balanced' ? balanceNote(participants.length, each.length) : null;
  return { runs, says: note === null ? [] : [note] };
}

/** Each swimmer's conditions in a block, in the order they are swum. */
function sequences(
  participants: readonly string[],
  conditions: readonly string[],
  order: ProtocolContent['order'],
  seed: string,
): (participant: string, block: number) => readonly string[] {
  if (order === 'listed' || conditions.length < 2) return () => conditions;
  if (order === 'random')
    return (participant, block) => shuffled(conditions, `${seed}/conditions/${participant}/${block}`);
  const square = williamsSquare(conditions.length);
  const letters = shuffled(conditions, `${seed}/letters`);
  const places = new Map(participants.map((participant, place) => [participant, place]));
  const drawn = Array.from({ length: Math.ceil(participants.length / square.length) }, (_, group) =>
    drawnRows(square, conditions.length, `${seed}/rows/${group}`),
  );
  return (participant, block) => {
    const place = places.get(participant)!;
    const rows = drawn[Math.floor(place / square.length)]!;
    return rows[(place + block) % rows.length]!.map((letter) => letters[letter]!);
  };
}

/** Rows of a design in a drawn order, one square after the other: a part of it is balanced over places soonest. */
function drawnRows(square: readonly Row[], size: number, seed: string): readonly Row[] {
  const starts = Array.from({ length: square.length / size }, (_, k) => String(k));
  return shuffled(starts, `${seed}/squares`).flatMap((start) => {
    const rows = square.slice(Number(start) * size, (Number(start) + 1) * size);
    return shuffled(
      rows.map((_, k) => String(k)),
      `${seed}/${start}`,
    ).map((k) => rows[Number(k)]!);
  });
}

function shuffled(items: readonly string[], seed: string): string[] {
  return blindOrder(items, seed).map(({ item }) => item);
}

const DIGITS = [...'0123456789abcdef'];

/** Swimmers in a drawn order: each draws a number for itself, 1 of 16! ≈ 2·10¹³, and they swim from the smallest. */
function drawnOrder(participants: readonly string[], seed: string): readonly string[] {
  const draw = new Map(
    participants.map((code) => [code, shuffled(DIGITS, `${seed}/swimmer/${code}`).join('') + code]),
  );
  return participants.toSorted((a, b) => (draw.get(a)! < draw.get(b)! ? -1 : 1));
}

type Row = readonly number[];

/**
 * Williams design for n treatments 0 … n − 1 (E. J. Williams 1949, Aust J Sci Res A 2:149–168): a row is a sequence, a
 * column a period. First row 0, 1, n − 1, 2, n − 2, …; the following rows add 1 modulo n; where n is odd, a second
 * square mirrors the first. Each treatment stands once in each row, equally often in each column, and follows each other
 * treatment once (n even) or twice (n odd).
 * @param size number of treatments n, from 1
 * @returns n rows where n is even or 1, else 2n
 */
export function williamsSquare(size: number): readonly Row[] {
  const first = Array.from({ length: size }, (_, k) => (k % 2 === 1 ? (k + 1) / 2 : (size - k / 2) % size));
  const rows = first.map((_, add) => first.map((treatment) => (treatment + add) % size));
  return size % 2 === 0 || size === 1 ? rows : [...rows, ...rows.map((row) => row.toReversed())];
}

/** What a balanced order does not achieve with so many swimmers and conditions; null where it is balanced. */
export function balanceNote(swimmers: number, conditions: number): string | null {
  if (conditions < 2)
    return 'There are fewer than two conditions, so there is nothing to balance: only the order of the swimmers is drawn.';
  const rows = williamsSquare(conditions).length;
  const over = swimmers % rows;
  if (over === 0) return null;
  return `${conditions} conditions take ${rows} sequences, and ${swimmers} swimmers are no multiple of ${rows}: the balance is incomplete. ${rows - over} more ${rows - over === 1 ? 'swimmer' : 'swimmers'} would complete it.`;
}
