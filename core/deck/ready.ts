/** What must be done before the first trial of a day may begin, and what is wise. */
import type { Deck } from './act.ts';
import type { ProtocolContent } from '../protocol/content.ts';
import type { ReadyItem } from './views.ts';
import { consentHolds } from '../day/tables.ts';
import { HANDS, type Hand } from '../base/hand.ts';
import { holdsOf } from './tables.ts';
import type { DeckPlan } from './deck.ts';
import { minorProblem } from './minor.ts';

/** Every item, in the order in which a lab does them. */
export function readyItems({ plan, board }: Deck, protocol: ProtocolContent): readonly ReadyItem[] {
  const needs = (what: ReadyItem['what'], done: boolean, says: string): ReadyItem => ({
    what,
    done,
    needed: true,
    says,
  });
  /** A minor whose consent is not whole leaves it undone, and holds up nobody else. */
  const consent = (done: boolean, says: string): ReadyItem => ({
    what: 'consent',
    done,
    needed: consenting.length === 0,
    says,
  });
  const alone = consentingAlone(plan);
  const consenting = plan.swimmers.filter(
    ({ participant, consents }) => consentHolds(consents.measuring) && !alone.includes(participant),
  );
  const asked = plan.swimmers.filter(({ consents }) => consents.measuring === 'missing').length;
  const holds = { left: holdsOf(plan.setup, 'left'), right: holdsOf(plan.setup, 'right') };
  const elsewhere = HANDS.filter((hand) => holds[hand].ok && holds[hand].value !== null);
  const bare = HANDS.filter((hand) => {
    if (elsewhere.includes(hand)) return false;
    const code = plan.worn[hand];
    return plan.sensors.find(({ sensor }) => sensor === code)?.calibration == null;
  });
  const ticked = new Set(board.ticks.filter(({ list }) => list === 'before').map(({ item }) => item));
  const open = protocol.checklists.before.filter((item) => !ticked.has(item));
  return [
    needs(
      'swimmers',
      plan.swimmers.length > 0,
      plan.swimmers.length > 0 ? `${plan.swimmers.length} swimmers` : 'No swimmer is on the list yet.',
    ),
    consent(
      consenting.length > 0 && alone.length === 0,
      consenting.length > 0
        ? `${consenting.length} of ${plan.swimmers.length} may be measured${asked > 0 ? `; ${asked} without a word of consent` : ''}${alone.length > 0 ? `; under 18 with “given” alone: ${alone.join(', ')}` : ''}`
        : alone.length > 0
          ? `Nobody may be measured yet: ${alone.join(', ')} under 18 with “given” alone, without assent and a guardian’s consent.`
          : 'Nobody’s consent for measuring is noted yet; without it there is no trial.',
    ),
    needs(
      'sensors',
      bare.length === 0,
      bare.length === 0
        ? wornSays(plan, elsewhere)
        : `${bare.length === 2 ? 'Neither hand has a' : `The ${bare[0]!} hand has no`} sensor with a calibration in force.`,
    ),
    needs(
      'checklist',
      open.length === 0,
      open.length === 0
        ? 'The checklist is ticked.'
        : `${open.length} of ${protocol.checklists.before.length} lines of the checklist are open: ${open[0]!}`,
    ),
    needs(
      'order',
      board.trials.length > 0,
      board.trials.length > 0
        ? `${board.trials.length} trials on the board`
        : 'The order of the trials is not made yet.',
    ),
    needs(
      'dry_run',
      board.dryRun !== null,
      board.dryRun !== null
        ? `Dry run confirmed by ${board.dryRun.initials}: ${board.dryRun.says}`
        : 'The dry run is not confirmed yet: tap and flash, both sensors alive, right hand on the right channel.',
    ),
  ];
}

/** What the hands wear, and which of them need no calibration of ours. */
function wornSays({ worn }: DeckPlan, elsewhere: readonly Hand[]): string {
  const on = HANDS.map((hand) => `${worn[hand] ?? 'no sensor of the register'} ${hand}`).join(', ');
  if (elsewhere.length === 0) return `${on}, both with a calibration in force`;
  const other = HANDS.find((hand) => !elsewhere.includes(hand));
  return other === undefined
    ? `${on}, both calibrated elsewhere`
    : `${on}, the ${other} hand with a calibration in force, the other calibrated elsewhere`;
}

/** Swimmers who are surely under 18 on the day and consent alone: assent and a guardian's consent are not noted. */
export function consentingAlone({ setup, swimmers }: DeckPlan): readonly string[] {
  return swimmers.flatMap(({ participant, birthYear, consents }) =>
    consents.measuring === 'given' &&
    birthYear !== null &&
    minorProblem({ year: birthYear, isMinor: null }, setup.date)?.isSure === true
      ? [participant]
      : [],
  );
}

/** What stands in the way of a trial. */
export function missingBeforeFirst(deck: Deck, protocol: ProtocolContent): readonly ReadyItem[] {
  return readyItems(deck, protocol).filter(({ done, needed }) => needed && !done);
}
