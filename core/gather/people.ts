/**
 * Whose rows and files may be looked at, and which trials the tables tell of: consents first, then the roster, then the
 * trials. Codes that differ in case alone are one. Contract: formats.md sections 1 and 5.
 */
import { addAll } from '../base/extent.ts';
import type { Refusal } from '../base/refusal.ts';
import { inOneGo } from '../base/slices.ts';
import { RefusedRuns } from '../base/refusedruns.ts';
import { cellOf, parseNumber, type TextRow, type TextTable } from '../base/table.ts';
import { swimmersOf, trialsOf, withheldSwimmers } from '../day/shelf.ts';
import type { RosterRow, TrialRow } from '../day/tables.ts';
import { type MappedRows, Spelling, withCells } from './tables.ts';
import { foldName } from './pattern.ts';

/** What a row of the trials' table says of whose swim it is. */
export interface KnownTrial {
  readonly trial: string;
  readonly participant: string;
  readonly attempt: number | null;
  readonly condition: string | null;
  /** The row as read; null where it was refused. */
  readonly row: TrialRow | null;
  readonly line: number;
  /** True where the swimmer does not consent: nothing of it is named. */
  readonly isWithheld: boolean;
  /** True where the row was to be left out by a person. */
  readonly isExcluded: boolean;
}

export interface People {
  /** Every code of the roster, refused rows and swimmers without consent included. */
  readonly codes: Spelling;
  readonly withheld: ReadonlySet<string>;
  /** The swimmers whose rows stand, by code, in the roster's order. */
  readonly roster: ReadonlyMap<string, RosterRow>;
  /** The trials that rows tell of, each code once, in the table's order. */
  readonly trials: readonly KnownTrial[];
  readonly refused: readonly Refusal[];
}

/**
 * Reads both tables.
 * @param isOneTable true where one file gives roster and trials: then a swimmer's row may come again unchanged
 */
export function peopleOf(roster: MappedRows, trials: MappedRows | null, isOneTable: boolean): People {
  const refused: Refusal[] = [];
  const codes = new Spelling();
  const spelled = (table: TextTable) => withCells(table, 'participant', (cell) => codes.keep(cell));
  const all = spelled(roster.all);
  const withheld = inOneGo(withheldSwimmers(all, refused));
  const sound = spelled(isOneTable ? once(roster.sound) : roster.sound);
  const read = inOneGo(swimmersOf(sound, withheld));
  addAll(refused, read.refused);
  const standing = new Map(read.swimmers.map((row) => [row.participant, row]));
  const known = trials === null ? [] : knownTrials(trials, codes, withheld, standing, refused);
  return { codes, withheld, roster: standing, trials: known, refused };
}

/** The rows of a table, each once where its cells come again. */
function once(table: TextTable): TextTable {
  const seen = new Set<string>();
  const rows = [...table.rows].filter(({ cells }) => {
    const key = JSON.stringify(cells);
    return !seen.has(key) && seen.add(key);
  });
  return { ...table, rows };
}

/** Splits a trial’s code into a swimmer of the roster and an attempt (a count from 1, no unit); null where it is not made so. */
export function splitTrial(
  trial: string,
  codes: Spelling,
): { readonly participant: string; readonly attempt: number } | null {
  const [, code, digits] = /^(.+)-(\d{1,9})$/.exec(trial) ?? [];
  const participant = code === undefined ? null : codes.find(code);
  const attempt = Number(digits);
  return participant === null || !(attempt >= 1) ? null : { participant, attempt };
}

function knownTrials(
  mapped: MappedRows,
  codes: Spelling,
  withheld: ReadonlySet<string>,
  roster: ReadonlyMap<string, RosterRow>,
  refused: Refusal[],
): readonly KnownTrial[] {
  const whose = withOwners(mapped.all, codes);
  const counts = new Map<string, number>();
  for (const row of whose.rows) {
    const participant = cellOf(whose, row, 'participant');
    counts.set(participant, (counts.get(participant) ?? 0) + 1);
  }
  const numbered = withCells(whose, 'attempt', (cell, row) => {
    if (cell !== '') return cell;
    const split = splitTrial(cellOf(whose, row, 'trial'), codes);
    if (split !== null) return String(split.attempt);
    const isOnly = cellOf(whose, row, 'trial') === '' && counts.get(cellOf(whose, row, 'participant')) === 1;
    return isOnly ? '1' : '';
  });
  const spelling = new Spelling();
  const coded = withCells(numbered, 'trial', (cell, row) => {
    const code =
      cell === '' ? codeOf(cellOf(numbered, row, 'participant'), cellOf(numbered, row, 'attempt')) : cell;
    return code === '' ? '' : spelling.keep(code);
  });
  const nameless = new RefusedRuns(coded.file);
  const isSound = new Set([...mapped.sound.rows].map(({ line }) => line));
  const rows = [...coded.rows].filter((row) => {
    if (!isSound.has(row.line)) return false;
    if (cellOf(coded, row, 'trial') !== '' || withheld.has(cellOf(coded, row, 'participant'))) return true;
    const says =
      'The row gives neither a trial nor an attempt, and the swimmer has other rows; give one of the two.';
    nameless.add(row.line, 'attempt', 'attempt', () => says);
    return false;
  });
  addAll(refused, nameless.list());
  const shelf = inOneGo(trialsOf({ trials: { ...coded, rows } }, withheld, roster));
  addAll(refused, shelf.refused);
  const standing = new Map(shelf.rows.map(({ line, value }) => [line, value]));
  return uniqueTrials([...coded.rows].flatMap((row) => toKnown(coded, row, standing, withheld, codes)));
}

/** The table with the swimmer of every row spelt as in the roster; taken from the trial's code where it is not given. */
function withOwners(table: TextTable, codes: Spelling): TextTable {
  return withCells(table, 'participant', (cell, row) => {
    if (cell !== '') return codes.find(cell) ?? cell;
    return splitTrial(cellOf(table, row, 'trial'), codes)?.participant ?? cell;
  });
}

/** `participant-attempt`; nothing where one of the two is not given. */
export function codeOf(participant: string, attempt: string): string {
  if (participant === '' || attempt === '') return '';
  return `${participant}-${parseNumber(attempt) ?? attempt}`;
}

function toKnown(
  table: TextTable,
  row: TextRow,
  standing: ReadonlyMap<number, TrialRow>,
  withheld: ReadonlySet<string>,
  codes: Spelling,
): readonly KnownTrial[] {
  const cell = (name: string) => cellOf(table, row, name);
  const [trial, participant] = [cell('trial'), codes.find(cell('participant'))];
  if (trial === '' || participant === null) return [];
  const read = standing.get(row.line) ?? null;
  const attempt = parseNumber(cell('attempt'));
  return [
    {
      trial,
      participant,
      attempt: attempt !== null && Number.isInteger(attempt) ? attempt : null,
      condition: read === null ? cell('condition') || null : read.condition,
      row: read,
      line: row.line,
      isWithheld: withheld.has(participant),
      isExcluded: cell('status') === 'excluded',
    },
  ];
}

/** Each trial code once: the row that stands, else the first. */
function uniqueTrials(trials: readonly KnownTrial[]): readonly KnownTrial[] {
  const found = new Map<string, KnownTrial>();
  for (const trial of trials) {
    const key = foldName(trial.trial);
    const before = found.get(key);
    if (before === undefined || (before.row === null && !before.isWithheld && trial.row !== null))
      found.set(key, trial);
  }
  return [...found.values()];
}
