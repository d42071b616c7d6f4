/** The order of a testing day's trials: planned from the protocol, gone on with after changes, with repeats put in. */
import { largest } from '../base/extent.ts';
import type { BoardTrial, DeckPlan } from './deck.ts';
import type { ProtocolContent } from '../protocol/content.ts';
import { type Deck, type DeckFault, fault } from './act.ts';
import { type Outcome, done } from '../base/refusal.ts';
import { consentHolds } from '../day/tables.ts';
import { orderRuns } from '../protocol/order.ts';
import { maySwim } from './plan.ts';
import { restsToday } from './stopped.ts';

/** A trial that is on the board and not swum yet. */
export function plannedTrial(participant: string, attempt: number, condition: string | null): BoardTrial {
  return {
    trial: `${participant}-${attempt}`,
    participant,
    attempt,
    condition,
    state: 'planned',
    beganMs: null,
    endedMs: null,
    worn: null,
    handsSwapped: false,
    repeatOf: null,
    answer: null,
    skippedWhy: '',
    stopped: null,
    clearedBy: null,
  };
}

/** From one swimmer's start to the next one's, s, before the day has shown its own pace (common practice, no source). */
const USUAL_TURN_S = 120;

/** A day of 24 h with a trial every 40 s has fewer; more would only make the screens slow. */
const MOST_TRIALS = 2000;

/** How many trials a protocol plans for each swimmer; a condition that is named twice is one. */
export function attemptsEach({ attempts, conditions }: ProtocolContent): number {
  return attempts * Math.max(1, new Set(conditions).size);
}

/** The number of a swimmer's next trial: attempts are numbered through the day. */
export function nextAttempt(swims: readonly BoardTrial[], participant: string): number {
  const own = swims.filter((swim) => swim.participant === participant).map(({ attempt }) => attempt);
  return Math.max(0, largest(own)) + 1;
}

/**
 * Plans the trials of everybody who may be measured. What was swum, skipped or is a repeat stays; planned trials are made
 * anew, so that a swimmer who comes late or withdraws is provided for.
 */
export function planOrder(
  { plan, board }: Deck,
  protocol: ProtocolContent,
  seed: string,
): Outcome<readonly BoardTrial[], DeckFault> {
  const may = new Set(
    plan.swimmers
      .filter(
        ({ participant, consents }) => consentHolds(consents.measuring) && !restsToday(board, participant),
      )
      .map(({ participant }) => participant),
  );
  if (may.size === 0)
    return fault(
      'Nobody’s consent for measuring is noted yet, so there is nobody to put in an order.',
      'Enter the consents first.',
    );
  if (board.closed !== null) return fault('The day is closed.', 'Open it again under Close the day.');
  const count = may.size * attemptsEach(protocol);
  if (count > MOST_TRIALS)
    return fault(
      `The order would hold ${count} trials; more than ${MOST_TRIALS} are no testing day.`,
      'Take fewer swimmers, attempts or conditions, or make several days of it.',
    );
  const kept = board.trials.filter((swim) => swim.state !== 'planned' || swim.repeatOf !== null);
  const { conditions, attempts, order } = protocol;
  // Who has been on the board keeps the place in the draw: a withdrawal changes nothing for the others.
  const drawn = new Set(board.trials.map(({ participant }) => participant));
  const participants = plan.swimmers
    .map(({ participant }) => participant)
    .filter((participant) => may.has(participant) || drawn.has(participant));
  const swims = [...kept];
  const swum = new Map<string, number>();
  for (const swim of kept)
    if (swim.repeatOf === null) {
      const key = `${swim.participant} ${swim.condition ?? ''}`;
      swum.set(key, (swum.get(key) ?? 0) + 1);
    }
  for (const { participant, condition } of orderRuns({ participants, conditions, attempts, order, seed })
    .runs) {
    if (!may.has(participant)) continue;
    const key = `${participant} ${condition ?? ''}`;
    const left = swum.get(key) ?? 0;
    if (left > 0) swum.set(key, left - 1);
    else swims.push(plannedTrial(participant, nextAttempt(swims, participant), condition));
  }
  return done(swims);
}

/**
 * The place of a repeat in the order, from 0: after as many waiting trials as fill the swimmer's rest at the day's
 * pace, but never after the swimmer's own next trial. Trials of swimmers who withdrew fill no time.
 * @param restS shortest rest between two trials of a swimmer, s
 */
export function placeOfRepeat(
  plan: DeckPlan,
  swims: readonly BoardTrial[],
  swim: BoardTrial,
  restS: number,
): number {
  const waiting = swims.flatMap((one, index) =>
    one.state === 'planned' && maySwim(plan, one.participant) ? [{ one, index }] : [],
  );
  const between = Math.ceil(restS / turnS(swims));
  const own = waiting.findIndex(({ one }) => one.participant === swim.participant);
  const after = Math.min(between, own < 0 ? waiting.length : own);
  return waiting[after]?.index ?? swims.length;
}

/** Time from one start to the next, s: the median of the day so far. */
function turnS(swims: readonly BoardTrial[]): number {
  const begun = swims.flatMap(({ beganMs }) => beganMs ?? []).toSorted((a, b) => a - b);
  const steps = begun.slice(1).map((at, index) => (at - begun[index]!) / 1000);
  const median = steps.toSorted((a, b) => a - b)[Math.floor(steps.length / 2)];
  return median === undefined || median <= 0 ? USUAL_TURN_S : median;
}
