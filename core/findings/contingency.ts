/**
 * Tables of counts: Pearson's χ², and Fisher's exact test with the conditional maximum-likelihood odds ratio and its
 * exact limits (Fisher 1935; Agresti, Categorical Data Analysis, 3.5 and 16.6).
 */
import { chiSquareUpper, logGamma } from './distributions.ts';
import { rootBetween } from './solve.ts';
import { done } from '../base/refusal.ts';
import { tableChance } from './tablechance.ts';
import { noAnswer, term, type Answer } from './term.ts';

/** Counts: rows are groups of the first column, columns groups of the second. */
export interface Counts {
  readonly rows: readonly string[];
  readonly columns: readonly string[];
  readonly cells: readonly (readonly number[])[];
}

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);

/** A sentence where a row or a column is empty, or there are fewer than two of either. */
function emptyIn({ rows, columns, cells }: Counts): string | null {
  if (rows.length < 2 || columns.length < 2)
    return 'A table of counts needs two groups or more in each of both columns.';
  const row = rows.find((_, i) => sum(cells[i]!) === 0);
  const column = columns.find((_, j) => sum(cells.map((own) => own[j]!)) === 0);
  if (row === undefined && column === undefined) return null;
  return `No swimmer is in the group "${row ?? column}".`;
}

/** Pearson's χ² test without correction. */
export function chiSquare(counts: Counts): Answer {
  const fault = emptyIn(counts);
  if (fault !== null) return noAnswer(fault);
  const { cells, rows, columns } = counts;
  const [ofRows, ofColumns] = [cells.map(sum), columns.map((_, j) => sum(cells.map((own) => own[j]!)))];
  const n = sum(ofRows);
  let x = 0;
  let least = Infinity;
  cells.forEach((own, i) =>
    own.forEach((count, j) => {
      const expected = (ofRows[i]! * ofColumns[j]!) / n;
      least = Math.min(least, expected);
      x += (count - expected) ** 2 / expected;
    }),
  );
  const df = (rows.length - 1) * (columns.length - 1);
  const share = x / (n * Math.min(rows.length - 1, columns.length - 1));
  return done([
    term({
      statistic: x,
      df1: df,
      p: chiSquareUpper(x, df),
      effect: { name: 'cramers_v', value: Math.sqrt(share), limits: null },
      notes: least < 5 ? ['expected_below_5'] : [],
    }),
  ]);
}

/** Fisher's exact test. */
export function fisher(counts: Counts, confidence: number): Answer {
  const fault = emptyIn(counts);
  if (fault !== null) return noAnswer(fault);
  const { cells } = counts;
  const p = tableChance(cells);
  if (p === null)
    return noAnswer('There are too many possible tables to count; merge groups, or ask for chi_square.');
  if (cells.length !== 2 || cells[0]!.length !== 2) return done([term({ p })]);
  const odds = oddsOf(cells as readonly (readonly [number, number])[], confidence);
  const isUnbounded = odds.value === null || odds.high === null;
  return done([
    term({
      p,
      effect: { name: 'odds_ratio', value: odds.value, limits: { low: odds.low, high: odds.high } },
      notes: isUnbounded ? ['unbounded'] : [],
    }),
  ]);
}

interface Odds {
  readonly value: number | null;
  readonly low: number;
  readonly high: number | null;
}

/** Conditional odds ratio of a 2 × 2 table with exact limits; null stands for infinite. */
function oddsOf(cells: readonly (readonly [number, number])[], confidence: number): Odds {
  const [[a, b], [c, d]] = cells as unknown as readonly [
    readonly [number, number],
    readonly [number, number],
  ];
  const [m, n, k] = [a + c, b + d, a + b];
  const [least, most] = [Math.max(0, k - n), Math.min(k, m)];
  const logs: number[] = [];
  const choose = (all: number, some: number) =>
    logGamma(all + 1) - logGamma(some + 1) - logGamma(all - some + 1);
  for (let x = least; x <= most; x++) logs.push(choose(m, x) + choose(n, k - x));
  /** Chances of each x at a log odds ratio. */
  const chances = (logOdds: number) => {
    const weights = logs.map((log, i) => log + (least + i) * logOdds);
    const top = weights.reduce((high, weight) => Math.max(high, weight), -Infinity);
    const raw = weights.map((weight) => Math.exp(weight - top));
    const whole = sum(raw);
    return raw.map((weight) => weight / whole);
  };
  const at = a - least;
  const mean = (logOdds: number) => sum(chances(logOdds).map((chance, i) => chance * i)) - at;
  const upTo = (logOdds: number) => sum(chances(logOdds).slice(0, at + 1));
  const from = (logOdds: number) => sum(chances(logOdds).slice(at));
  const tail = (1 - confidence) / 2;
  const solve = (f: (logOdds: number) => number) => Math.exp(rootBetween(f, -FAR_LOG_ODDS, FAR_LOG_ODDS));
  return {
    value: a === least ? 0 : a === most ? null : solve(mean),
    low: a === least ? 0 : solve((logOdds) => from(logOdds) - tail),
    high: a === most ? null : solve((logOdds) => upTo(logOdds) - tail),
  };
}

/** No table of counts has a finite odds ratio beyond e to this power. */
const FAR_LOG_ODDS = 300;
