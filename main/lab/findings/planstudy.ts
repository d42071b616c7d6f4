/** What a plan is answered from: days as they stand now, or a release, as the tables that a comparison reads. */
import { createHash } from 'node:crypto';
import { printCell, unguardText } from '../../../core/base/csv.ts';
import { done, type LabError, type Outcome } from '../../../core/base/refusal.ts';
import { addAll } from '../../../core/base/extent.ts';
import type { PlanSource } from '../../../core/contract/plans.ts';
import { datasetTables } from '../../../core/dataset/dataset.ts';
import { TABLE_NAMES, type TableName } from '../../../core/dataset/pool.ts';
import { studyOf, type Study, type StudyTable } from '../../../core/findings/study.ts';
import type { Session } from '../kept/session.ts';
import { trialOutcomes } from '../kept/outcome.ts';
import { decidedBook } from './frozenday.ts';
import { openRelease } from './releaserows.ts';

/** A study with the hash of the tables that it was made of. */
export interface SourceStudy {
  readonly study: Study;
  readonly sha256: string;
}

/** A day's tables; the section's uncertainty is its protocol's, m. */
interface DayTables {
  readonly day: string;
  readonly sectionUM: number | null;
  readonly tables: ReadonlyMap<TableName, StudyTable>;
}

/** Reads a source. */
export async function sourceStudy(
  session: Session,
  source: PlanSource,
): Promise<Outcome<SourceStudy, LabError>> {
  const days =
    'release' in source ? await releaseDays(session, source.release) : await nowDays(session, source.days);
  return days.ok ? done(joined(days.value)) : days;
}

async function nowDays(
  session: Session,
  ids: readonly number[],
): Promise<Outcome<readonly DayTables[], LabError>> {
  const days: DayTables[] = [];
  for (const id of ids) {
    const computed = await trialOutcomes(session, id, () => undefined, 'known');
    if (!computed.ok) return computed;
    const { day, outcomes } = computed.value;
    const book = decidedBook(session, day);
    const records = book.trials.map((entry, k) => ({ entry, result: outcomes[k]!.result }));
    const tables = datasetTables(book, records, []).map(
      ({ name, fields, rows }) =>
        [
          name,
          {
            columns: fields.map((field) => field.name),
            // Texts stand as they are; numbers as they would be printed.
            rows: rows.map((row) => row.map((cell) => (typeof cell === 'string' ? cell : printCell(cell)))),
          },
        ] as const,
    );
    days.push({ day: day.row.day, sectionUM: book.day.protocol.sectionUM, tables: new Map(tables) });
  }
  return done(days);
}

async function releaseDays(session: Session, name: string): Promise<Outcome<readonly DayTables[], LabError>> {
  const opened = openRelease(session, name);
  if (!opened.ok) return opened;
  const days: DayTables[] = [];
  for (const { day: code } of opened.value.about.days) {
    const day = await opened.value.day(code);
    if (!day.ok) return day;
    const tables = new Map<TableName, StudyTable>();
    for (const table of TABLE_NAMES) {
      const read = await day.value.table(table);
      if (!read.ok) return read;
      tables.set(table, {
        columns: read.value.columns,
        rows: read.value.rows.map((row) => row.map(unguardText)),
      });
    }
    const provenance = await day.value.provenance();
    if (!provenance.ok) return provenance;
    const u = (provenance.value as { parameters?: { day?: { protocol?: { section_u_m?: unknown } } } })
      .parameters?.day?.protocol?.section_u_m;
    days.push({ day: code, sectionUM: typeof u === 'number' ? u : null, tables });
  }
  return done(days);
}

function joined(days: readonly DayTables[]): SourceStudy {
  const hash = createHash('sha256');
  const table = (name: TableName): StudyTable => {
    const columns = ['day', ...(days[0]?.tables.get(name)?.columns ?? [])];
    const rows: (readonly string[])[] = [];
    for (const { day, tables } of days)
      addAll(
        rows,
        (tables.get(name)?.rows ?? []).map((row) => [day, ...row]),
      );
    hash.update(JSON.stringify([name, columns, rows]));
    return { columns, rows };
  };
  const tables = {
    trials: table('trials'),
    participants: table('participants'),
    strokes: table('strokes'),
    calibrations: table('calibrations'),
    sectionUM: new Map(days.map(({ day, sectionUM }) => [day, sectionUM])),
  };
  return { study: studyOf(tables), sha256: hash.digest('hex') };
}
