/** What one kind of attack tried, and what fell. */
import type { Lot } from './lot.ts';

export interface Attack {
  readonly name: string;
  /** The promise that it is made against, as PROMISES.md words it. */
  readonly promise: string;
  /** How often it is tried in a whole run. */
  readonly times: number;
  /** So many at most in one part; parts are tried side by side. Absent: all in one. */
  readonly most?: number;
  /** True where it is not about the disk, so that its files may lie in memory. */
  readonly inMemory?: true;
  /** Why it cannot be tried on this machine; null where it can. */
  readonly missing?: () => string | null;
  readonly run: (order: Order) => Promise<void>;
}

export interface Order {
  readonly times: number;
  readonly lot: Lot;
  /** A folder of its own for this attack. */
  readonly folder: string;
  /** Notes one attempt; `fell` says what fell, null where it held. */
  readonly note: (fell: string | null) => void;
}
