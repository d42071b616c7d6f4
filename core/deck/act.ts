import type { DeckPlan, DeckBoard, AssignedSensor } from './deck.ts';
import type { ProtocolContent } from '../protocol/content.ts';
import type { Hand } from '../base/hand.ts';
import { type Outcome, failed } from '../base/refusal.ts';

/** A running testing day: everything a person has said of it so far. */
export interface Deck {
  readonly plan: DeckPlan;
  readonly board: DeckBoard;
}

/** What an act needs to know besides the day. */
export interface ActContext {
  /** Now, ms since 1970-01-01T00:00Z. */
  readonly atMs: number;
  readonly who: string;
  readonly protocol: ProtocolContent;
  /** A sensor of the register with the calibration in force; the sentence why it cannot be worn. */
  readonly sensor: (code: string, hand: Hand) => Outcome<AssignedSensor, DeckFault>;
}

/** Why an act was not done, and what to do. */
export interface DeckFault {
  readonly says: string;
  readonly todo: string;
}

/** The value an act gives, and the step of the history it makes. */
export type ActResult = {
  readonly says: string;
  /** The trial it concerns; null where it concerns none or several. */
  readonly trial: string | null;
} & (
  { readonly part: 'plan'; readonly value: DeckPlan } | { readonly part: 'board'; readonly value: DeckBoard }
);

/** The outcome that an act cannot be done now: why, and what to do. */
export function fault(says: string, todo: string): { readonly ok: false; readonly error: DeckFault } {
  return failed({ says, todo });
}
