/**
 * What a person does to a running testing day, as the new value of its plan or its board. Pure: the moment, the person
 * and what the lab knows come in with the act. An act that cannot be done comes back as a sentence; nothing is changed
 * then. One act is one step of the day's history.
 */
import type { DeckAct } from './deck.ts';
import { type PlanAct, applyToPlan } from './plan.ts';
import { type TrialAct, applyToTrials } from './trials.ts';
import type { Deck, ActContext, ActResult, DeckFault } from './act.ts';
import type { Outcome } from '../base/refusal.ts';
import { applyRecord, type RecordAct } from './records.ts';

const PLAN_ACTS: ReadonlySet<DeckAct['act']> = new Set<PlanAct['act']>([
  'setup',
  'swimmers.add',
  'swimmer.change',
  'swimmer.remove',
  'swimmer.withdraw',
  'swimmer.return',
  'sensor.wear',
]);

const RUN_ACTS: ReadonlySet<DeckAct['act']> = new Set<TrialAct['act']>([
  'order.make',
  'trial.add',
  'trial.begin',
  'trial.end',
  'trial.stop',
  'trial.rest',
  'trial.return',
  'trial.swum',
  'trial.skip',
  'trial.unskip',
  'trial.move',
  'trial.answer',
  'trial.worn',
  'trial.hands',
  'trial.caught',
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
  if (RUN_ACTS.has(act.act)) return applyToTrials(deck, act as TrialAct, context);
  return applyRecord(deck, act as RecordAct, context);
}
