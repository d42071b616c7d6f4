/** Acts on a running day: the sensors of the register and the moment are joined to what a person did, and it is kept. */
import type { LabError } from '../../../core/base/refusal.ts';
import { holdsOf } from '../../../core/deck/tables.ts';
import { DRY_RUN, type AssignedSensor, type DeckAct, type DeckSetup } from '../../../core/deck/deck.ts';
import { applyAct } from '../../../core/deck/acts.ts';
import { type DeckFault } from '../../../core/deck/act.ts';
import type { Hand } from '../../../core/base/hand.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { DECK, deckOf, requireDeck, type DeckState } from '../kept/deckstate.ts';
import { acceptedOf, readRegister } from '../kept/register.ts';
import { decide } from '../kept/decide.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';

/** Begins a testing day from a kept version of a protocol. */
export function newDay(
  session: Session,
  wish: {
    readonly day: string;
    readonly protocol: string;
    readonly version: number;
    readonly setup: DeckSetup;
  },
): Outcome<{ readonly day: number }, LabError> {
  const { store } = session;
  if (store.protocolVersion(wish.protocol, wish.version) === null)
    return failed({
      code: 'not_found',
      says: `The protocol ${wish.protocol} has no kept version ${wish.version}.`,
      todo: 'Choose one of the kept versions; keep the draft first, where it is the one you mean.',
    });
  if (store.listDays().some(({ day }) => day === wish.day))
    return failed({
      code: 'bad_input',
      says: `There is a day ${wish.day} in the lab folder already.`,
      todo: 'Give the new day another code.',
    });
  const { protocol, version, setup } = wish;
  const begun = store.beginDeckDay(
    {
      day: wish.day,
      date: setup.date,
      venue: setup.venue === '' ? null : setup.venue,
      source: '',
      files: [],
      at: now(),
      who: operatorOf(session),
    },
    { protocol, version, setup },
  );
  return begun.ok ? done({ day: begun.value }) : storeFault(begun.error);
}

/** Does an act and keeps it as one step of the day's history; what is returned is on the disk. */
export function actOn(session: Session, id: number, act: DeckAct): Outcome<null, LabError> {
  const found = requireDeck(session, id);
  if (!found.ok) return found;
  const state = found.value;
  const wrong = fileFault(state, act);
  if (wrong !== null) return failed({ code: 'bad_input', ...wrong });
  const who = operatorOf(session);
  const at = now();
  const applied = applyAct(deckOf(state), act, {
    atMs: Date.parse(at),
    who,
    protocol: state.protocol.content,
    sensor: (code, hand) => {
      // A column that was calibrated elsewhere needs no calibration of ours.
      const holds = holdsOf(state.plan.setup, hand);
      return assignedSensor(session, code, hand, holds.ok && holds.value !== null);
    },
  });
  if (!applied.ok) return failed({ code: 'bad_input', ...applied.error });
  const { part, value, says, trial } = applied.value;
  return decide(session, { day: id, trial, subject: DECK, key: part, after: value, says, at });
}

/**
 * Why an act on a file cannot be done; null where it can. A film is not taken for a trace, nor a trace for a film: the
 * consent to filming counts for films.
 */
function fileFault(state: DeckState, act: DeckAct): DeckFault | null {
  const given =
    act.act === 'file.give'
      ? { file: act.file, as: act.to?.as ?? null }
      : act.act === 'trial.caught' && act.file !== null
        ? { file: act.file, as: 'film' as const }
        : null;
  if (given === null) return null;
  const file = state.files.find(({ id }) => id === given.file);
  if (file === undefined)
    return {
      says: `No file ${given.file} came in for this day.`,
      todo: 'Look at the list of files as it is now.',
    };
  if (given.as !== null && file.state === 'hidden' && act.act === 'file.give' && act.to?.trial === DRY_RUN)
    return {
      says: 'Its swimmer does not consent to it, so it is kept out of sight.',
      todo: 'Note the consent under Prepare first; or set the file aside.',
    };
  if (given.as === null || file.kind === 'other' || file.kind === given.as) return null;
  const kind = (one: 'trace' | 'film') => (one === 'film' ? 'film' : 'trace of the sensors');
  return {
    says: `${file.name} is a ${kind(file.kind)} by its ending, not a ${kind(given.as)}.`,
    todo: `Give it as a ${kind(file.kind)}, or set it aside.`,
  };
}

/**
 * A sensor as the register has it now, with the calibration in force: the newest accepted one.
 * @param needsNone true where its column was calibrated elsewhere
 */
function assignedSensor(
  session: Session,
  code: string,
  hand: Hand,
  needsNone: boolean,
): Outcome<AssignedSensor, DeckFault> {
  const register = readRegister(session);
  const card = register.cards.get(code);
  if (card === undefined)
    return failed({
      says: `The register has no sensor ${code}.`,
      todo: 'Register it under Sensors, and calibrate it.',
    });
  if (card.state !== 'in_service')
    return failed({
      says: `${code} is ${card.state === 'retired' ? 'retired' : 'resting'}, so it is not worn.`,
      todo: 'Choose another sensor, or put it back in service under Sensors.',
    });
  const { rangeKpa, rawUnit, rawMin, rawMax } = card;
  const about = { sensor: code, hand, rangeKpa, rawUnit, rawMin, rawMax };
  const calibration = acceptedOf(register, code).at(-1);
  if (needsNone && calibration === undefined) return done({ ...about, calibration: null });
  if (calibration === undefined || calibration.assessment === null || calibration.verdict === null)
    return failed({
      says: `${code} has no accepted calibration, so its numbers would mean nothing.`,
      todo: 'Calibrate it under Sensors first, or choose another sensor.',
    });
  return done({
    ...about,
    calibration: {
      id: calibration.id,
      at: calibration.at,
      verdict: calibration.verdict.verdict === 'remark' ? 'remark' : 'accepted',
      points: calibration.assessment.points
        .filter(({ setAside }) => setAside === null)
        .map(({ appliedKpa, raw, direction }) => ({ appliedKpa, raw, direction })),
      reference: {
        scale: calibration.assessment.reference.scale,
        zeroKpa: calibration.assessment.reference.sharedKpa,
      },
    },
  });
}
