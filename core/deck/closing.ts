/**
 * What a testing day still lacks when it is closed, one sentence for each thing, with where to mend it. Nothing here
 * forbids closing: the person decides. Swimmers who do not consent are not looked at but counted.
 */
import { addAll } from '../base/extent.ts';
import type { ProtocolContent } from '../protocol/content.ts';
import { type DeckPlan, type DeckBoard, type BoardTrial, CHECKLISTS } from './deck.ts';
import type { DeckTrialView, FileView, CloseView } from './views.ts';
import type { KnownPressureReport } from './knownpressure.ts';
import { isShown } from './tables.ts';
import { consentHolds } from '../day/tables.ts';
import { attemptsEach } from './order.ts';

export interface CloseSource {
  readonly protocol: { readonly content: ProtocolContent };
  readonly plan: DeckPlan;
  readonly board: DeckBoard;
  readonly trials: readonly DeckTrialView[];
  readonly files: readonly FileView[];
  readonly knownPressures: readonly KnownPressureReport[];
  /** The latest backup of the lab folder; `isToday` where it was made on the day of asking. */
  readonly lastBackup: { readonly says: string; readonly at: string; readonly isToday: boolean } | null;
  /** The last check of the whole lab folder; null before any. */
  readonly lastVerification: CloseView['lastVerification'];
}

type Missing = CloseView['missing'][number];

/** Counts against the plan, and everything that is missing: trials in the order of the board, then the day. */
export function closeView(source: CloseSource): CloseView {
  const { plan, board, protocol, lastBackup } = source;
  const swims = board.trials.filter((swim) => isShown({ plan, board }, swim));
  const answered = (what: 'keep' | 'again') => swims.filter(({ answer }) => answer?.what === what).length;
  const consenting = plan.swimmers.filter(({ consents }) => consentHolds(consents.measuring));
  const each = attemptsEach(protocol.content);
  return {
    counts: {
      planned: consenting.length * each,
      swum: swims.filter(({ state }) => state === 'swum').length,
      kept: answered('keep'),
      again: answered('again'),
      skipped: swims.filter(({ state }) => state === 'skipped').length,
      withdrawn: plan.swimmers.filter(({ consents }) => consents.measuring === 'withdrawn').length,
    },
    missing: [
      ...swims.flatMap((swim) => missingOfTrial(swim, swims, source)),
      ...consenting.flatMap(({ participant }) => missingTrials(participant, swims, each)),
      ...missingOfDay(source).map((says) => ({ says, trial: null })),
    ],
    lastBackup: lastBackup === null ? null : { says: lastBackup.says, at: lastBackup.at },
    lastVerification: source.lastVerification,
  };
}

function missingOfTrial(
  swim: BoardTrial,
  swims: readonly BoardTrial[],
  source: CloseSource,
): readonly Missing[] {
  const { trial, state, answer } = swim;
  const says = (sentence: string): Missing => ({ says: `${trial} ${sentence}`, trial });
  const found = source.trials.find((one) => one.trial === trial);
  if (state === 'planned' && found !== undefined && (found.trace !== null || found.films.length > 0))
    return [
      says('has files but was not begun on the board: say under Files that it was swum, or whose they are.'),
    ];
  if (state === 'planned') return [says('was not swum: swim it, or skip it with a reason, on deck.')];
  if (state === 'swimming') return [says('was begun and not ended: end it on deck.')];
  if (state === 'skipped') return [];
  const missing: Missing[] = [];
  if (answer === null) missing.push(says('has no answer: accept it, swim it again or exclude it, on deck.'));
  else if (answer.what === 'again' && !swims.some(({ repeatOf }) => repeatOf === trial))
    missing.push(
      says('is to be swum again and has no repeat on the board: add one, or leave the trial out.'),
    );
  return [...missing, ...missingEvidence(swim, source).map(says)];
}

/** What a swum trial lacks; a trial left out, or swum again, need not have all that a kept one has. */
function missingEvidence(
  swim: BoardTrial,
  { trials, plan, protocol, files }: CloseSource,
): readonly string[] {
  const view = trials.find(({ trial }) => trial === swim.trial);
  const swimmer = plan.swimmers.find(({ participant }) => participant === swim.participant);
  const mayFilm = swimmer?.consents.filming === 'given';
  const filmed = new Set(view?.films.map(({ camera }) => camera));
  const isDropped = swim.answer !== null && swim.answer.what !== 'keep';
  const missing: string[] = [];
  if (view === undefined || view.trace === null)
    missing.push('has no trace: find its file and give it to the trial, under Files.');
  if (mayFilm)
    for (const camera of new Set(protocol.content.cameras.map((one) => one.camera)))
      if (!filmed.has(camera))
        missing.push(`has no film of camera ${camera}: find its file and give it to the trial, under Files.`);
  const films = files.filter(
    ({ state, place }) => state === 'placed' && place?.trial === swim.trial && place.as === 'film',
  );
  if (!mayFilm && (filmed.size > 0 || films.length > 0))
    missing.push(
      'has a film, and the swimmer’s consent to filming is not noted: note it, or set the film aside.',
    );
  if (isDropped) return missing;
  if ((view?.section ?? null) === null)
    missing.push('has no section times: type them, bring them in from a table, or mark them in review.');
  if (view?.zerosRead !== true)
    missing.push('has not both zeros, before and after, confirmed for each sensor: confirm them in review.');
  return missing;
}

function missingTrials(participant: string, swims: readonly BoardTrial[], each: number): readonly Missing[] {
  const planned = swims.filter((swim) => swim.participant === participant && swim.repeatOf === null).length;
  if (planned >= each) return [];
  const says = `${participant} has ${planned} of ${each} planned trials on the board: add what is missing on deck, or note why.`;
  return [{ says, trial: null }];
}

function missingOfDay(source: CloseSource): readonly string[] {
  const { board, files, knownPressures, lastBackup } = source;
  const missing: string[] = [];
  if (board.dryRun === null) missing.push('The dry run was not confirmed: note why.');
  for (const { name } of files.filter(({ state }) => state === 'offered'))
    missing.push(`The file ${name} has no place: give it to a trial or set it aside, under Files.`);
  for (const check of knownPressures) addAll(missing, missingOfSensor(check));
  addAll(missing, openItems(source));
  if (lastBackup === null)
    missing.push('No backup of the lab folder is known: make one, best on another disk.');
  else if (!lastBackup.isToday)
    missing.push('There is no backup of the lab folder from today: make one, best on another disk.');
  return missing;
}

function missingOfSensor({
  sensor,
  zeroEndRaw,
  readings,
  verdict,
  says,
}: KnownPressureReport): readonly string[] {
  const missing: string[] = [];
  if (zeroEndRaw === null)
    missing.push(`Sensor ${sensor} has no zero from the end of the day: read it here.`);
  if (!readings.some(({ when }) => when === 'end'))
    missing.push(
      `Sensor ${sensor} has no known pressure read at the end: put a known pressure on it and read it here.`,
    );
  if (verdict === 'look') missing.push(`Sensor ${sensor} wants a look: ${says}`);
  return missing;
}

const LIST_WORDS = { before: 'before the first trial', close: 'at the end of the day' } as const;

function openItems({ protocol, board }: CloseSource): readonly string[] {
  return CHECKLISTS.flatMap((list) =>
    protocol.content.checklists[list]
      .filter((item) => !board.ticks.some((tick) => tick.list === list && tick.item === item))
      .map((item) => `Not ticked, ${LIST_WORDS[list]}: “${item}”.`),
  );
}
