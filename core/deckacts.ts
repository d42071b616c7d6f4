/**
 * What a person does to a running testing day, as the new value of its plan or its board. Pure: the moment, the person
 * and what the lab knows come in with the act. An act that cannot be done comes back as a sentence; nothing is changed
 * then. One act is one step of the day's history.
 */
import type { AssignedSensor, DeckAct, DeckBoard, DeckPlan } from './deck.ts';
import type { Hand } from './day.ts';
import { applyToPlan, type PlanAct } from './deckplan.ts';
import { applyRecord, type RecordAct } from './deckrecords.ts';
import { applyToRuns, type RunAct } from './deckruns.ts';
import type { ProtocolContent } from './protocolcontent.ts';
import { failed, type Outcome } from './refusal.ts';

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

export function fault(says: string, todo: string): { readonly ok: false; readonly error: DeckFault } {
  return failed({ says, todo });
}

const PLAN_ACTS: ReadonlySet<DeckAct['act']> = new Set<PlanAct['act']>([
  'setup',
  'swimmers.add',
  'swimmer.change',
  'swimmer.remove',
  'swimmer.withdraw',
  'sensor.wear',
]);

const RUN_ACTS: ReadonlySet<DeckAct['act']> = new Set<RunAct['act']>([
  'order.make',
  'run.add',
  'run.begin',
  'run.end',
  'run.swum',
  'run.skip',
  'run.unskip',
  'run.move',
  'run.answer',
  'run.worn',
  'run.hands',
  'run.caught',
]);

/** The day with every sensor that was worn in its plan, also those that trials turned out to have been swum with. */
export function withAllSensors({ plan, board }: Deck): Deck {
  const known = new Set(plan.sensors.map(({ sensor }) => sensor));
  const others = board.sensors.filter(({ sensor }) => !known.has(sensor));
  return others.length === 0
    ? { plan, board }
    : { plan: { ...plan, sensors: [...plan.sensors, ...others] }, board };
}

/** Does one act; the day as it was stays untouched. */
export function applyAct(day: Deck, act: DeckAct, context: ActContext): Outcome<ActResult, DeckFault> {
  const deck = withAllSensors(day);
  if (PLAN_ACTS.has(act.act)) return applyToPlan(deck, act as PlanAct, context);
  if (RUN_ACTS.has(act.act)) return applyToRuns(deck, act as RunAct, context);
  return applyRecord(deck, act as RecordAct, context);
}
