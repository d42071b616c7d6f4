/**
 * The log of a testing day: a page of HTML that stands alone, to print or keep. Swimmers who withdrew or do not consent
 * are in it as a count only. Quantities are written as the SI Brochure (9th ed., 5.4) has them.
 */
import type { ProtocolContent } from '../protocol/content.ts';
import { type DeckPlan, type DeckBoard, CHECKLISTS } from '../deck/deck.ts';
import type { DeckTrialView, FileView, CloseView } from '../deck/views.ts';
import type { KnownPressureReport } from '../deck/knownpressure.ts';
import { namesWithheld, UNNAMED, withheldCount, type Names } from '../deck/veil.ts';
import { pageHtml, section, paragraph, list } from './page.ts';
import { table, type Cell } from './html.ts';
import { printedCautions } from './cautions.ts';
import { sensorTable, checkTable } from './daylogsensors.ts';
import { trialTable, sectionTable } from './daylogtrials.ts';
import { NOT_GIVEN, swimText } from './words.ts';
import { minus, counted, bytesText } from '../base/words.ts';
import { consentHolds } from '../day/tables.ts';

/** A step of the day's history. */
export interface LoggedDecision {
  /** ISO 8601 instant. */
  readonly at: string;
  readonly who: string;
  readonly says: string;
  /** The trial it concerns; null where it concerns no single one. */
  readonly trial: string | null;
  readonly undone: { readonly who: string; readonly at: string } | null;
}

export interface DayLogSource {
  readonly day: string;
  readonly protocol: {
    readonly protocol: string;
    readonly version: number;
    readonly content: ProtocolContent;
  };
  readonly plan: DeckPlan;
  readonly board: DeckBoard;
  readonly trials: readonly DeckTrialView[];
  /** `sha256` is null where no content was kept. */
  readonly files: readonly (FileView & { readonly sha256: string | null })[];
  readonly knownPressures: readonly KnownPressureReport[];
  /** Oldest first. */
  readonly decisions: readonly LoggedDecision[];
  /** Codes of swimmers that earlier states of the day knew and that no consenting swimmer has now. */
  readonly former: readonly string[];
  readonly close: CloseView;
  readonly printed: { readonly at: string; readonly who: string; readonly version: string };
  /** An instant (ms since 1970, or ISO 8601) as the lab's clock showed it; with its date where that is not the day's. */
  readonly clock: (instant: number | string) => string;
  /** The clock's time zone in words. */
  readonly zone: string;
}

/** The log as HTML; nothing in it is loaded from elsewhere. */
export function dayLogHtml(source: DayLogSource): string {
  const { day, plan, close, printed, protocol } = source;
  const names = namesWithheld(plan, source.former);
  const shown = (text: string) => (names(text) ? UNNAMED : text);
  const withheld = withheldCount(plan);
  const missing = close.missing.map(({ says }) => says).filter((says) => !names(says));
  return pageHtml({
    title: `Log of testing day ${day}`,
    lead: `Written by Lanebench ${printed.version} for ${printed.who} at ${source.clock(printed.at)}. Times are ${source.zone}; without a date they are of ${plan.setup.date}. Training information, not a diagnosis.`,
    isWide: false,
    parts: [
      section('The day', table(null, dayRows(source))),
      section('Cautions', printedCautions(protocol.content)),
      section('Counts against the plan', table(null, countRows(source, withheld))),
      section('What is missing', missing.length === 0 ? paragraph('Nothing is missing.') : list(missing)),
      section('Swimmers', swimmerTable(plan, withheld)),
      section('Sensors', sensorTable(plan, source.clock)),
      section('Checklists and dry run', checklistPart(source)),
      section('Trials in their order', trialTable(source, shown)),
      section('Section times', sectionTable(source)),
      section('Notes and incidents', notePart(source, names)),
      section('Zeros and known pressures of the day', checkTable(source.knownPressures)),
      section('Files', filePart(source, names)),
      section('Decisions', decisionPart(source, names)),
      section('Backup', paragraph(backupText(source))),
    ],
  });
}

function dayRows({ day, protocol, plan, board, clock, decisions }: DayLogSource): readonly Cell[][] {
  const { setup } = plan;
  const { content } = protocol;
  const given = (value: number | null, unit: string) =>
    value === null ? NOT_GIVEN : minus(`${value}${unit}`);
  const people = [...new Set(decisions.map(({ who }) => who))];
  return [
    ['Day', day],
    ['Date', setup.date],
    ['Venue', setup.venue === '' ? NOT_GIVEN : setup.venue],
    ['Pool length', given(setup.poolLengthM, ' m')],
    ['Water temperature', given(setup.waterTemperatureC, ' °C')],
    ['Latitude, altitude', `${given(setup.latitudeDeg, '°')}, ${given(setup.altitudeM, ' m')}`],
    ['Protocol', `${content.name} (${protocol.protocol}, version ${protocol.version})`],
    ['The swim', swimText(content)],
    ['Sampling rate of the sensors', `${content.rateHz} Hz`],
    [
      'Cameras',
      content.cameras.length === 0
        ? 'none planned'
        : content.cameras.map(({ camera, frameRateHz }) => `${camera} at ${frameRateHz} Hz`).join(', '),
    ],
    [
      'Section timed by',
      `${content.timing.method}${content.timing.who === '' ? '' : `, ${content.timing.who}`}`,
    ],
    ['Consent text', content.consentTextVersion === '' ? NOT_GIVEN : `version ${content.consentTextVersion}`],
    ['Order drawn from the seed', board.seed === '' ? 'not drawn yet' : board.seed],
    ['Who decided', people.length === 0 ? 'nobody yet' : people.join(', ')],
    [
      'Closed',
      board.closed === null ? 'not closed yet' : `by ${board.closed.initials} at ${clock(board.closed.atMs)}`,
    ],
  ];
}

function countRows({ close: { counts } }: DayLogSource, withheld: number): readonly Cell[][] {
  const rows: readonly (readonly [string, number])[] = [
    ['Trials by the protocol, for the swimmers who consent', counts.planned],
    ['Swum', counts.swum],
    ['Accepted', counts.kept],
    ['To be swum again', counts.again],
    ['Skipped', counts.skipped],
    ['Swimmers who withdrew', counts.withdrawn],
    ['Swimmers who do not consent, or of whom it is not known', withheld - counts.withdrawn],
  ];
  return rows.map(([what, count]) => [what, String(count)]);
}

const FILM_WORDS = { given: 'yes', withheld: 'no', not_asked: 'not asked' } as const;

function swimmerTable({ swimmers }: DeckPlan, withheld: number): string {
  const area = (cm2: number | null): Cell => ({ number: cm2 === null ? '' : `${cm2} cm²` });
  const rows = swimmers
    .filter(({ consents }) => consentHolds(consents.measuring))
    .map((swimmer): Cell[] => {
      const { consents, handAreaUCm2 } = swimmer;
      return [
        swimmer.participant,
        consents.measuring === 'given' ? 'given' : 'assent, and a guardian’s',
        FILM_WORDS[consents.filming],
        FILM_WORDS[consents.sharing],
        swimmer.consentTextVersion === '' ? NOT_GIVEN : swimmer.consentTextVersion,
        area(swimmer.leftHandAreaCm2),
        area(swimmer.rightHandAreaCm2),
        { number: handAreaUCm2 === null ? '' : `${handAreaUCm2} cm²` },
      ];
    });
  const head: Cell[] = [
    'Swimmer',
    'Consent to measuring',
    'To filming',
    'To showing film to others',
    'Text version',
    { number: 'Left hand' },
    { number: 'Right hand' },
    { number: 'Standard uncertainty' },
  ];
  const others =
    withheld === 0 ? '' : paragraph(`${counted(withheld, 'swimmer')} withdrew or did not consent.`);
  return (rows.length === 0 ? paragraph('No swimmer who consents.') : table(head, rows)) + others;
}

const LIST_WORDS = { before: 'Before the first trial', close: 'At the end of the day' } as const;

function checklistPart({ protocol, board, clock }: DayLogSource): string {
  const rows = CHECKLISTS.flatMap((name) => {
    const ticks = board.ticks.filter((tick) => tick.list === name);
    const items = protocol.content.checklists[name];
    return items.map((item): Cell[] => {
      const tick = ticks.find((one) => one.item === item);
      return [
        LIST_WORDS[name],
        item,
        tick === undefined ? 'not ticked' : tick.initials,
        tick === undefined ? '' : clock(tick.atMs),
      ];
    });
  });
  const { dryRun } = board;
  const dry =
    dryRun === null
      ? 'The dry run was not confirmed.'
      : `Dry run confirmed by ${dryRun.initials} at ${clock(dryRun.atMs)}: ${dryRun.says}`;
  const ticked =
    rows.length === 0
      ? paragraph('The protocol has no checklist.')
      : table(['When', 'Ticked', 'Initials', 'Time'], rows);
  return ticked + paragraph(dry);
}

function leftOut(count: number, what: string): string {
  return count === 0
    ? ''
    : paragraph(`${counted(count, what)} about swimmers whose data are not shown: left out.`);
}

function notePart({ board, clock }: DayLogSource, names: Names): string {
  const shown = board.notes.filter(
    ({ trial, participant, says }) => ![trial ?? '', participant ?? '', says].some(names),
  );
  const rows = shown.map(({ atMs, kind, trial, participant, says, who }): Cell[] => [
    clock(atMs),
    kind === 'incident' ? 'INCIDENT' : 'note',
    trial ?? participant ?? '',
    says,
    who,
  ]);
  const notes =
    rows.length === 0 ? paragraph('None.') : table(['Time', 'Kind', 'About', 'What', 'Who'], rows);
  return notes + leftOut(board.notes.length - shown.length, 'note');
}

const STATE_WORDS: Readonly<Record<FileView['state'], string>> = {
  placed: 'placed',
  offered: 'no place yet',
  twice: 'came twice',
  unreadable: 'kept aside, unreadable',
  aside: 'set aside',
  hidden: '',
};

function filePart({ files, clock }: DayLogSource, names: Names): string {
  const shown = files.filter(
    ({ state, name, place, says }) => state !== 'hidden' && ![name, place?.trial ?? '', says].some(names),
  );
  const rows = shown.map(({ name, bytes, at, state, place, says, sha256 }): Cell[] => [
    name,
    place === null
      ? STATE_WORDS[state]
      : `${place.as === 'trace' ? 'trace' : `film${place.camera === null ? '' : ` of camera ${place.camera}`}`} of ${place.trial}`,
    { number: bytesText(bytes) },
    clock(at),
    state === 'placed' ? '' : says,
    sha256 === null ? NOT_GIVEN : { hash: sha256 },
  ]);
  const head: Cell[] = ['File', 'What it is', { number: 'Size' }, 'Taken', 'Remark', 'SHA-256'];
  return (
    (rows.length === 0 ? paragraph('No file came in.') : table(head, rows)) +
    leftOut(files.length - shown.length, 'file')
  );
}

function decisionPart({ decisions, clock }: DayLogSource, names: Names): string {
  const shown = decisions.filter(({ says, trial }) => !names(says) && !names(trial ?? ''));
  const rows = shown.map(({ at, who, says, trial, undone }): Cell[] => [
    clock(at),
    who,
    trial ?? '',
    says,
    undone === null ? '' : `taken back by ${undone.who} at ${clock(undone.at)}`,
  ]);
  const made =
    rows.length === 0
      ? paragraph('None.')
      : table(['Time', 'Who', 'Trial', 'What', 'Taken back'], rows, (k) => shown[k]!.undone !== null);
  return made + leftOut(decisions.length - shown.length, 'decision');
}

function backupText({ close: { lastBackup }, clock }: DayLogSource): string {
  return lastBackup === null
    ? 'No backup of the lab folder is known.'
    : `Last backup of the lab folder, ${clock(lastBackup.at)}: ${lastBackup.says}`;
}
