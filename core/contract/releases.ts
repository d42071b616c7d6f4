/** The calls of the contract for releases, and what they give to show. */
import { z } from 'zod';
import { plainCode } from '../base/codes.ts';
import type { Shown } from '../base/shown.ts';
import type { ExportWish } from '../dataset/release.ts';
import type { CellChange, RowChange, TableCount } from '../dataset/releasediff.ts';
import { call, dayId, path } from './call.ts';
import type { JobView } from './views.ts';

/** A named release of chosen days: immutable, known by its hash. */
export interface ReleaseView {
  readonly name: string;
  /** SHA-256 of the list of its contents. */
  readonly sha256: string;
  /** ISO 8601 instant at which it was frozen, and by whom. */
  readonly at: string;
  readonly who: string;
  /** Of the program that computed it. */
  readonly version: string;
  readonly days: readonly {
    readonly day: string;
    readonly date: string | null;
    readonly swimmers: number;
    readonly trials: number;
  }[];
  /** Different swimmers over all days. */
  readonly swimmers: number;
  readonly trials: number;
}

/** A swimmer of what would be written. */
export interface SwimmerTold {
  readonly participant: Shown<string>;
  readonly days: number;
  readonly trials: number;
}

interface Told {
  readonly swimmers: readonly SwimmerTold[];
  /** For consent; counts only. */
  readonly leftOut: { readonly swimmers: number; readonly trials: number };
}

/** What a freeze would hold. */
export interface FreezePreview extends Told {
  readonly days: readonly { readonly id: number; readonly day: string; readonly trials: number }[];
  /** Why it cannot be frozen so; null where it can. */
  readonly fault: string | null;
}

/** What an export would write, and about whom. */
export interface ExportPreview extends Told {
  /** Files by kind: where they lie in OUT, what they are, how many there are, and rows where they are tables. */
  readonly files: readonly {
    readonly path: string;
    readonly what: string;
    readonly count: number;
    readonly rows: number | null;
  }[];
  /** What goes along and what stays, a sentence each. */
  readonly says: readonly string[];
}

/** A row that differs, as it may be shown. */
export interface RowChangeView extends Omit<RowChange, 'row' | 'cells'> {
  readonly row: Shown<string>;
  readonly cells: readonly (Omit<CellChange, 'before' | 'after'> & {
    readonly before: Shown<string>;
    readonly after: Shown<string>;
  })[];
}

export interface ReleaseDiff {
  readonly from: string;
  readonly to: string;
  readonly says: string;
  readonly daysAdded: readonly string[];
  readonly daysRemoved: readonly string[];
  readonly tables: readonly TableCount[];
  /** Rows that differ; a screen is given the first thousand. */
  readonly rows: readonly RowChangeView[];
  /** How many more there are. */
  readonly more: number;
}

const exportWish: z.ZodType<ExportWish> = z.strictObject({
  samples: z.boolean(),
  parquet: z.boolean(),
  curves: z.boolean(),
  matlab: z.boolean(),
  edf: z.boolean(),
  coarseBirthYear: z.boolean(),
  notes: z.boolean(),
});

/** Days by their id; null for all. */
const days = z.array(dayId).min(1).nullable();

export const RELEASE_CALLS = {
  /** Oldest first. */
  'releases.list': call<Record<string, never>, readonly ReleaseView[]>(z.strictObject({})),
  /** What a freeze of these days would hold; nothing is kept. */
  'releases.tryFreeze': call<{ name: string; days: readonly number[] | null }, FreezePreview>(
    z.strictObject({ name: z.string().max(200), days }),
  ),
  /** Freezes days as they stand under a name; follow it with `jobs.get`. */
  'releases.freeze': call<{ name: string; days: readonly number[] | null }, JobView>(
    z.strictObject({ name: plainCode, days }),
  ),
  /** What an export would write, and about whom; nothing is written. */
  'releases.tryExport': call<{ name: string; wish: ExportWish }, ExportPreview>(
    z.strictObject({ name: plainCode, wish: exportWish }),
  ),
  /** Writes a release into a new or empty folder; its parent lies in an allowed place. */
  'releases.export': call<{ name: string; path: string; wish: ExportWish }, JobView>(
    z.strictObject({ name: plainCode, path, wish: exportWish }),
  ),
  'releases.diff': call<{ from: string; to: string }, ReleaseDiff>(
    z.strictObject({ from: plainCode, to: plainCode }),
  ),
} as const;
