/**
 * Whose rows of a day may be looked at at all, and which trials stand: consents first, then the roster, then
 * trials.csv. What else names a trial is held against this. Contract: formats.md section 1.
 */
import { type RowFault, type ReadTable, type TextRow, type TextTable } from '../base/table.ts';
import { cellOf, ownFault, refuseWhere } from '../base/table.ts';
import type { Refusal } from '../base/refusal.ts';
import { endsSlice, type Slices } from '../base/slices.ts';
import { RefusedRuns } from '../base/refusedruns.ts';
import { addAll } from '../base/extent.ts';
import { type RosterRow, type TrialRow, CONSENTS, MOST } from './tables.ts';
import { atMost, consentHolds, keepFirst, readDayTable } from './tables.ts';

/**
 * Codes of swimmers of whom some row does not give consent. A consent that cannot be read gives none; its row is
 * refused without naming the swimmer.
 */
export function* withheldSwimmers(
  roster: TextTable | undefined,
  refused: Refusal[],
): Slices<ReadonlySet<string>> {
  const withheld = new Set<string>();
  if (roster === undefined) return withheld;
  const unreadable = new RefusedRuns(roster.file);
  let seen = 0;
  for (const row of roster.rows) {
    if (endsSlice(seen++)) yield;
    const consent = cellOf(roster, row, 'consent') || 'missing';
    const known = CONSENTS.find((value) => value === consent);
    if (known !== undefined && consentHolds(known)) continue;
    const participant = cellOf(roster, row, 'participant');
    if (participant !== '') withheld.add(participant);
    if (known !== undefined) continue;
    const says = `consent is "${consent}"; it takes one of ${CONSENTS.join(', ')}: until it does, the swimmer is left out.`;
    unreadable.add(row.line, 'consent', 'consent', () => says);
  }
  addAll(refused, unreadable.list());
  return withheld;
}

/** The swimmers of a roster, in its order; rows of those without consent are passed over. */
export function* swimmersOf(
  roster: TextTable | undefined,
  withheld: ReadonlySet<string>,
): Slices<{ readonly swimmers: readonly RosterRow[]; readonly refused: readonly Refusal[] }> {
  if (roster === undefined) return { swimmers: [], refused: [] };
  const { rows, refused } = yield* keepFirst(
    yield* readDayTable('roster', roster, passOver(roster, 'participant', withheld)),
    roster.file,
    (row) => row.participant,
    (row) => `the participant ${row.participant}`,
  );
  return { swimmers: rows.map(({ value }) => value), refused };
}

/** Tells whether a row is of a code that is passed over. */
export function passOver(
  table: TextTable,
  column: 'participant' | 'trial',
  codes: ReadonlySet<string>,
): (row: TextRow) => boolean {
  return (row) => codes.size > 0 && codes.has(cellOf(table, row, column));
}

export interface Shelf extends ReadTable<TrialRow> {
  /** Codes of trials that belong to swimmers without consent. */
  readonly withheld: ReadonlySet<string>;
  readonly withheldRows: number;
  /** Why a row that names a trial is left out; null where the trial stands. */
  readonly faultOf: (row: { readonly trial: string }) => RowFault | null;
}

/** The trials that stand. */
export function* trialsOf(
  texts: { readonly roster?: TextTable; readonly trials?: TextTable },
  withheldSwimmerCodes: ReadonlySet<string>,
  roster: ReadonlyMap<string, RosterRow>,
): Slices<Shelf> {
  const text = texts.trials;
  const owner = new Map<string, string>();
  let withheldRows = 0;
  let seen = 0;
  for (const row of text?.rows ?? []) {
    if (endsSlice(seen++)) yield;
    const [trial, participant] = [cellOf(text!, row, 'trial'), cellOf(text!, row, 'participant')];
    if (!owner.has(trial)) owner.set(trial, participant);
    if (withheldSwimmerCodes.has(participant)) withheldRows++;
  }
  const withheld = new Set(
    [...owner].filter(([, participant]) => withheldSwimmerCodes.has(participant)).map(([trial]) => trial),
  );
  const refusedSwimmers = yield* missingIn(texts.roster, 'participant', roster);
  const table: ReadTable<TrialRow> =
    text === undefined
      ? { rows: [], refused: [] }
      : yield* atMost(
          yield* keepFirst(
            yield* refuseWhere(
              yield* readDayTable('trials', text, passOver(text, 'participant', withheldSwimmerCodes)),
              text.file,
              'participant',
              (row) => trialFault(row, roster, refusedSwimmers, withheld),
            ),
            text.file,
            (row) => row.trial,
            (row) => `the trial ${row.trial}`,
          ),
          text.file,
          MOST.trials,
          'trials',
          () => '',
        );
  const stands = new Set(table.rows.map(({ value }) => value.trial));
  const faultOf = ({ trial }: { readonly trial: string }): RowFault | null => {
    if (stands.has(trial)) return null;
    const participant = owner.get(trial);
    if (participant === undefined)
      return ownFault(
        'trial',
        `trial is "${trial}"; trials.csv has no such trial: add it there or correct the code.`,
      );
    if (roster.has(participant))
      return { kind: 'follows', because: `Left out because the trial ${trial} was refused in trials.csv.` };
    const why = refusedSwimmers.has(participant) ? 'was refused in' : 'is not in';
    return {
      kind: 'follows',
      because: `Left out because the swimmer ${participant} of trials.csv ${why} roster.csv.`,
    };
  };
  return { ...table, withheld, withheldRows, faultOf };
}

/** Codes that a table names and of which no row was kept. */
function* missingIn(
  table: TextTable | undefined,
  column: 'participant',
  kept: { readonly has: (code: string) => boolean },
): Slices<ReadonlySet<string>> {
  const missing = new Set<string>();
  let seen = 0;
  for (const row of table?.rows ?? []) {
    if (endsSlice(seen++)) yield;
    const code = cellOf(table!, row, column);
    if (!kept.has(code)) missing.add(code);
  }
  return missing;
}

function trialFault(
  row: TrialRow,
  roster: ReadonlyMap<string, RosterRow>,
  refusedSwimmers: ReadonlySet<string>,
  withheld: ReadonlySet<string>,
): RowFault | null {
  const { trial, participant } = row;
  if (withheld.has(trial))
    // Not quoted: the code may name the swimmer without consent that the earlier row is of.
    return ownFault('used', 'An earlier row uses this trial code; give every trial a code of its own.');
  if (refusedSwimmers.has(participant))
    return {
      kind: 'follows',
      because: `Left out because the swimmer ${participant} was refused in roster.csv.`,
    };
  if (!roster.has(participant))
    return ownFault(
      'participant',
      `participant is "${participant}"; roster.csv has no such swimmer: add the swimmer with their consent, or correct the code.`,
    );
  if (row.status === 'excluded' && (row.exclusion_reason ?? '') === '')
    return ownFault(
      'reason',
      `exclusion_reason is empty and status is "excluded"; write why ${trial} was left out.`,
    );
  return null;
}

/** Trials whose section ends before it starts: they stay, without a section. */
export function sectionRefusals({ rows }: ReadTable<TrialRow>, file: string): readonly Refusal[] {
  const refused = new RefusedRuns(file);
  for (const { line, value } of rows) {
    const { section_start_s: start, section_end_s: end } = value;
    if (start === null || end === null || end > start) continue;
    const says = `section_end_s is ${end}; it must be later than section_start_s (${start}): the section was left out, the trial stays.`;
    refused.add(line, 'section_end_s', 'section', () => says);
  }
  return refused.list();
}
