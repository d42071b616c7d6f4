/** What changed between two releases, day by day and row by row. */
import type { LabError } from '../../../core/base/refusal.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import { unguardText } from '../../../core/base/csv.ts';
import type { ReleaseDiff, RowChangeView } from '../../../core/contract/releases.ts';
import {
  diffRows,
  diffSentence,
  DIFF_TABLES,
  type RowChange,
  type TableCount,
} from '../../../core/dataset/releasediff.ts';
import { veiled, type Names } from '../../../core/deck/veil.ts';
import type { Session } from '../kept/session.ts';
import { openRelease, type OpenDay } from './releaserows.ts';

type Counting = { -readonly [K in keyof TableCount]: TableCount[K] };

/** Rows that a screen is given. */
const MOST_ROWS = 1000;

/**
 * Compares two releases; days that only one has are told and not gone into.
 * @param onRow told of every row that differs, in order
 */
export async function diffReleases(
  session: Session,
  from: string,
  to: string,
  onRow: (row: RowChangeView) => void = () => undefined,
): Promise<Outcome<ReleaseDiff, LabError>> {
  const [before, after] = [openRelease(session, from), openRelease(session, to)];
  if (!before.ok) return before;
  if (!after.ok) return after;
  const [was, is] = [before.value, after.value].map(({ about }) => about.days.map(({ day }) => day)) as [
    string[],
    string[],
  ];
  const rows: RowChangeView[] = [];
  let differing = 0;
  const counts = new Map(
    DIFF_TABLES.map((table): [typeof table, Counting] => [
      table,
      { table, added: 0, removed: 0, changed: 0 },
    ]),
  );
  for (const day of is.filter((code) => was.includes(code))) {
    const [old, young] = [await before.value.day(day), await after.value.day(day)];
    if (!old.ok) return old;
    if (!young.ok) return young;
    const names: Names = (text) => old.value.names(text) || young.value.names(text);
    for (const table of DIFF_TABLES) {
      const changes = await tableChanges(table, day, old.value, young.value);
      if (!changes.ok) return changes;
      for (const change of changes.value) {
        counts.get(table)![change.what] += 1;
        const view = shownRow(change, names);
        if (rows.length < MOST_ROWS) rows.push(view);
        differing += 1;
        onRow(view);
      }
    }
  }
  const tables = [...counts.values()];
  const versions = { from: before.value.stored.version, to: after.value.stored.version };
  const diff = {
    from,
    to,
    daysAdded: is.filter((day) => !was.includes(day)),
    daysRemoved: was.filter((day) => !is.includes(day)),
    tables,
  };
  const says = diffSentence({ ...diff, versions: versions.from === versions.to ? null : versions });
  return done({ ...diff, says, rows, more: differing - rows.length });
}

async function tableChanges(
  table: (typeof DIFF_TABLES)[number],
  day: string,
  old: OpenDay,
  young: OpenDay,
): Promise<Outcome<readonly RowChange[], LabError>> {
  const [before, after] = [await old.table(table), await young.table(table)];
  if (!before.ok) return before;
  if (!after.ok) return after;
  return done(diffRows(table, day, before.value, after.value));
}

function shownRow({ row, cells, ...change }: RowChange, names: Names): RowChangeView {
  return {
    ...change,
    row: veiled(names, row),
    cells: cells.map(({ column, before, after }) => ({
      column,
      before: veiled(names, unguardText(before)),
      after: veiled(names, unguardText(after)),
    })),
  };
}
