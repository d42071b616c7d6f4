/**
 * The exact chance of tables with the margins of an observed one that are at most (1 + 10⁻⁷) times as probable, as
 * Fisher's test takes it beyond 2 × 2 (Freeman & Halton 1951). Columns are laid one after the other; partial tables
 * that leave the same margins and have the same chance so far go on as one, and those whose every completion falls on
 * one side of the observed chance are settled at once (in the manner of Mehta & Patel 1983).
 */
import { logGamma } from './distributions.ts';

/** Tables up to this much more probable than the observed one count as as probable: rounding must not decide. */
const ROOM = 1e-7;

/** Partial tables beyond which counting is given up. */
const MOST_STEPS = 20_000_000;

const logFactorial = (n: number) => logGamma(n + 1);

const total = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0);

/** Σ ln x! of a number shared out as evenly as whole numbers allow: the least that it can be. */
function evenLogs(amount: number, shares: number): number {
  const each = Math.floor(amount / shares);
  const more = amount - each * shares;
  return (shares - more) * logFactorial(each) + more * logFactorial(each + 1);
}

/** A bound on Σ ln x! of every completion: rows shared evenly over columns, or columns over rows; the larger binds. */
function leastLogs(rows: readonly number[], columns: readonly number[]): number {
  const byRow = total(rows.map((row) => evenLogs(row, columns.length)));
  const byColumn = total(columns.map((column) => evenLogs(column, rows.length)));
  return Math.max(byRow, byColumn);
}

/** A bound from the other side: a row or column that is one cell. */
function mostLogs(rows: readonly number[], columns: readonly number[]): number {
  return Math.min(total(rows.map(logFactorial)), total(columns.map(logFactorial)));
}

/** Partial tables that leave the same rows open: Σ ln x! so far, and how many weigh in (sum of 1/Π x!, scaled). */
type Pasts = Map<number, { readonly logs: number; count: number }>;

/** The chance, a probability; null where there are too many tables to count. */
export function tableChance(cells: readonly (readonly number[])[]): number | null {
  const isWide = cells.length > cells[0]!.length;
  const table = isWide ? cells[0]!.map((_, j) => cells.map((row) => row[j]!)) : cells;
  const rows = table.map(total);
  const columns = table[0]!.map((_, j) => total(table.map((row) => row[j]!))).sort((a, b) => b - a);
  const n = total(rows);
  /** ln of Π row! Π column! / n!, which turns Π 1/x! into a chance. */
  const scale = total(rows.map(logFactorial)) + total(columns.map(logFactorial)) - logFactorial(n);
  const observed = total(table.flat().map(logFactorial));
  /** A table counts where its Σ ln x! is at least this. */
  const bar = observed - Math.log1p(ROOM);
  const steps = { left: MOST_STEPS };
  let open = new Map<string, { rows: readonly number[]; pasts: Pasts }>();
  open.set(rows.join(), { rows, pasts: new Map([[0, { logs: 0, count: 1 }]]) });
  let chance = 0;
  for (let j = 0; j < columns.length; j++) {
    const later = columns.slice(j + 1);
    const rest = total(later);
    const next: typeof open = new Map();
    for (const node of open.values())
      for (const { taken, left } of fillings(node.rows, columns[j]!)) {
        const own = total(taken.map(logFactorial));
        const least = later.length === 0 ? 0 : leastLogs(left, later);
        const most = later.length === 0 ? 0 : mostLogs(left, later);
        // Σ over all completions of Π 1/x! is rest! / (Π left! Π later!).
        const whole = logFactorial(rest) - total(left.map(logFactorial)) - total(later.map(logFactorial));
        for (const past of node.pasts.values()) {
          if (--steps.left < 0) return null;
          const logs = past.logs + own;
          if (logs + least >= bar) chance += past.count * Math.exp(scale + whole - logs);
          else if (logs + most >= bar) keep(next, left, logs, past.count);
        }
      }
    open = next;
  }
  return Math.min(1, chance);
}

/** Rows are told apart by their open amounts alone, so their order is given up. */
function keep(
  next: Map<string, { rows: readonly number[]; pasts: Pasts }>,
  left: readonly number[],
  logs: number,
  count: number,
): void {
  const rows = left.toSorted((a, b) => a - b);
  const key = rows.join();
  const node = next.get(key) ?? { rows, pasts: new Map() as Pasts };
  if (!next.has(key)) next.set(key, node);
  const rounded = Math.round(logs * 1e10);
  const past = node.pasts.get(rounded);
  if (past === undefined) node.pasts.set(rounded, { logs, count });
  else past.count += count;
}

/** Every way to take `amount` from the rows. */
function* fillings(
  rows: readonly number[],
  amount: number,
): Generator<{ readonly taken: readonly number[]; readonly left: readonly number[] }> {
  const room = rows.map((_, i) => total(rows.slice(i + 1)));
  const taken = new Array<number>(rows.length).fill(0);
  function* from(i: number, open: number): Generator<{ taken: number[]; left: number[] }> {
    if (i === rows.length) {
      yield { taken: [...taken], left: rows.map((row, k) => row - taken[k]!) };
      return;
    }
    const [low, high] = [Math.max(0, open - room[i]!), Math.min(rows[i]!, open)];
    for (let x = low; x <= high; x++) {
      taken[i] = x;
      yield* from(i + 1, open - x);
    }
  }
  yield* from(0, amount);
}
