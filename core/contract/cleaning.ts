/** What the screens of findings are given to show, and the calls that ask for it. */
import { z } from 'zod';
import { code } from '../base/codes.ts';
import type { Shown } from '../base/shown.ts';
import type { GridCells } from '../findings/clean/columns.ts';
import { call, dayId } from './call.ts';
import type { TrialStatus } from './views.ts';

/** A day as the findings list it, known without reading it. */
export interface FindingsDayName {
  readonly id: number;
  readonly day: string;
  readonly date: string | null;
  readonly venue: string | null;
}

/** A trial in the grid. */
export interface FindingsTrial {
  readonly day: number;
  readonly trial: string;
  readonly participant: Shown<string>;
  readonly status: TrialStatus;
  /** Who decided that and when (ISO 8601); null where trials.csv says it. */
  readonly decided: { readonly who: string; readonly at: string } | null;
  /** By the columns of `core/findings/clean/columns.ts`. */
  readonly cells: GridCells;
}

/** All trials of one day. */
export interface FindingsDay {
  readonly id: number;
  readonly day: string;
  /** Every swimmer who consents, with trials or without. */
  readonly swimmers: readonly Shown<string>[];
  /** How many attempts the protocol plans; null where it does not say. */
  readonly attempts: number | null;
  readonly trials: readonly FindingsTrial[];
  /** Left out because consent is withdrawn or missing: counts only. */
  readonly leftOut: { readonly swimmers: number; readonly trials: number };
}

/** One act on one or many trials, of one day or several. */
export interface CleaningAct {
  readonly act: number;
  /** One sentence, with the reason. */
  readonly says: Shown<string>;
  readonly who: string;
  /** ISO 8601 instant. */
  readonly at: string;
  readonly undone: boolean;
  readonly days: readonly number[];
}

const nothing = z.strictObject({});
const status = z.enum(['recorded', 'accepted', 'excluded']);
const reason = z.string().trim().max(500);

/** One trial of an act, with the status that was on the screen. */
export interface TrialSeen {
  readonly day: number;
  readonly trial: string;
  readonly seen: TrialStatus;
}

export const CLEANING_CALLS = {
  'findings.days': call<Record<string, never>, readonly FindingsDayName[]>(nothing),
  /** All trials of a day with what trials.csv says of them. */
  'findings.day': call<{ day: number }, FindingsDay>(z.strictObject({ day: dayId })),
  /**
   * Accepts, excludes (with a reason) or takes back to recorded one or many trials, as one act. Where any of them has
   * changed since it was on the screen nothing is decided.
   */
  'findings.decide': call<{ trials: readonly TrialSeen[]; status: TrialStatus; reason: string }, CleaningAct>(
    z.strictObject({
      trials: z
        .array(z.strictObject({ day: dayId, trial: code, seen: status }))
        .min(1)
        .max(10_000),
      status,
      reason,
    }),
  ),
  /** Every act on trials that was made here, latest first, undone ones too. */
  'findings.acts': call<Record<string, never>, readonly CleaningAct[]>(nothing),
  'findings.undo': call<{ act: number }, CleaningAct>(z.strictObject({ act: z.number().int().positive() })),
  'findings.redo': call<{ act: number }, CleaningAct>(z.strictObject({ act: z.number().int().positive() })),
  /** The lab's own reasons for excluding a trial. */
  'reasons.list': call<Record<string, never>, readonly string[]>(nothing),
  'reasons.save': call<{ reasons: readonly string[] }, readonly string[]>(
    z.strictObject({ reasons: z.array(reason.min(1)).max(50) }),
  ),
} as const;
