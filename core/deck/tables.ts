/**
 * A running testing day in the words of a day folder: the same tables that a lab would write by hand, from the plan, the
 * board and the files that were placed. What is computed from them is therefore what the command line computes from the
 * day when it is written out. Contract: formats.md section 1.
 */
import type { AssignedSensor, BoardTrial, DeckSetup, FileTarget } from './deck.ts';
import { MAIN_CAMERA } from '../clock/clock.ts';
import type { Deck } from './act.ts';
import { type ProtocolContent, dayProtocol } from '../protocol/content.ts';
import type { Day } from '../day/day.ts';
import { toElsewhere } from '../day/elsewhere.ts';
import { type Daybook, assembleDay, type DayTexts } from '../day/book.ts';
import { namesWithheld, veiled } from './veil.ts';
import { done } from '../base/refusal.ts';
import { dayZeroOf, standingPressures } from './knownpressure.ts';
import type { Hand } from '../base/hand.ts';
import { type TableName, columnsOf, consentHolds } from '../day/tables.ts';
import type { TextTable } from '../base/table.ts';
import { guardText, printCell } from '../base/csv.ts';

/** A file with a place among the day's trials. */
export interface PlacedFile {
  readonly name: string;
  readonly sha256: string;
  readonly place: FileTarget;
}

/**
 * Path inside the day folder that a placed file has; its name is the trial's, whatever it was called. A camera with a
 * hyphen in its code stands after a `~`, which no code holds: `P1-1` by camera `1-A` is not `P1-1-1` by camera `A`.
 */
export function pathOfFile({ name, place: { trial, as, camera } }: Omit<PlacedFile, 'sha256'>): string {
  const ending = /\.[a-z0-9]{1,8}$/i.exec(name)?.[0].toLowerCase() ?? '';
  if (as === 'trace') return `traces/${trial}${ending}`;
  const by = camera ?? MAIN_CAMERA;
  return `video/${trial}${by.includes('-') ? '~' : '-'}${by}${ending}`;
}

/** The day as day.json would tell it. */
export function deckDay(code: string, deck: Deck, protocol: ProtocolContent): Day {
  const { setup, sensors } = deck.plan;
  const worn = dayWorn(deck);
  const { time } = setup.files;
  return {
    day: code,
    date: setup.date,
    venue: setup.venue === '' ? null : setup.venue,
    pool: {
      lengthM: setup.poolLengthM,
      waterTemperatureC: setup.waterTemperatureC,
      latitudeDeg: setup.latitudeDeg,
      altitudeM: setup.altitudeM,
    },
    protocol: dayProtocol(protocol),
    // A camera that the protocol names twice is the first of the two, as in day.json.
    cameras: [...new Map(protocol.cameras.toReversed().map((one) => [one.camera, one])).values()]
      .toReversed()
      .map(({ camera, frameRateHz }) => ({ camera, frameRateHz })),
    sensors: sensors.map(({ calibration: _calibration, ...sensor }) => sensor),
    traceColumns: {
      time:
        'rateHz' in time
          ? { kind: 'rate', rateHz: time.rateHz }
          : { kind: 'column', column: time.column, unit: time.unit },
      left: columnOf('left', setup, worn),
      right: columnOf('right', setup, worn),
    },
  };
}

/**
 * A hand's column of the traces. One whose unit cannot be known, a depth of water without the pool's temperature, is
 * none, as in day.json.
 */
function columnOf(
  hand: Hand,
  setup: DeckSetup,
  worn: Readonly<Record<Hand, string | null>>,
): Day['traceColumns'][Hand] {
  const elsewhere = holdsOf(setup, hand);
  if (!elsewhere.ok) return null;
  return { column: setup.files[hand], sensor: worn[hand], elsewhere: elsewhere.value };
}

/** How a hand's column was calibrated elsewhere; null where it holds raw readings. */
export function holdsOf(setup: DeckSetup, hand: Hand): ReturnType<typeof toElsewhere> {
  const holds = setup.files[hand === 'left' ? 'leftHolds' : 'rightHolds'];
  if (holds === null) return done(null);
  const { quantity, unit, filter, scaleUPct } = holds;
  return toElsewhere({ quantity, unit, filter, scale_u_pct: scaleUPct }, setup);
}

/** The whole day, checked like a day folder: consent applied, nothing of swimmers without it. */
export function deckBook(
  code: string,
  deck: Deck,
  protocol: ProtocolContent,
  files: readonly PlacedFile[],
): Daybook {
  return assembleDay(deckDay(code, deck, protocol), deckTexts(deck, files));
}

/** Trials that belong into trials.csv: what was swum, and what has a file. */
function swumTrials({ board }: Deck, files: readonly PlacedFile[]): readonly BoardTrial[] {
  const withFile = new Set(files.map(({ place }) => place.trial));
  return board.trials.filter((swim) => swim.state === 'swum' || withFile.has(swim.trial));
}

function deckTexts(deck: Deck, files: readonly PlacedFile[]): DayTexts {
  const { plan, board } = deck;
  const swims = swumTrials(deck, files);
  const worn = dayWorn(deck);
  const names = namesWithheld(plan, []);
  const words = (text: string) => veiled(names, text);
  const sections = new Map(board.sections.map(({ trial, section }) => [trial, section]));
  const fileOf = (trial: string, as: FileTarget['as'], camera: string | null) =>
    files.find(
      ({ place }) => place.trial === trial && place.as === as && (as === 'trace' || place.camera === camera),
    );
  return {
    roster: table(
      'roster',
      plan.swimmers.map((swimmer) => ({
        participant: swimmer.participant,
        sex: swimmer.sex,
        birth_year: swimmer.birthYear,
        height_cm: swimmer.heightCm,
        mass_kg: swimmer.massKg,
        left_hand_area_cm2: swimmer.leftHandAreaCm2,
        right_hand_area_cm2: swimmer.rightHandAreaCm2,
        hand_area_u_cm2: swimmer.handAreaUCm2,
        consent: swimmer.consents.measuring,
        film_consent: swimmer.consents.filming,
        film_sharing_consent: swimmer.consents.sharing,
        note: words(swimmer.note),
      })),
    ),
    calibration: table(
      'calibration',
      plan.sensors.flatMap(({ sensor, calibration }) =>
        (calibration?.points ?? []).map(({ appliedKpa, raw, direction }, index) => ({
          sensor,
          step: index + 1,
          direction,
          applied: appliedKpa,
          applied_unit: 'kPa',
          raw,
          ...referenceCells(calibration!),
        })),
      ),
    ),
    zeros: table(
      'zeros',
      plan.sensors.flatMap(({ sensor }) =>
        ENDS.flatMap(({ end, when }) => {
          const raw = dayZeroOf(board.zeros, sensor, end);
          return raw === null ? [] : [{ sensor, trial: null, when, raw }];
        }),
      ),
    ),
    checks: table('checks', checkRows(deck)),
    trials: table(
      'trials',
      swims.map((swim) => {
        const trace = fileOf(swim.trial, 'trace', null);
        const film = fileOf(swim.trial, 'film', MAIN_CAMERA);
        const section = sections.get(swim.trial);
        return {
          trial: swim.trial,
          participant: swim.participant,
          attempt: swim.attempt,
          condition: swim.condition,
          trace: trace === undefined ? null : pathOfFile(trace),
          video: film === undefined ? null : pathOfFile(film),
          ...handsOf(deck, worn, swim),
          section_start_s: section?.startS,
          section_end_s: section?.endS,
          timing_method: section?.method,
          timing_u_s: section?.uS,
          ...statusOf(swim, words),
        };
      }),
    ),
    videos: table(
      'videos',
      files.flatMap((file) => {
        const { trial, as, camera } = file.place;
        const isFurther =
          as === 'film' && camera !== MAIN_CAMERA && swims.some((swim) => swim.trial === trial);
        return isFurther ? [{ trial, camera, file: pathOfFile(file) }] : [];
      }),
    ),
  };
}

/** The reference of a calibration as calibration.csv states it: % of the applied pressure, and kPa; none where it is 0. */
function referenceCells({ reference: { scale, zeroKpa } }: NonNullable<AssignedSensor['calibration']>): Row {
  return {
    // As it was typed: a share made a percentage again may be off in its last digit.
    reference_scale_u_pct: scale === 0 ? null : Number((100 * scale).toPrecision(15)),
    reference_zero_u: zeroKpa === 0 ? null : zeroKpa,
  };
}

/**
 * The day's sensors: what the next swimmer wears, but none for a hand that wore none in some trial. A blank cell of
 * trials.csv stands for the day's sensor, so that no other words could say that there was none.
 */
function dayWorn({ plan, board }: Deck): Readonly<Record<Hand, string | null>> {
  const of = (hand: Hand) => {
    const was = (swim: BoardTrial) =>
      (swim.worn === null ? plan.worn : swim.worn)[swim.handsSwapped ? other(hand) : hand];
    return board.trials.some((swim) => swim.worn !== null && was(swim) === null) ? null : plan.worn[hand];
  };
  return { left: of('left'), right: of('right') };
}

function other(hand: Hand): Hand {
  return hand === 'left' ? 'right' : 'left';
}

/** Sensors and columns of a trial, where they differ from the day's. */
function handsOf({ plan }: Deck, ofDay: Readonly<Record<Hand, string | null>>, swim: BoardTrial) {
  const worn = swim.worn ?? plan.worn;
  const own = (hand: Hand) => (worn[hand] === ofDay[hand] ? null : worn[hand]);
  if (!swim.handsSwapped) return { left_sensor: own('left'), right_sensor: own('right') };
  const { left, right } = plan.setup.files;
  return { left_sensor: worn.right, right_sensor: worn.left, left_column: right, right_column: left };
}

function statusOf({ answer }: BoardTrial, words: (text: string) => string) {
  if (answer === null) return { status: 'recorded' };
  if (answer.what === 'keep') return { status: 'accepted' };
  const prefix = answer.what === 'again' ? 'swum again: ' : '';
  return { status: 'excluded', exclusion_reason: `${prefix}${words(answer.reason)}` };
}

/** Zeros of the day as zeros.csv calls its two ends. */
const ENDS = [
  { end: 'start', when: 'before' },
  { end: 'end', when: 'after' },
] as const;

/** Known pressures of the day, each end with its zero first. */
function checkRows({ plan, board }: Deck): readonly Row[] {
  const readings = standingPressures(board.checks);
  return plan.sensors.flatMap(({ sensor }) =>
    ENDS.flatMap(({ end: when }) => {
      const own = readings.filter((one) => one.sensor === sensor && one.when === when);
      const zero = dayZeroOf(board.zeros, sensor, when);
      const rows = own.map(({ appliedKpa, raw }) => ({ applied: appliedKpa, raw }));
      if (rows.length > 0 && zero !== null) rows.unshift({ applied: 0, raw: zero });
      return rows.map((row) => ({ sensor, when, applied_unit: 'kPa', ...row }));
    }),
  );
}

type Row = Readonly<Record<string, string | number | null | undefined>>;

/** Rows as a table of text, which is read like one from a file. */
function table(name: TableName, rows: readonly Row[]): TextTable {
  const header = columnsOf(name);
  return {
    file: `${name}.csv`,
    header,
    rows: rows.map((row, index) => ({
      line: index + 2,
      cells: header.map((column) => {
        const cell = row[column] ?? null;
        return typeof cell === 'number' ? printCell(cell) : guardText(cell ?? '');
      }),
    })),
    unclosed: [],
    decimalComma: false,
  };
}

/** True where a trial may be shown: its swimmer is on the list and consents. */
export function isShown({ plan }: Deck, swim: BoardTrial): boolean {
  const swimmer = plan.swimmers.find(({ participant }) => participant === swim.participant);
  return swimmer !== undefined && consentHolds(swimmer.consents.measuring);
}
