/** The calls about trials to mark: how they are shared out, and how far each is. */
import { z } from 'zod';
import { code } from '../base/codes.ts';
import type { Shown } from '../base/shown.ts';
import { call, change, dayId } from './call.ts';

export type MarkState = 'unmarked' | 'begun' | 'done';

/** A trial in the queue. */
export interface QueueTrial {
  readonly trial: Shown<string>;
  readonly rater: string;
  readonly state: MarkState;
  /** Who marks it a second time; null where nobody does. */
  readonly second: string | null;
  readonly secondState: MarkState | null;
  /** Whether the second marking was begun as a second opinion. */
  readonly isOpened: boolean;
}

export interface QueueView {
  /** Null where nothing was shared out yet. */
  readonly queue: {
    readonly seed: string;
    readonly sharePct: number;
    readonly raters: readonly string[];
    /** In the drawn order. */
    readonly trials: readonly QueueTrial[];
  } | null;
  /** Codes of the trials that can be shared out: those with a film or a trace that are not excluded. */
  readonly open: readonly Shown<string>[];
  /** The code of the person at work. */
  readonly operator: string;
  /** The next trial for them; null where they have none left. */
  readonly next: Shown<string> | null;
}

export const QUEUE_CALLS = {
  'queue.get': call<{ day: number }, QueueView>(z.strictObject({ day: dayId })),
  /** Shares the open trials out anew. `seen` is the seed that stood on the screen; null where there was none. */
  'queue.draw': change<
    { day: number; raters: readonly string[]; sharePct: number; seed: string; seen: string | null },
    QueueView
  >(
    z.strictObject({
      day: dayId,
      raters: z.array(code).max(50),
      sharePct: z.number(),
      seed: z.string().trim().min(1).max(100),
      seen: z.string().nullable(),
    }),
  ),
} as const;
