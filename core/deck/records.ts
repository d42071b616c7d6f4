/** Acts on what a testing day's board records beside its trials: files, notes, ticks, section times, readings, its close. */
import { MAIN_CAMERA } from '../clock/clock.ts';
import { largest } from '../base/extent.ts';
import { type DeckAct, type DeckBoard, DRY_RUN } from './deck.ts';
import { type Deck, type ActContext, type ActResult, type DeckFault, fault } from './act.ts';
import { type Outcome, done } from '../base/refusal.ts';
import { standingPressures } from './knownpressure.ts';
import { consentHolds } from '../day/tables.ts';

export type RecordAct = Extract<
  DeckAct,
  {
    act:
      | 'file.give'
      | 'note.add'
      | 'line.tick'
      | 'line.untick'
      | 'sections.set'
      | 'dry.confirm'
      | 'day.zero'
      | 'day.pressure'
      | 'day.close'
      | 'day.reopen';
  }
>;

type Change = { readonly board: Partial<DeckBoard>; readonly says: string; readonly trial?: string | null };

/** The board after an act that records something, with the words of the step; or why the act cannot be done. */
export function applyRecord(deck: Deck, act: RecordAct, context: ActContext): Outcome<ActResult, DeckFault> {
  const changed = changeOf(deck, act, context);
  if (!changed.ok) return changed;
  const { board, says, trial = null } = changed.value;
  return done({ part: 'board', value: { ...deck.board, ...board }, says, trial });
}

function changeOf(deck: Deck, act: RecordAct, context: ActContext): Outcome<Change, DeckFault> {
  const { board } = deck;
  const { atMs, who } = context;
  switch (act.act) {
    case 'file.give':
      return give(board, act);
    case 'note.add':
      return note(deck, act, context);
    case 'line.tick':
      return tick(board, act, context);
    case 'line.untick':
      return done({
        board: { ticks: board.ticks.filter(({ list, item }) => list !== act.list || item !== act.item) },
        says: `Tick taken back: ${act.item}`,
      });
    case 'sections.set':
      return sections(board, act);
    case 'dry.confirm': {
      const dryRun = { initials: act.initials, says: act.says, atMs };
      return done({ board: { dryRun }, says: `Dry run confirmed by ${act.initials}` });
    }
    case 'day.zero': {
      const others = board.zeros.filter(({ sensor, when }) => sensor !== act.sensor || when !== act.when);
      const zero = { sensor: act.sensor, when: act.when, raw: act.raw, atMs };
      const says = `Zero of ${act.sensor} at the ${act.when} of the day: ${act.raw}`;
      return readingFault(deck, act) ?? done({ board: { zeros: [...others, zero] }, says });
    }
    case 'day.pressure': {
      const { sensor, when, appliedKpa, raw } = act;
      const checks = standingPressures([...board.checks, { sensor, when, appliedKpa, raw, atMs }]);
      const says = `Known pressure on ${sensor} at the ${when} of the day: ${appliedKpa} kPa reads ${raw}`;
      return readingFault(deck, act) ?? done({ board: { checks }, says });
    }
    case 'day.close':
      return close(deck, act.initials, atMs);
    case 'day.reopen':
      return board.closed === null
        ? fault('The day is open.', 'There is nothing to open.')
        : done({ board: { closed: null }, says: `Day opened again by ${who}` });
  }
}

type Act<N extends RecordAct['act']> = Extract<RecordAct, { act: N }>;

function give(board: DeckBoard, { file, to, why }: Act<'file.give'>): Outcome<Change, DeckFault> {
  if (to !== null && to.trial !== DRY_RUN && !board.trials.some(({ trial }) => trial === to.trial))
    return fault(`There is no trial ${to.trial} on the board.`, 'Choose one of the trials of the board.');
  const others = board.given.filter((one) => one.file !== file);
  const reason = why === '' ? '' : `: ${why}`;
  const says =
    to === null
      ? `File ${file} set aside${reason}`
      : `File ${file} is the ${to.as === 'trace' ? 'trace' : `film of camera ${to.camera ?? MAIN_CAMERA}`} of ${to.trial}${reason}`;
  const place = to === null ? null : { ...to, camera: to.as === 'film' ? (to.camera ?? MAIN_CAMERA) : null };
  return done({
    board: { given: [...others, { file, to: place, why }] },
    says,
    trial: to === null || to.trial === DRY_RUN ? null : to.trial,
  });
}

function note(
  { plan, board }: Deck,
  { kind, trial, participant, says }: Act<'note.add'>,
  { atMs, who }: ActContext,
): Outcome<Change, DeckFault> {
  if (trial !== null && !board.trials.some((swim) => swim.trial === trial))
    return fault(`There is no trial ${trial} on the board.`, 'Choose one of the trials of the board.');
  if (participant !== null && !plan.swimmers.some((one) => one.participant === participant))
    return fault(`There is no swimmer ${participant} on this day.`, 'Look at the list of swimmers.');
  const id = Math.max(0, largest(board.notes.map((one) => one.id))) + 1;
  const added = { id, kind, trial, participant, says, atMs, who };
  const about = trial ?? participant;
  return done({
    board: { notes: [...board.notes, added] },
    says: `${kind === 'note' ? 'Note' : 'Incident'}${about === null ? '' : ` on ${about}`}: ${says}`,
    trial,
  });
}

function tick(
  board: DeckBoard,
  { list, item, initials }: Act<'line.tick'>,
  { atMs, protocol }: ActContext,
): Outcome<Change, DeckFault> {
  if (!protocol.checklists[list].includes(item))
    return fault(`The checklist has no line “${item}”.`, 'Look at the checklist as it is now.');
  const others = board.ticks.filter((one) => one.list !== list || one.item !== item);
  return done({
    board: { ticks: [...others, { list, item, initials, atMs }] },
    says: `${initials} ticked: ${item}`,
  });
}

function sections(board: DeckBoard, { rows }: Act<'sections.set'>): Outcome<Change, DeckFault> {
  const known = new Set(board.trials.map(({ trial }) => trial));
  const unknown = rows.find(({ trial }) => !known.has(trial));
  if (unknown !== undefined)
    return fault(
      `There is no trial ${unknown.trial} on the board.`,
      'Correct the trial’s code, or take the row out.',
    );
  const turned = rows.find(({ section }) => section !== null && section.endS <= section.startS);
  if (turned !== undefined)
    return fault(
      `The section of ${turned.trial} ends before it begins.`,
      'Give the end later than the start, both in s on the trial’s clock.',
    );
  const told = new Set(rows.map(({ trial }) => trial));
  const kept = board.sections.filter(({ trial }) => !told.has(trial));
  const added = rows.flatMap(({ trial, section }) => (section === null ? [] : [{ trial, section }]));
  const only = rows.length === 1 ? rows[0]! : null;
  return done({
    board: { sections: [...kept, ...added] },
    says: only === null ? `Section times of ${rows.length} trials` : `Section times of ${only.trial}`,
    trial: only?.trial ?? null,
  });
}

function close({ plan, board }: Deck, initials: string, atMs: number): Outcome<Change, DeckFault> {
  const swims = board.trials.find(
    (swim) =>
      swim.state === 'swimming' &&
      plan.swimmers.some(
        ({ participant, consents }) => participant === swim.participant && consentHolds(consents.measuring),
      ),
  );
  if (swims !== undefined)
    return fault(`${swims.trial} is being swum.`, `End ${swims.trial}, then close the day.`);
  return done({ board: { closed: { initials, atMs } }, says: `Day closed by ${initials}` });
}

function readingFault(
  { plan }: Deck,
  { sensor, raw }: Pick<Act<'day.zero'>, 'sensor' | 'raw'>,
): { readonly ok: false; readonly error: DeckFault } | null {
  const known = plan.sensors.find((one) => one.sensor === sensor);
  if (known === undefined)
    return fault(`${sensor} was not worn on this day.`, 'Choose a sensor of this day.');
  const [least, most] = [known.rawMin ?? -Infinity, known.rawMax ?? Infinity];
  if (raw >= least && raw <= most) return null;
  return fault(
    `The raw value ${raw} lies outside the raw limits of ${sensor} (${known.rawMin ?? 'none'} to ${known.rawMax ?? 'none'}).`,
    'Read it again, and type the raw value as the device shows it.',
  );
}
