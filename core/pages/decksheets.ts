/**
 * Deck sheets: the day on paper for the case that the computer fails. HTML that stands alone, A4 across, to be filled in
 * by hand. Trials of swimmers who do not consent are not on it.
 */
import { MAIN_CAMERA } from '../clock/clock.ts';
import type { ProtocolContent } from '../protocol/content.ts';
import { type DeckPlan, type DeckBoard, CHECKLISTS, type BoardTrial } from '../deck/deck.ts';
import { isShown } from '../deck/tables.ts';
import { pageHtml, section, paragraph, list } from './page.ts';
import { swimText } from './words.ts';
import { printedCautions } from './cautions.ts';
import { type Cell, table } from './html.ts';
import { counted, durationText } from '../base/words.ts';

export interface DeckSheetSource {
  readonly day: string;
  readonly protocol: {
    readonly protocol: string;
    readonly version: number;
    readonly content: ProtocolContent;
  };
  readonly plan: DeckPlan;
  readonly board: DeckBoard;
  /** When it is printed, as the lab's clock shows it. */
  readonly printedAt: string;
}

/** The sheets as HTML; nothing in it is loaded from elsewhere. */
export function deckSheetsHtml(source: DeckSheetSource): string {
  const { day, protocol, plan, board } = source;
  const { content } = protocol;
  const shown = board.trials.filter((swim) => isShown({ plan, board }, swim));
  const waiting = shown.filter(({ state }) => state === 'planned' || state === 'swimming');
  return pageHtml({
    title: `Deck sheets of testing day ${day}`,
    lead: `${plan.setup.date}${plan.setup.venue === '' ? '' : `, ${plan.setup.venue}`}. Protocol ${content.name} (${protocol.protocol}, version ${protocol.version}). ${seedText(board)}Printed ${source.printedAt}. To go on by hand where the computer fails.`,
    isWide: true,
    parts: [
      section('The swim', paragraph(swimText(content)) + fill(null, PEOPLE)),
      section('Cautions', printedCautions(content)),
      ...CHECKLISTS.map((name) => section(CHECKLIST_TITLES[name], checklist(content.checklists[name]))),
      section('Order board', boardPart(waiting, shown.length - waiting.length, source), true),
      section('Sensors', sensorPart(plan), true),
      section('Notes and incidents', fill(NOTE_HEAD, blank(8, NOTE_HEAD.length))),
      section('What to write on files and cards', filePart(source, waiting), true),
      section('How to bring the day in afterwards', list(bringingIn(content), 'ol')),
    ],
  });
}

/** The seed that the order comes from, so that it can be drawn again. */
function seedText({ seed }: DeckBoard): string {
  return seed === '' ? '' : `Order from the seed ${seed}. `;
}

const PEOPLE: readonly Cell[][] = [
  ['Lifeguard on duty', ''],
  ['Local emergency number; where the telephone and the defibrillator are', ''],
  ['At the order board', ''],
  ['At the acquisition computer and cameras', ''],
];

const CHECKLIST_TITLES = {
  before: 'Before the first trial: initials in every box',
  close: 'At the end of the day: initials in every box',
} as const;

const NOTE_HEAD = ['Clock', 'Trial or swimmer code', 'What happened, what was done', 'Initials'];

/** A table with ruled cells, high enough to write in. */
function fill(head: readonly Cell[] | null, rows: readonly (readonly Cell[])[], kind = 'fill'): string {
  return `<div class="${kind}">${table(head, rows)}</div>`;
}

function blank(count: number, columns: number): readonly Cell[][] {
  return Array.from({ length: count }, () => Array.from({ length: columns }, () => ''));
}

function checklist(items: readonly string[]): string {
  if (items.length === 0) return paragraph('The protocol has no such list.');
  return fill(
    ['To tick', 'Initials', 'Clock'],
    items.map((item) => [item, '', '']),
  );
}

const BOARD_HEAD = [
  'No.',
  'Trial',
  'Swimmer',
  'Condition',
  'Film',
  'Sensors',
  'Start, clock',
  'Section start, s',
  'Section end, s',
  'Zero before, L / R',
  'Zero after, L / R',
  'Remarks',
  'Verdict (circle)',
  'Initials',
];

const CIRCLE = 'good / in doubt / again';

/** Lines without a trial on them, for repeats and for a board that is not made yet. */
const SPARE = 8;

const SPARE_WITHOUT_BOARD = 24;

function boardPart(
  waiting: readonly BoardTrial[],
  behind: number,
  { plan, protocol }: DeckSheetSource,
): string {
  const films = new Map(plan.swimmers.map((one) => [one.participant, one.consents.filming === 'given']));
  const worn = `L ${plan.worn.left ?? '……'} R ${plan.worn.right ?? '……'}`;
  const rows = waiting.map((swim, index): Cell[] => [
    String(index + 1),
    swim.trial,
    swim.participant,
    swim.condition ?? '',
    films.get(swim.participant) === true ? 'yes' : 'NO FILM',
    swim.worn === null ? worn : `L ${swim.worn.left ?? '……'} R ${swim.worn.right ?? '……'}`,
    ...Array.from({ length: 6 }, () => ''),
    CIRCLE,
    '',
  ]);
  const spare = blank(waiting.length === 0 ? SPARE_WITHOUT_BOARD : SPARE, BOARD_HEAD.length).map((cells) =>
    cells.with(BOARD_HEAD.length - 2, CIRCLE),
  );
  const done =
    behind === 0
      ? ''
      : paragraph(
          `${counted(behind, 'trial')} of the board swum or skipped before this was printed: not on this sheet.`,
        );
  const rest = durationText(1000 * protocol.content.restMinS);
  return (
    done +
    paragraph(
      `At least ${rest} of rest between two trials of a swimmer. A repeat takes the next attempt on a spare line: after P01-2 comes P01-3. Codes only, no names. A swimmer who withdraws: strike out their lines, measure no more.`,
    ) +
    fill(BOARD_HEAD, [...rows, ...spare], 'fill board')
  );
}

function sensorPart({ sensors, worn }: DeckPlan): string {
  const head = [
    'Hand',
    'Sensor',
    'Calibration in force',
    'Zero at the start, raw',
    'Zero at the end, raw',
    'Known pressure put on, kPa',
    'Its reading, raw',
    'Changed to, from which trial on',
  ];
  const rows = sensors.map(({ sensor, hand, calibration }): Cell[] => [
    sensor === worn.left ? 'left' : sensor === worn.right ? 'right' : hand,
    sensor,
    calibration === null ? 'none' : `No. ${calibration.id} of ${calibration.at.slice(0, 10)}`,
    ...Array.from({ length: 5 }, () => ''),
  ]);
  return (
    paragraph(
      'Dry run before the first swimmer, with a flash or a slate in the picture: tap the left sensor once, the right one twice. Zero: hand held still, the same way every time.',
    ) + fill(head, [...rows, ...blank(2, head.length)])
  );
}

function filePart({ plan, protocol }: DeckSheetSource, waiting: readonly BoardTrial[]): string {
  const { cameras } = protocol.content;
  const swim = waiting[0] ?? { trial: 'P01-1', participant: 'P01', attempt: 1 };
  const camera = cameras[0]?.camera ?? MAIN_CAMERA;
  const example = (pattern: string) =>
    pattern
      .replaceAll('{trial}', swim.trial)
      .replaceAll('{participant}', swim.participant)
      .replaceAll('{attempt}', String(swim.attempt))
      .replaceAll('{camera}', camera)
      .replaceAll('{any}', '…');
  return (
    table(
      ['Name of a file, without its ending', `For trial ${swim.trial}, camera ${camera}`],
      plan.setup.files.names.map((pattern) => [pattern, example(pattern)]),
    ) +
    list([
      'Where a device gives its own names, write its file’s number beside the trial, under Remarks.',
      'Before each start hold a slate with the trial’s code into every camera’s picture: code and attempt, no name.',
      'One trace file and one film for each trial; do not delete a bad one, write “again” beside it.',
      'On every memory card: the day, the camera’s letter, the card’s number.',
    ])
  );
}

/** Steps on the screens of the program, once it runs again. */
function bringingIn({ timing }: ProtocolContent): readonly string[] {
  return [
    'Start the program and open the day: what was shown as saved is there. Compare its board with these sheets before anything else.',
    'On deck: start and end each trial that was swum meanwhile, in the order of the sheet, and answer it with the verdict circled here; add trials that are not on the board. The clock times of the sheet go into a note.',
    'Files: copy traces and films into the watched folder. Those whose name tells no trial are offered: give them by the remarks on the sheet.',
    `Section times (timed by ${timing.method}): type them, or bring in a CSV with the columns trial, section_start_s, section_end_s, or trial, section_end_s, duration; seconds on the trial’s clock.`,
    'Zeros before and after each trial are confirmed in review, those of the day under “Close the day”.',
    'Type in notes and incidents with their clock times. A sensor that was changed: correct it from that trial on.',
    'Keep these sheets with the day; they are evidence.',
  ];
}
