/** Acts on a testing day's plan: how it is set up, who swims, which sensors are worn. */
import type { DeckAct, DeckSetup, DeckPlan, DeckSwimmer } from './deck.ts';
import { consentHolds } from '../day/tables.ts';
import { type Deck, type ActContext, type ActResult, type DeckFault, fault } from './act.ts';
import { type Outcome, done } from '../base/refusal.ts';

export type PlanAct = Extract<
  DeckAct,
  {
    act:
      | 'setup'
      | 'swimmers.add'
      | 'swimmer.change'
      | 'swimmer.remove'
      | 'swimmer.withdraw'
      | 'swimmer.return'
      | 'sensor.wear';
  }
>;

/** The plan of a day that has just been begun. */
export function firstPlan(setup: DeckSetup): DeckPlan {
  return { setup, swimmers: [], sensors: [], worn: { left: null, right: null } };
}

/** True where a swimmer may be measured, and so may swim a trial. */
export function maySwim(plan: DeckPlan, participant: string): boolean {
  const swimmer = swimmerOf(plan, participant);
  return swimmer !== null && consentHolds(swimmer.consents.measuring);
}

/** The swimmer of a code; null where the plan has none. */
export function swimmerOf(plan: DeckPlan, participant: string): DeckSwimmer | null {
  return plan.swimmers.find((swimmer) => swimmer.participant === participant) ?? null;
}

/** The plan after an act on it, with the words of the step; or why the act cannot be done. */
export function applyToPlan(deck: Deck, act: PlanAct, context: ActContext): Outcome<ActResult, DeckFault> {
  const { plan } = deck;
  const gives = (value: DeckPlan, says: string): Outcome<ActResult, DeckFault> =>
    done({ part: 'plan', value, says, trial: null });
  switch (act.act) {
    case 'setup':
      return gives({ ...plan, setup: act.setup }, 'Set-up of the day changed');
    case 'swimmers.add':
      return add(plan, act.swimmers, gives);
    case 'swimmer.change':
      return change(deck, act.participant, act.swimmer, gives);
    case 'swimmer.remove':
      return remove(deck, act.participant, gives);
    case 'swimmer.withdraw':
      return withdraw(plan, act.participant, gives);
    case 'swimmer.return':
      return takeBack(plan, act, gives);
    case 'sensor.wear':
      return wear(deck, act, context, gives);
  }
}

/** Codes that differ in upper and lower case alone are the same: files are told apart by them, and some disks do not. */
function isSame(one: string, other: string): boolean {
  return one.toLowerCase() === other.toLowerCase();
}

function taken(code: string, known: string): { readonly ok: false; readonly error: DeckFault } {
  return fault(
    code === known
      ? `${code} is among the swimmers already.`
      : `${code} differs from ${known} in upper and lower case alone; names of files do not tell them apart.`,
    'Give every swimmer a code of their own.',
  );
}

type Gives = (value: DeckPlan, says: string) => Outcome<ActResult, DeckFault>;

function add(plan: DeckPlan, swimmers: readonly DeckSwimmer[], gives: Gives): Outcome<ActResult, DeckFault> {
  const codes = [...plan.swimmers, ...swimmers].map(({ participant }) => participant);
  const twice = codes.find((code, index) => codes.findIndex((other) => isSame(other, code)) !== index);
  if (twice !== undefined)
    return taken(
      twice,
      codes.find((code) => isSame(code, twice))!,
    );
  const says =
    swimmers.length === 1 ? `Swimmer ${swimmers[0]!.participant} added` : `${swimmers.length} swimmers added`;
  return gives({ ...plan, swimmers: [...plan.swimmers, ...swimmers] }, says);
}

function change(
  { plan, board }: Deck,
  participant: string,
  swimmer: DeckSwimmer,
  gives: Gives,
): Outcome<ActResult, DeckFault> {
  const before = swimmerOf(plan, participant);
  if (before === null) return unknown(participant);
  if (before.consents.measuring === 'withdrawn' && swimmer.consents.measuring !== 'withdrawn')
    return fault(
      'A withdrawal is not taken back in passing.',
      'Take it back as a step of its own, with the reason, where the swimmer says so.',
    );
  if (swimmer.participant !== participant) {
    const other = plan.swimmers.find((one) => one !== before && isSame(one.participant, swimmer.participant));
    if (other !== undefined) return taken(swimmer.participant, other.participant);
    if (board.trials.some((swim) => swim.participant === participant))
      return fault(
        `${participant} is on the board, so the code stays: trials and files carry it.`,
        'Change everything else; or take the order back first.',
      );
    if (board.notes.some((note) => note.participant === participant))
      return fault(
        `${participant} has notes, so the code stays: they carry it.`,
        'Change everything else; or take the notes back first, with undo.',
      );
  }
  // Of a swimmer who withdrew the screen has the consents only: everything else stays as it was.
  const { consents, consentTextVersion } = swimmer;
  const after =
    before.consents.measuring === 'withdrawn' ? { ...before, consents, consentTextVersion } : swimmer;
  const swimmers = plan.swimmers.map((one) => (one === before ? after : one));
  return gives({ ...plan, swimmers }, `Swimmer ${participant} changed`);
}

function remove({ plan, board }: Deck, participant: string, gives: Gives): Outcome<ActResult, DeckFault> {
  if (swimmerOf(plan, participant) === null) return unknown(participant);
  if (board.trials.some((swim) => swim.participant === participant && swim.state !== 'planned'))
    return fault(
      `${participant} has swum already; what was measured stays with the day.`,
      'Where the swimmer no longer wants to take part, withdraw them: that hides all their data.',
    );
  const swimmers = plan.swimmers.filter((one) => one.participant !== participant);
  return gives({ ...plan, swimmers }, `Swimmer ${participant} removed`);
}

function withdraw(plan: DeckPlan, participant: string, gives: Gives): Outcome<ActResult, DeckFault> {
  const swimmer = swimmerOf(plan, participant);
  if (swimmer === null) return unknown(participant);
  if (swimmer.consents.measuring === 'withdrawn')
    return fault(`${participant} has withdrawn already.`, 'There is nothing more to do.');
  const swimmers = plan.swimmers.map((one) =>
    one === swimmer ? { ...one, consents: { ...one.consents, measuring: 'withdrawn' as const } } : one,
  );
  // The code stays out of the history: it is shown and printed.
  return gives({ ...plan, swimmers }, 'A swimmer withdrew; their data is hidden');
}

function takeBack(
  plan: DeckPlan,
  { participant, consents, reason }: Extract<PlanAct, { act: 'swimmer.return' }>,
  gives: Gives,
): Outcome<ActResult, DeckFault> {
  const swimmer = swimmerOf(plan, participant);
  if (swimmer === null) return unknown(participant);
  if (swimmer.consents.measuring !== 'withdrawn')
    return fault(`${participant} has not withdrawn.`, 'There is nothing to take back.');
  const swimmers = plan.swimmers.map((one) => (one === swimmer ? { ...one, consents } : one));
  return gives({ ...plan, swimmers }, `The withdrawal of ${participant} taken back: ${reason}`);
}

function wear(
  { plan, board }: Deck,
  { hand, sensor }: Extract<PlanAct, { act: 'sensor.wear' }>,
  context: ActContext,
  gives: Gives,
): Outcome<ActResult, DeckFault> {
  const worn = { ...plan.worn, [hand]: sensor };
  if (sensor === null) return gives({ ...plan, worn }, `No sensor on the ${hand} hand`);
  const other = hand === 'left' ? 'right' : 'left';
  if (plan.worn[other] === sensor)
    return fault(`${sensor} is on the ${other} hand.`, 'Take it off there first, or choose another sensor.');
  const assigned = context.sensor(sensor, hand);
  if (!assigned.ok) return assigned;
  // A sensor that trials were measured with keeps the calibration it had then.
  const used = board.trials.some((swim) => swim.worn?.left === sensor || swim.worn?.right === sensor);
  const others = plan.sensors.filter((one) => one.sensor !== sensor);
  const sensors = used ? plan.sensors : [...others, assigned.value];
  return gives({ ...plan, sensors, worn }, `${sensor} on the ${hand} hand`);
}

function unknown(participant: string): { readonly ok: false; readonly error: DeckFault } {
  return fault(`There is no swimmer ${participant} on this day.`, 'Look at the list of swimmers.');
}
