/** Acts on the trials of a testing day's board: their order, what was swum, what a person made of it. */
import { MAIN_CAMERA } from '../clock/clock.ts';
import type { DeckAct, DeckBoard, BoardTrial, AssignedSensor } from './deck.ts';
import { type Outcome, done } from '../base/refusal.ts';
import { type DeckFault, type Deck, type ActContext, type ActResult, fault } from './act.ts';
import { planOrder, plannedTrial, nextAttempt, placeOfRepeat } from './order.ts';
import { maySwim, swimmerOf } from './plan.ts';
import { consentingAlone, missingBeforeFirst } from './ready.ts';
import { HANDS } from '../base/hand.ts';
import { applyStop, latestStop, restsToday, stopFault, type StopAct } from './stopped.ts';

export type TrialAct = Extract<DeckAct, { act: 'order.make' | `trial.${string}` }>;

/** The board of a day that has just been begun. */
export function firstBoard(): DeckBoard {
  return {
    seed: '',
    trials: [],
    given: [],
    notes: [],
    ticks: [],
    sensors: [],
    sections: [],
    resting: [],
    dryRun: null,
    zeros: [],
    checks: [],
    closed: null,
  };
}

/** The trials after a step; `sensors` where it made some known. */
type Step = Outcome<
  {
    readonly trials: readonly BoardTrial[];
    readonly says: string;
    readonly sensors?: readonly AssignedSensor[];
  },
  DeckFault
>;

/** The board after an act on the order or on a trial, with the words of the step; or why the act cannot be done. */
export function applyToTrials(deck: Deck, act: TrialAct, context: ActContext): Outcome<ActResult, DeckFault> {
  const { board } = deck;
  if (act.act === 'order.make') {
    const swims = planOrder(deck, context.protocol, act.seed);
    if (!swims.ok) return swims;
    const value = { ...board, seed: act.seed, trials: swims.value };
    return done({ part: 'board', value, says: `Order made from the seed ${act.seed}`, trial: null });
  }
  if (act.act === 'trial.stop' || act.act === 'trial.rest' || act.act === 'trial.return')
    return applyStop(deck, act, context);
  if (act.act === 'trial.add' || act.act === 'trial.caught') {
    const { conditions } = context.protocol;
    if (act.condition !== null && !conditions.includes(act.condition))
      return fault(
        `The protocol has no condition ${act.condition}.`,
        conditions.length === 0 ? 'Leave the condition out.' : `Choose one of ${conditions.join(', ')}.`,
      );
  }
  if (act.act === 'trial.caught') return caught(deck, act, context);
  const found =
    act.act === 'trial.add' ? null : (board.trials.find((swim) => swim.trial === act.trial) ?? null);
  if (act.act !== 'trial.add' && found === null)
    return fault(`There is no trial ${act.trial} on the board.`, 'Look at the board as it is now.');
  const step = act.act === 'trial.add' ? added(deck, act) : stepOf(deck, found!, act, context);
  if (!step.ok) return step;
  const trial = act.act === 'trial.add' ? null : act.trial;
  const { trials: swims, says, sensors = board.sensors } = step.value;
  return done({ part: 'board', value: { ...board, trials: swims, sensors }, says, trial });
}

type OnTrial = Exclude<TrialAct, StopAct | { act: 'order.make' | 'trial.add' | 'trial.caught' }>;

function stepOf(deck: Deck, swim: BoardTrial, act: OnTrial, context: ActContext): Step {
  const { trials: swims } = deck.board;
  const becomes = (changed: Partial<BoardTrial>, says: string): Step =>
    done({ trials: swims.map((one) => (one === swim ? { ...swim, ...changed } : one)), says });
  switch (act.act) {
    case 'trial.begin':
      return begin(deck, swim, act.clearedBy ?? null, context);
    case 'trial.end':
      if (swim.state !== 'swimming')
        return fault(`${swim.trial} is not being swum.`, 'Look at the board as it is now.');
      return becomes({ state: 'swum', endedMs: context.atMs }, `${swim.trial} swum`);
    case 'trial.swum':
      if (swim.state !== 'planned' && swim.state !== 'skipped')
        return fault(`${swim.trial} is not waiting to be swum.`, 'Look at the board as it is now.');
      return becomes(
        { state: 'swum', worn: swim.worn ?? deck.plan.worn, skippedWhy: '' },
        `${swim.trial} was swum, though it was not begun on the board`,
      );
    case 'trial.skip':
      if (swim.state !== 'planned')
        return fault(`${swim.trial} is not waiting to be swum.`, 'Look at the board as it is now.');
      return becomes({ state: 'skipped', skippedWhy: act.why }, `${swim.trial} skipped${reasonOf(act.why)}`);
    case 'trial.unskip':
      return restsToday(deck.board, swim.participant)
        ? stopFault(deck.board, swim.participant, null)!
        : unskip(swims, swim);
    case 'trial.move':
      return move(swims, swim, act.before);
    case 'trial.answer':
      return answer(deck, swim, act, context);
    case 'trial.worn':
      return correctWorn(deck, swim, act, context);
    case 'trial.hands':
      return becomes(
        { handsSwapped: act.swapped },
        act.swapped
          ? `${swim.trial}: the hands wore each other’s sensors`
          : `${swim.trial}: each hand wore its own sensor`,
      );
  }
}

function begin(deck: Deck, swim: BoardTrial, clearedBy: string | null, context: ActContext): Step {
  const { plan, board } = deck;
  if (swim.state !== 'planned')
    return fault(`${swim.trial} is not waiting to be swum.`, 'Look at the board as it is now.');
  const other = board.trials.find((one) => one.state === 'swimming' && maySwim(plan, one.participant));
  if (other !== undefined)
    return fault(
      `${other.trial} is being swum.`,
      `End ${other.trial} first; one swimmer is timed at a time.`,
    );
  if (!maySwim(plan, swim.participant))
    return fault(
      `${swim.participant} has no consent for measuring; without it there is no trial.`,
      'Enter the consent under Prepare, or skip the trial.',
    );
  if (consentingAlone(plan).includes(swim.participant))
    return fault(
      `${swim.participant} is under 18 and only “given” is noted for measuring.`,
      'Note assent and a guardian’s consent under Prepare once both are signed, or skip the trial. Local law decides.',
    );
  if (board.closed !== null)
    return fault('The day is closed.', 'Open it again under Close the day, then go on.');
  const missing = missingBeforeFirst(deck, context.protocol)[0];
  if (missing !== undefined) return fault(missing.says, 'Do that under Prepare, then begin.');
  const stopped = stopFault(board, swim.participant, clearedBy);
  if (stopped !== null) return stopped;
  const began: BoardTrial = {
    ...swim,
    state: 'swimming',
    beganMs: context.atMs,
    endedMs: null,
    worn: plan.worn,
    clearedBy: latestStop(board, swim.participant) === null ? null : clearedBy,
  };
  const trials = board.trials.map((one) => (one === swim ? began : one));
  const by =
    began.clearedBy === null ? '' : `; that ${swim.participant} swims on was decided by ${clearedBy}`;
  return done({ trials, says: `${swim.trial} begun${by}` });
}

function unskip(swims: readonly BoardTrial[], swim: BoardTrial): Step {
  if (swim.state !== 'skipped')
    return fault(`${swim.trial} was not skipped.`, 'Look at the board as it is now.');
  const others = swims.filter((one) => one !== swim);
  const first = others.findIndex((one) => one.state === 'planned');
  const at = first < 0 ? others.length : first;
  const back: BoardTrial = { ...swim, state: 'planned', skippedWhy: '' };
  return done({ trials: others.toSpliced(at, 0, back), says: `${swim.trial} back as the next one` });
}

function move(swims: readonly BoardTrial[], swim: BoardTrial, before: string | null): Step {
  const target = swims.find((one) => one.trial === before);
  if (swim.state !== 'planned' || (before !== null && target?.state !== 'planned'))
    return fault('Only trials that wait to be swum can be moved.', 'Look at the board as it is now.');
  if (target === swim) return done({ trials: swims, says: `${swim.trial} stays where it is` });
  const others = swims.filter((one) => one !== swim);
  const at = target === undefined ? others.length : others.indexOf(target);
  const says =
    target === undefined ? `${swim.trial} moved to the end` : `${swim.trial} moved before ${target.trial}`;
  return done({ trials: others.toSpliced(at, 0, swim), says });
}

function added({ plan, board }: Deck, act: Extract<TrialAct, { act: 'trial.add' }>): Step {
  if (swimmerOf(plan, act.participant) === null)
    return fault(`There is no swimmer ${act.participant} on this day.`, 'Look at the list of swimmers.');
  if (restsToday(board, act.participant)) return stopFault(board, act.participant, null)!;
  const swim = plannedTrial(act.participant, nextAttempt(board.trials, act.participant), act.condition);
  return done({ trials: [...board.trials, swim], says: `${swim.trial} added to the order` });
}

function answer(
  { plan, board }: Deck,
  swim: BoardTrial,
  act: Extract<TrialAct, { act: 'trial.answer' }>,
  context: ActContext,
): Step {
  if (swim.state !== 'swum')
    return fault(`${swim.trial} has not been swum.`, 'Answer once it has been swum.');
  if (act.what !== 'keep' && act.reason === '')
    return fault(
      'A trial that does not count needs a reason.',
      'Write in a few words why; what was found on arrival will do.',
    );
  const answered = board.trials.map((one) =>
    one === swim ? { ...swim, answer: { what: act.what, reason: act.reason } } : one,
  );
  const repeat = answered.find((one) => one.repeatOf === swim.trial);
  if (act.what !== 'again') {
    // A repeat that nobody has swum is no longer asked for.
    const swims = repeat?.state === 'planned' ? answered.filter((one) => one !== repeat) : answered;
    return done({
      trials: swims,
      says: act.what === 'keep' ? `${swim.trial} accepted` : `${swim.trial} excluded: ${act.reason}`,
    });
  }
  if (repeat !== undefined) return done({ trials: answered, says: `${swim.trial} to be swum again` });
  const again: BoardTrial = {
    ...plannedTrial(swim.participant, nextAttempt(answered, swim.participant), swim.condition),
    repeatOf: swim.trial,
  };
  const at = placeOfRepeat(plan, answered, swim, context.protocol.restMinS);
  return done({
    trials: answered.toSpliced(at, 0, again),
    says: `${swim.trial} to be swum again as ${again.trial}: ${act.reason}`,
  });
}

function correctWorn(
  { plan, board }: Deck,
  swim: BoardTrial,
  act: Extract<TrialAct, { act: 'trial.worn' }>,
  context: ActContext,
): Step {
  const { left, right } = act.worn;
  const sensors = [...board.sensors];
  for (const hand of HANDS) {
    const code = act.worn[hand];
    if (code === null || plan.sensors.some(({ sensor }) => sensor === code)) continue;
    const assigned = context.sensor(code, hand);
    if (!assigned.ok) return assigned;
    sensors.push(assigned.value);
  }
  if (left !== null && left === right)
    return fault(`${left} cannot be on both hands.`, 'Choose another sensor for one of them.');
  const from = board.trials.indexOf(swim);
  const swims = board.trials.map((one, index) => {
    const meant = one === swim || (act.onward && index > from && one.worn !== null);
    return meant ? { ...one, worn: act.worn } : one;
  });
  const words = HANDS.map((hand) => `${act.worn[hand] ?? 'none'} ${hand}`);
  return done({
    trials: swims,
    sensors,
    says: `${swim.trial}${act.onward ? ' and after' : ''}: sensors ${words.join(', ')}`,
  });
}

/** A trial that was swum but stood on no board, such as one that only the camera caught. */
function caught(
  { plan, board }: Deck,
  act: Extract<TrialAct, { act: 'trial.caught' }>,
  context: ActContext,
): Outcome<ActResult, DeckFault> {
  if (!maySwim(plan, act.participant))
    return fault(
      `${act.participant} is no swimmer of this day with consent for measuring.`,
      'Add the swimmer and the consent under Prepare first.',
    );
  const swim: BoardTrial = {
    ...plannedTrial(act.participant, nextAttempt(board.trials, act.participant), act.condition),
    state: 'swum',
    worn: plan.worn,
  };
  const lastSwum = board.trials.findLastIndex((one) => one.state === 'swum' || one.state === 'swimming');
  const swims = board.trials.toSpliced(lastSwum + 1, 0, swim);
  const given =
    act.file === null
      ? board.given
      : [
          ...board.given.filter(({ file }) => file !== act.file),
          {
            file: act.file,
            to: { trial: swim.trial, as: 'film' as const, camera: act.camera ?? MAIN_CAMERA },
            why: `caught by the camera, found at ${context.who}’s look through the files`,
          },
        ];
  const says = `${swim.trial} was swum without standing on the board`;
  return done({ part: 'board', value: { ...board, trials: swims, given }, says, trial: swim.trial });
}

function reasonOf(why: string): string {
  return why === '' ? '' : `: ${why}`;
}
