/**
 * A day as the lab folder keeps it: its tables, its files by their hash, and its trials' results. A result is computed
 * once and again only when something it came from changed.
 */
import { statSync } from 'node:fs';
import type { LabError } from '../../../core/base/refusal.ts';
import { type Daybook, type TrialEntry } from '../../../core/day/book.ts';
import { overlayDay } from '../../../core/day/overlay.ts';
import { deckBook } from '../../../core/deck/tables.ts';
import { overlayMarking } from '../../../core/marking/overlay.ts';
import type { CalibrationRule } from '../../../core/sensor/choice.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { insidePath, type DaySource } from '../../files/source.ts';
import type { DayRow } from '../../store/days.ts';
import { chooseFor, type SensorChoice } from './choice.ts';
import { decidedOn } from './decided.ts';
import { deckOf, deckStateOf, pathsOf, type DeckState } from './deckstate.ts';
import { findRaw, recordingsOf, type NamedContent } from './evidence.ts';
import { markingDecidedOn } from './markdecisions.ts';
import { rememberDay } from './memory.ts';
import { type UsedFile } from './process.ts';
import { readRegister } from './register.ts';
import { type Session } from './session.ts';

export interface KeptDay {
  readonly row: DayRow;
  readonly source: DaySource;
  /** The day as its folder gives it. */
  readonly own: Daybook;
  /** The day with what people decided laid over it: what is shown and computed. */
  readonly book: Daybook;
  readonly rule: CalibrationRule;
  /** SHA-256 of each file of the day, by its path inside the day. */
  readonly hashes: ReadonlyMap<string, string>;
  /** Recordings of the bench behind the calibration that each sensor uses; none by the day's own calibrations. */
  readonly recordings: ReadonlyMap<string, readonly NamedContent[]>;
  /** True where the day is run here. */
  readonly onDeck: boolean;
  /** The tables of its folder that were read; none where it is run here. */
  readonly used: readonly UsedFile[];
}

/** Opens a day of the lab folder at its newest revision. */
export async function keptDay(session: Session, id: number): Promise<Outcome<KeptDay, LabError>> {
  const { store } = session;
  const row = store.getDay(id);
  if (row === null)
    return failed({
      code: 'not_found',
      says: `There is no day ${id} in the lab folder.`,
      todo: 'Go back to the list of days.',
    });
  const deck = deckStateOf(session, id);
  const { rule } = decidedOn(session, id);
  if (deck !== null) return done(deckKept(session, row, deck, rule));
  const files = new Map(store.dayFiles(id).map((file) => [file.path, file]));
  const source: DaySource = {
    async find(path) {
      const inside = insidePath(path);
      if (inside === null) return { kind: 'outside' };
      const file = files.get(inside);
      return findRaw(session, file?.sha256, () => file?.bytes ?? 0);
    },
  };
  const hashes = new Map([...files].map(([path, file]) => [path, file.sha256]));
  const opened = await rememberDay(session, source, hashes);
  if (!opened.ok)
    return failed({
      code: 'lab_folder',
      says: `The day ${row.day} cannot be read from the lab folder: ${opened.error.reason}`,
      todo: 'Open it again from its folder.',
    });
  const { book: own, used } = opened.value;
  const book = laidOver(session, id, own, rule);
  const recordings = recordingsBehind(session, own, rule);
  return done({ row, source, own, book, rule, hashes, recordings, onDeck: false, used });
}

/** A day that is run here: what a day folder of it would hold. */
function deckKept(session: Session, row: DayRow, deck: DeckState, rule: CalibrationRule): KeptDay {
  const hashes = pathsOf(deck);
  const source: DaySource = {
    async find(path) {
      const inside = insidePath(path);
      if (inside === null) return { kind: 'outside' };
      return findRaw(session, hashes.get(inside), (path) => statSync(path).size);
    },
  };
  const own = deckBook(deck.day, deckOf(deck), deck.protocol.content, deck.placed);
  const { date, venue } = own.day;
  const book = laidOver(session, deck.id, own, rule);
  const recordings = recordingsBehind(session, own, rule);
  return {
    row: { ...row, date, venue },
    source,
    own,
    book,
    rule,
    hashes,
    recordings,
    onDeck: true,
    used: [],
  };
}

function recordingsBehind(session: Session, own: Daybook, rule: CalibrationRule): KeptDay['recordings'] {
  if (rule === 'day') return new Map();
  const register = readRegister(session);
  return new Map(
    [...chooseFor(register, own, rule)].map(([sensor, { from }]) => {
      const used = (register.calibrations.get(sensor) ?? []).filter(({ id }) => from.includes(String(id)));
      return [sensor, recordingsOf(used.map(({ draft }) => draft))] as const;
    }),
  );
}

/** A day with what people decided, and the calibrations of a rule, laid over it. */
export function laidOver(session: Session, id: number, own: Daybook, rule: CalibrationRule): Daybook {
  const { zeros, areas } = decidedOn(session, id);
  const calibrations =
    rule === 'day'
      ? null
      : new Map(
          [...chooseFor(readRegister(session), own, rule)].map(
            ([sensor, { used }]) => [sensor, used] as const,
          ),
        );
  return overlayMarking(overlayDay(own, { zeros, areas, calibrations }), markingDecidedOn(session, id));
}

/** Which calibration each sensor of the day uses, and why. */
export function choicesOn(session: Session, { own, rule }: KeptDay): ReadonlyMap<string, SensorChoice> {
  return chooseFor(readRegister(session), own, rule);
}

/** A trial of a kept day; an error where it has none of that code. */
export function findTrial(day: KeptDay, trial: string): Outcome<TrialEntry, LabError> {
  const entry = day.book.trials.find(({ row }) => row.trial === trial);
  if (entry !== undefined) return done(entry);
  return failed({
    code: 'not_found',
    says: `The day ${day.row.day} has no trial ${trial}.`,
    todo: 'Go back to the day and choose one of its trials.',
  });
}
