/** A dataset or a pool as the tables that a comparison reads. */
import type { StudyTable, StudyTables } from '../../../core/findings/study.ts';
import type { TableName } from '../../../core/dataset/pool.ts';
import { unguardText } from '../../../core/base/csv.ts';
import type { DatasetFolder } from '../../files/datasetfolder.ts';

/** The tables of a folder, each with a column `day`. */
export function studyTables(folder: DatasetFolder): StudyTables {
  const table = (name: TableName): StudyTable | null => {
    const raw = folder.tables.get(name);
    if (raw === undefined) return null;
    const rows = raw.rows.map((row) => row.map(unguardText));
    if (folder.day === null) return { columns: raw.columns, rows };
    return { columns: ['day', ...raw.columns], rows: rows.map((row) => [folder.day!, ...row]) };
  };
  return {
    trials: table('trials')!,
    participants: table('participants') ?? { columns: ['day', 'participant'], rows: [] },
    strokes: table('strokes'),
    calibrations: table('calibrations'),
    sectionUM: sectionsOf(folder),
  };
}

/** What of a provenance.json says how long the section was. */
interface Provenance {
  readonly parameters?: { readonly day?: { readonly protocol?: { readonly section_u_m?: unknown } } };
}

function sectionsOf({ day, provenance }: DatasetFolder): ReadonlyMap<string, number | null> {
  const days =
    day === null
      ? Object.entries((provenance as { readonly days?: Record<string, Provenance> } | null)?.days ?? {})
      : [[day, provenance as Provenance | null] as const];
  return new Map(
    days.map(([name, own]) => {
      const u = own?.parameters?.day?.protocol?.section_u_m;
      return [name, typeof u === 'number' ? u : null];
    }),
  );
}
