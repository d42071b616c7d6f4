/** A person's tables for a running testing day: swimmers, and section times. */
import { knownHeadings, type MatchField } from '../../../core/lists/columns.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { consentHolds } from '../../../core/day/tables.ts';
import type { DeckBoard, DeckPlan } from '../../../core/deck/deck.ts';
import type { RosterMatch } from '../../../core/lists/roster.ts';
import type { SectionMatch } from '../../../core/lists/sections.ts';
import type { ProtocolContent } from '../../../core/protocol/content.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { ROSTER_FIELDS } from '../../../core/lists/rosterfields.ts';
import { matchRoster } from '../../../core/lists/roster.ts';
import type { SectionWord } from '../../../core/marking/words.ts';
import { matchSections, SECTION_FIELDS } from '../../../core/lists/sections.ts';
import type { TextTable } from '../../../core/base/table.ts';
import { isPreamble, splitLine } from '../../files/dialect.ts';
import { parseTextTable } from '../../files/texttable.ts';

/** What the tables are held against. */
export interface MatchState {
  readonly protocol: { readonly content: ProtocolContent };
  readonly plan: DeckPlan;
  readonly board: DeckBoard;
}

export type Matching = Readonly<Record<string, string>> | null;

/** Reads a list of swimmers; `matching` null asks for a guess of its columns. */
export function rosterMatch(
  { plan }: Pick<MatchState, 'plan'>,
  text: string,
  matching: Matching,
): Outcome<RosterMatch, LabError> {
  const table = readTable(text, ROSTER_FIELDS);
  if (!table.ok) return table;
  return done(
    matchRoster({
      table: table.value,
      matching,
      date: plan.setup.date,
      known: plan.swimmers.map(({ participant }) => participant),
    }),
  );
}

/**
 * Reads section times; `matching` null asks for a guess of its columns.
 * @param sections the section times that trials have already, by trial
 */
export function sectionMatch(
  { plan, board, protocol }: MatchState,
  sections: ReadonlyMap<string, SectionWord>,
  text: string,
  matching: Matching,
): Outcome<SectionMatch, LabError> {
  const table = readTable(text, SECTION_FIELDS);
  if (!table.ok) return table;
  const consenting = new Set(
    plan.swimmers
      .filter(({ consents }) => consentHolds(consents.measuring))
      .map(({ participant }) => participant),
  );
  const { timing, sectionFromWallM } = protocol.content;
  return done(
    matchSections({
      table: table.value,
      matching,
      trials: board.trials
        .filter(({ participant }) => consenting.has(participant))
        .map(({ trial, state }) => ({ trial, state, section: sections.get(trial) ?? null })),
      method: timing.method,
      uS: { video: null, gate: timing.gateUS, stopwatch: timing.stopwatchUS },
      sectionM: Math.abs(sectionFromWallM[0] - sectionFromWallM[1]),
    }),
  );
}

/** The file's name in sentences: its own never reaches the lab. */
const TABLE = 'The table';

function readTable(given: string, fields: readonly MatchField[]): Outcome<TextTable, LabError> {
  const text = given.replace(/^\uFEFF/, '');
  if (text.includes('\uFFFD') || text.includes('\0'))
    return failed({
      code: 'bad_input',
      says: 'The table is not UTF-8 text: some of its letters cannot be read.',
      todo: 'Save it as CSV in UTF-8, then choose it again.',
    });
  const table = parseTextTable(text, TABLE, expectedOf(text, fields));
  if (!table.ok)
    return failed({ code: 'bad_input', says: table.error.reason, todo: 'Choose the table again.' });
  if ([...table.value.rows].length > 0 || table.value.unclosed.length > 0) return table;
  return failed({
    code: 'bad_input',
    says: 'The table has a header row and nothing below it.',
    todo: 'Choose a table with a row for each swimmer or trial.',
  });
}

/** The headings that tell the separator: those of the one under which most are known, else the most. */
function expectedOf(text: string, fields: readonly MatchField[]): readonly string[] {
  const header = text.split(/\r\n|\r|\n/).find((line) => !isPreamble(line)) ?? '';
  const ways = ([',', ';', '\t'] as const).map((delimiter) => splitLine(header, delimiter));
  const score = (cells: readonly string[]) => 1000 * knownHeadings(cells, fields) + cells.length;
  return ways.reduce((best, cells) => (score(cells) > score(best) ? cells : best));
}
