/**
 * Section times from a person's table: start and end on the trial's clock, or one of them with the duration. The words
 * of the headings, and the velocities between which a section time is not questioned, are common practice, no source.
 */
import {
  type MatchView,
  words,
  type MatchField,
  matchTable,
  type MatchedCell,
  type MatchedRow,
} from './columns.ts';
import type { SectionWord } from '../marking/words.ts';
import { meanings, type Say, type QuantityRule, readQuantity, readWord } from './cells.ts';
import type { TimingMethod } from '../protocol/content.ts';
import type { TextTable } from '../base/table.ts';
import { figures } from '../base/words.ts';

export type SectionMatch = MatchView<{ readonly trial: string; readonly section: SectionWord }>;

const BESIDE = words('section time clock zeit uhrzeit temps tiempo tempo tijd trial abschnitt moment');

/** The fields of a section time that a column may give. */
export const SECTION_FIELDS: readonly MatchField[] = [
  {
    field: 'trial',
    needed: true,
    says: 'The trial’s code, such as P01-1.',
    groups: [words('trial run swim versuch lauf essai prueba ensayo prova ensaio poging')],
    beside: words('code id name no nr number'),
  },
  {
    field: 'start',
    needed: false,
    says: 'Start of the section on the trial’s clock, s; may be left to end and duration.',
    groups: [words('start begin beginning from anfang beginn debut depart inicio inizio')],
    beside: BESIDE,
  },
  {
    field: 'end',
    needed: false,
    says: 'End of the section on the trial’s clock, s; may be left to start and duration.',
    groups: [words('end finish stop until ende fin fim fine arrivee eind einde')],
    beside: BESIDE,
  },
  {
    field: 'duration',
    needed: false,
    says: 'How long the section took, s, beside its start or its end.',
    groups: [
      words(
        'duration dauer duree duracion durata duracao duur elapsed lap split interval time zeit temps tiempo tempo tijd',
      ),
    ],
    beside: words('section abschnitt total'),
  },
  {
    field: 'method',
    needed: false,
    says: 'video, gate or stopwatch; empty is the protocol’s way.',
    groups: [words('method methode metodo how')],
    beside: words('timing timed section time'),
  },
  {
    field: 'uncertainty',
    needed: false,
    says: 'Standard uncertainty of one section time, s; empty is the protocol’s for gates and stopwatch.',
    groups: [
      words('u uncertainty unsicherheit messunsicherheit incertitude incertidumbre incerteza incertezza'),
    ],
    beside: words('timing section time standard'),
  },
];

const METHODS = meanings<TimingMethod>({
  video: 'video|film|camera|cam|kamera|marks|frames',
  gate: 'gate|gates|timing gate|timing gates|light gate|light gates|photocell|photocells|beam|lichtschranke|lichtschranken|cellule|cellules|celula|fotocellula',
  stopwatch:
    'stopwatch|watch|hand|by hand|manual|manually|stoppuhr|chrono|chronometre|cronometro|cronometer|stopwatch by hand',
});

/** A trial of the day that may be timed. */
export interface TimedTrial {
  readonly trial: string;
  readonly state: 'planned' | 'swimming' | 'swum' | 'skipped';
  /** Section times that are there already. */
  readonly section: SectionWord | null;
}

export interface SectionOrder {
  readonly table: TextTable;
  /** Which column gives which field; null asks for a guess. */
  readonly matching: Readonly<Record<string, string>> | null;
  /** The trials of the swimmers who consent. */
  readonly trials: readonly TimedTrial[];
  /** How the protocol times, and its standard uncertainty of one moment, s, by method; null where it has none. */
  readonly method: TimingMethod;
  readonly uS: Readonly<Record<TimingMethod, number | null>>;
  /** Length of the section, m. */
  readonly sectionM: number;
}

type Row = { readonly trial: string; readonly section: SectionWord };

/** Matches the columns of a table of section times and reads its rows. */
export function matchSections(order: SectionOrder): SectionMatch {
  return matchTable<Row>({
    table: order.table,
    fields: SECTION_FIELDS,
    chosen: order.matching,
    leftOut: () => false,
    leftOutSays: () => '',
    read(rows) {
      const trials = new Map(order.trials.map((trial) => [trial.trial, trial]));
      const lines = new Map<string, number>();
      return rows.map((row) => {
        const problems: string[] = [];
        const say: Say = (problem) => problems.push(problem);
        const trial = readTrial(row.cell('trial'), trials, say);
        if (trial !== null) {
          const line = lines.get(trial.trial);
          if (line === undefined) lines.set(trial.trial, row.line);
          else say(`${trial.trial} is in line ${line} already; that row stays: take one of the two out.`);
        }
        const section = readSection(row, order, say);
        if (problems.length > 0 || trial === null || section === null) return { value: null, problems };
        return {
          value: { trial: trial.trial, section },
          problems: remarksOn(trial, section, order.sectionM),
        };
      });
    },
  });
}

function readTrial(
  cell: MatchedCell | null,
  trials: ReadonlyMap<string, TimedTrial>,
  say: Say,
): TimedTrial | null {
  if (cell === null) {
    say('No column gives the trial: choose one, or add one with codes such as P01-1.');
    return null;
  }
  if (cell.text === '') {
    say(`“${cell.column}” is empty; give the trial’s code, such as P01-1.`);
    return null;
  }
  const trial = trials.get(cell.text);
  if (trial === undefined) {
    say(
      `${cell.text} is no trial on the board of a swimmer who consents; correct the code, or take the row out.`,
    );
    return null;
  }
  if (trial.state === 'planned' || trial.state === 'skipped') {
    const state = trial.state === 'planned' ? 'has not been swum yet' : 'was skipped';
    say(`${trial.trial} ${state}; correct the code, or put the trial right on the board first.`);
    return null;
  }
  return trial;
}

const MOMENT: QuantityRule = {
  what: 'a moment',
  unit: 's',
  factors: { s: 1, ms: 0.001, us: 0.000001, min: 60 },
  low: -86_400,
  high: 86_400,
};

const DURATION: QuantityRule = { ...MOMENT, what: 'a duration', low: 0, high: 3600 };

const UNCERTAINTY: QuantityRule = { ...MOMENT, what: 'a standard uncertainty', low: 0, high: 10 };

function readSection(row: MatchedRow, order: SectionOrder, say: Say): SectionWord | null {
  const { decimalComma } = order.table;
  let isWhole = true;
  const seconds = (field: string, rule: QuantityRule) =>
    readQuantity(withSeconds(row.cell(field), decimalComma), rule, decimalComma, (problem) => {
      isWhole = false;
      say(problem);
    });
  const start = seconds('start', MOMENT);
  const end = seconds('end', MOMENT);
  const duration = seconds('duration', DURATION);
  const method =
    readWord(row.cell('method'), METHODS, 'video, gate, stopwatch or nothing', say) ?? order.method;
  const uS = seconds('uncertainty', UNCERTAINTY) ?? order.uS[method];
  if (!isWhole) return null;
  const startS = start ?? (end === null || duration === null ? null : tidy(end - duration));
  const endS = end ?? (start === null || duration === null ? null : tidy(start + duration));
  if (startS === null || endS === null) {
    say(
      'The section has no start and end: give both on the trial’s clock, or one of them and the duration, s.',
    );
    return null;
  }
  if (!(endS > startS)) {
    say(
      `The section ends at ${endS} s and starts at ${startS} s; the end comes after the start: correct them.`,
    );
    return null;
  }
  // A millisecond is the last digit that timing devices commonly give; what differs by more is another section.
  if (start !== null && end !== null && duration !== null && Math.abs(end - start - duration) > 0.0015) {
    say(
      `From ${start} s to ${end} s are ${tidy(end - start)} s, and the duration says ${duration} s; correct one of the three.`,
    );
    return null;
  }
  return { startS, endS, method, uS };
}

/** A difference or sum of moments without the dust of the arithmetic. */
function tidy(seconds: number): number {
  return Number(seconds.toPrecision(12));
}

/** Minutes and seconds (1:02.5) as seconds. */
function withSeconds(cell: MatchedCell | null, decimalComma: boolean): MatchedCell | null {
  const parts = cell === null ? null : /^(\d{1,3}):([0-5]?\d(?:[.,]\d*)?)$/.exec(cell.text);
  if (cell === null || parts === null || (!decimalComma && parts[2]!.includes(','))) return cell;
  const seconds = 60 * Number(parts[1]) + Number(parts[2]!.replace(',', '.'));
  return { ...cell, text: String(tidy(seconds)), unit: 's' };
}

/** Velocities outside which a section time is likely a slip, m/s. */
const SLOWEST = 0.3;

const FASTEST = 4;

function remarksOn(trial: TimedTrial, section: SectionWord, sectionM: number): readonly string[] {
  const remarks: string[] = [];
  const velocity = sectionM / (section.endS - section.startS);
  if (sectionM > 0 && (velocity < SLOWEST || velocity > FASTEST))
    remarks.push(
      `These times give ${figures(velocity, 2)} m/s over ${figures(sectionM, 4)} m; see that they are seconds and belong to this section.`,
    );
  if (trial.section !== null)
    remarks.push(
      `${trial.trial} has section times already (${trial.section.startS} s to ${trial.section.endS} s); these take their place.`,
    );
  return remarks;
}
