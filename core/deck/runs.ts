/** Acts on the runs of a testing day's board: their order, what was swum, what a person made of it. */
import { MAIN_CAMERA } from '../clock/clock.ts';
import type { DeckAct, DeckBoard, DeckRun, AssignedSensor } from './deck.ts';
import { type Outcome, done } from '../base/refusal.ts';
import { type DeckFault, type Deck, type ActContext, type ActResult, fault } from './act.ts';
import { planOrder, plannedRun, nextAttempt, placeOfRepeat } from './order.ts';
import { maySwim, swimmerOf } from './plan.ts';
import { consentingAlone, missingBeforeFirst } from './ready.ts';
import { HANDS } from '../base/hand.ts';

export type RunAct = Extract<DeckAct, { act: 'order.make' | `run.${string}` }>;

/** The board of a day that has just been begun. */
export function firstBoard(): DeckBoard {
  return {
    seed: '',
    runs: [],
    given: [],
    notes: [],
    ticks: [],
    sensors: [],
    sections: [],
    dryRun: null,
    zeros: [],
    checks: [],
    closed: null,
  };
}

/** The runs after a step; `sensors` where it made some known. */
type Step = Outcome<
  {
    readonly runs: readonly DeckRun[];
    readonly says: string;
    readonly sensors?: readonly AssignedSensor[];
  },
  DeckFault
>;

/** The board after an act on the order or on a trial, with the words of the step; or why the act cannot be done. */
export function applyToRuns(deck: Deck, act: RunAct, context: ActContext): Outcome<ActResult, DeckFault> {
  const { board } = deck;
  if (act.act === 'order.make') {
    const runs = planOrder(deck, context.protocol, act.seed);
    if (!runs.ok) return runs;
    const value = { ...board, seed: act.seed, runs: runs.value };
    return done({ part: 'board', value, says: `Order made from the seed ${act.seed}`, trial: null });
  }
  if (act.act === 'run.add' || act.act === 'run.caught') {
    const { conditions } = context.protocol;
    if (act.condition !== null && !conditions.includes(act.condition))
      return fault(
        `The protocol has no condition ${act.condition}.`,
        conditions.length === 0 ? 'Leave the condition out.' : `Choose one of ${conditions.join(', ')}.`,
      );
  }
  if (act.act === 'run.caught') return caught(deck, act, context);
  const found = act.act === 'run.add' ? null : (board.runs.find((run) => run.trial === act.trial) ?? null);
  if (act.act !== 'run.add' && found === null)
    return fault(`There is no trial ${act.trial} on the board.`, 'Look at the board as it is now.');
  const step = act.act === 'run.add' ? added(deck, act) : stepOf(deck, found!, act, context);
  if (!step.ok) return step;
  const trial = act.act === 'run.add' ? null : act.trial;
  const { runs, says, sensors = board.sensors } = step.value;
  return done({ part: 'board', value: { ...board, runs, sensors }, says, trial });
}

type OnRun = Exclude<RunAct, { act: 'order.make' | 'run.add' | 'run.caught' }>;

function stepOf(deck: Deck, run: DeckRun, act: OnRun, context: ActContext): Step {
  const { runs } = deck.board;
  const becomes = (changed: Partial<DeckRun>, says: string): Step =>
    done({ runs: runs.map((one) => (one === run ? { ...run, ...changed } : one)), says });
  switch (act.act) {
    case 'run.begin':
      return begin(deck, run, context, becomes);
    case 'run.end':
      if (run.state !== 'swimming')
        return fault(`${run.trial} is not being swum.`, 'Look at the board as it is now.');
      return becomes({ state: 'swum', endedMs: context.atMs }, `${run.trial} swum`);
    case 'run.swum':
      if (run.state !== 'planned' && run.state !== 'skipped')
        return fault(`${run.trial} is not waiting to be swum.`, 'Look at the board as it is now.');
      return becomes(
        { state: 'swum', worn: run.worn ?? deck.plan.worn, skippedWhy: '' },
        `${run.trial} was swum, though it was not begun on the board`,
      );
    case 'run.skip':
      if (run.state !== 'planned')
        return fault(`${run.trial} is not waiting to be swum.`, 'Look at the board as it is now.');
      return becomes({ state: 'skipped', skippedWhy: act.why }, `${run.trial} skipped${reasonOf(act.why)}`);
    case 'run.unskip':
      return unskip(runs, run);
    case 'run.move':
      return move(runs, run, act.before);
    case 'run.answer':
      return answer(deck, run, act, context);
    case 'run.worn':
      return correctWorn(deck, run, act, context);
    case 'run.hands':
      return becomes(
        { handsSwapped: act.swapped },
        act.swapped
          ? `${run.trial}: the hands wore each other’s sensors`
          : `${run.trial}: each hand wore its own sensor`,
      );
  }
}

type Becomes = (changed: Partial<DeckRun>, says: string) => Step;

function begin(deck: Deck, run: DeckRun, context: ActContext, becomes: Becomes): Step {
  const { plan, board } = deck;
  if (run.state !== 'planned')
    return fault(`${run.trial} is not waiting to be swum.`, 'Look at the board as it is now.');
  const other = board.runs.find((one) => one.state === 'swimming' && maySwim(plan, one.participant));
  if (other !== undefined)
    return fault(
      `${other.trial} is being swum.`,
      `End ${other.trial} first; one swimmer is timed at a time.`,
    );
  if (!maySwim(plan, run.participant))
    return fault(
      `${run.participant} has no consent for measuring; without it there is no trial.`,
      'Enter the consent under Prepare, or skip the trial.',
    );
  if (consentingAlone(plan).includes(run.participant))
    return fault(
      `${run.participant} is under 18 and only “given” is noted for measuring.`,
      'Note assent and a guardian’s consent under Prepare once both are signed, or skip the trial. Local law decides.',
    );
  if (board.closed !== null)
    return fault('The day is closed.', 'Open it again under Close the day, then go on.');
  const missing = missingBeforeFirst(deck, context.protocol)[0];
  if (missing !== undefined) return fault(missing.says, 'Do that under Prepare, then begin.');
  return becomes(
    { state: 'swimming', beganMs: context.atMs, endedMs: null, worn: plan.worn },
    `${run.trial} begun`,
  );
}

function unskip(runs: readonly DeckRun[], run: DeckRun): Step {
  if (run.state !== 'skipped')
    return fault(`${run.trial} was not skipped.`, 'Look at the board as it is now.');
  const others = runs.filter((one) => one !== run);
  const first = others.findIndex((one) => one.state === 'planned');
  const at = first < 0 ? others.length : first;
  const back: DeckRun = { ...run, state: 'planned', skippedWhy: '' };
  return done({ runs: others.toSpliced(at, 0, back), says: `${run.trial} back as the next one` });
}

function move(runs: readonly DeckRun[], run: DeckRun, before: string | null): Step {
  const target = runs.find((one) => one.trial === before);
  if (run.state !== 'planned' || (before !== null && target?.state !== 'planned'))
    return fault('Only trials that wait to be swum can be moved.', 'Look at the board as it is now.');
  if (target === run) return done({ runs, says: `${run.trial} stays where it is` });
  const others = runs.filter((one) => one !== run);
  const at = target === undefined ? others.length : others.indexOf(target);
  const says =
    target === undefined ? `${run.trial} moved to the end` : `${run.trial} moved before ${target.trial}`;
  return done({ runs: others.toSpliced(at, 0, run), says });
}

function added({ plan, board }: Deck, act: Extract<RunAct, { act: 'run.add' }>): Step {
  if (swimmerOf(plan, act.participant) === null)
    return fault(`There is no swimmer ${act.participant} on this day.`, 'Look at the list of swimmers.');
  const run = plannedRun(act.participant, nextAttempt(board.runs, act.participant), act.condition);
  return done({ runs: [...board.runs, run], says: `${run.trial} added to the order` });
}

function answer(
  { plan, board }: Deck,
  run: DeckRun,
  act: Extract<RunAct, { act: 'run.answer' }>,
  context: ActContext,
): Step {
  if (run.state !== 'swum') return fault(`${run.trial} has not been swum.`, 'Answer once it has been swum.');
  if (act.what !== 'keep' && act.reason === '')
    return fault(
      'A trial that does not count needs a reason.',
      'Write in a few words why; what was found on arrival will do.',
    );
  const answered = board.runs.map((one) =>
    one === run ? { ...run, answer: { what: act.what, reason: act.reason } } : one,
  );
  const repeat = answered.find((one) => one.repeatOf === run.trial);
  if (act.what !== 'again') {
    // A repeat that nobody has swum is no longer asked for.
    const runs = repeat?.state === 'planned' ? answered.filter((one) => one !== repeat) : answered;
    return done({
      runs,
      says: act.what === 'keep' ? `${run.trial} kept` : `${run.trial} left out: ${act.reason}`,
    });
  }
  if (repeat !== undefined) return done({ runs: answered, says: `${run.trial} to be swum again` });
  const again: DeckRun = {
    ...plannedRun(run.participant, nextAttempt(answered, run.participant), run.condition),
    repeatOf: run.trial,
  };
  const at = placeOfRepeat(plan, answered, run, context.protocol.restMinS);
  return done({
    runs: answered.toSpliced(at, 0, again),
    says: `${run.trial} to be swum again as ${again.trial}: ${act.reason}`,
  });
}

function correctWorn(
  { plan, board }: Deck,
  run: DeckRun,
  act: Extract<RunAct, { act: 'run.worn' }>,
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
  const from = board.runs.indexOf(run);
  const runs = board.runs.map((one, index) => {
    const meant = one === run || (act.onward && index > from && one.worn !== null);
    return meant ? { ...one, worn: act.worn } : one;
  });
  const words = HANDS.map((hand) => `${act.worn[hand] ?? 'none'} ${hand}`);
  return done({
    runs,
    sensors,
    says: `${run.trial}${act.onward ? ' and after' : ''}: sensors ${words.join(', ')}`,
  });
}

/** A trial that was swum but stood on no board, such as one that only the camera caught. */
function caught(
  { plan, board }: Deck,
  act: Extract<RunAct, { act: 'run.caught' }>,
  context: ActContext,
): Outcome<ActResult, DeckFault> {
  if (!maySwim(plan, act.participant))
    return fault(
      `${act.participant} is no swimmer of this day with consent for measuring.`,
      'Add the swimmer and the consent under Prepare first.',
    );
  const run: DeckRun = {
    ...plannedRun(act.participant, nextAttempt(board.runs, act.participant), act.condition),
    state: 'swum',
    worn: plan.worn,
  };
  const lastSwum = board.runs.findLastIndex((one) => one.state === 'swum' || one.state === 'swimming');
  const runs = board.runs.toSpliced(lastSwum + 1, 0, run);
  const given =
    act.file === null
      ? board.given
      : [
          ...board.given.filter(({ file }) => file !== act.file),
          {
            file: act.file,
            to: { trial: run.trial, as: 'film' as const, camera: act.camera ?? MAIN_CAMERA },
            why: `caught by the camera, found at ${context.who}’s look through the files`,
          },
        ];
  const says = `${run.trial} was swum without standing on the board`;
  return done({ part: 'board', value: { ...board, runs, given }, says, trial: run.trial });
}

function reasonOf(why: string): string {
  return why === '' ? '' : `: ${why}`;
}
