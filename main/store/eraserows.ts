/** The rows of an erasure: what is about the swimmer is blanked, what others stand in is put in place without them. */
import type { WritableDb } from './database.ts';
import type { DayFile } from './days.ts';
import { brokenDecisions, calibrationSeal, decisionSeal, protocolSeal, type DecisionText } from './seals.ts';

export interface ErasingRows {
  /** The files of revisions that are no longer what they were; null for one that goes. */
  readonly dayFiles: readonly {
    readonly day: number;
    readonly revision: number;
    readonly path: string;
    readonly to: Pick<DayFile, 'sha256' | 'bytes'> | null;
  }[];
  /** Numbers of files that came in for the swimmer. */
  readonly arrivals: readonly number[];
  /** Ids of decisions about the swimmer as a whole. */
  readonly own: ReadonlySet<number>;
  /**
   * Any other decision as it is from now on, without the swimmer; null where it is to go like their own.
   * @param isWhole false where it is not what was recorded: its values may be no JSON any more
   */
  readonly decision: (
    row: DecisionText & { readonly day: number | null },
    isWhole: boolean,
  ) => DecisionText | null;
  /** Any other text without the swimmer, JSON or plain. */
  readonly text: (text: string) => string;
  /** Days whose kept results go; they are computed again. */
  readonly results: readonly number[];
}

/** What stands where a decision about the swimmer stood. */
export const ERASED_DECISION = 'erased';

/** Changes the rows inside a transaction; gives the number of decisions that were blanked or changed. */
export function eraseRows(db: WritableDb, erasing: ErasingRows): number {
  for (const { day, revision, path, to } of erasing.dayFiles) {
    db.run('DELETE FROM day_file WHERE day = ? AND revision = ? AND path = ?', day, revision, path);
    if (to !== null)
      db.run(
        'INSERT INTO day_file (day, revision, path, sha256, bytes) VALUES (?, ?, ?, ?, ?)',
        day,
        revision,
        path,
        to.sha256,
        to.bytes,
      );
  }
  for (const id of erasing.arrivals)
    db.run(
      `UPDATE arrival SET name = 'erased-' || id, bytes = 0, modified = at, sha256 = NULL, kind = 'other',
         outcome = 'stopped', reason = 'Erased.', continues = NULL WHERE id = ?`,
      id,
    );
  const gone = JSON.stringify(erasing.arrivals);
  db.run('UPDATE arrival SET continues = NULL WHERE continues IN (SELECT value FROM json_each(?))', gone);
  for (const day of erasing.results) db.run('DELETE FROM result WHERE day = ?', day);
  maskTexts(db, erasing.text);
  return eraseDecisions(db, erasing);
}

type DecisionRow = DecisionText & {
  readonly id: number;
  readonly day: number | null;
  readonly parent: number | null;
  readonly seal: string;
};

/** The seal of a row that was changed. One that was damaged keeps its own, so that the damage goes on being told. */
function sealAgain<T extends { readonly seal: string }>(sealOf: (row: T) => string, was: T, now: T): string {
  return sealOf(was) === was.seal ? sealOf(now) : was.seal;
}

function eraseDecisions(db: WritableDb, { own, decision }: ErasingRows): number {
  const broken = new Set(brokenDecisions(db).map(({ id }) => id));
  let count = 0;
  for (const row of db.all<DecisionRow>('SELECT * FROM decision ORDER BY id')) {
    const { id } = row;
    const now: DecisionText = (own.has(id) ? null : decision(row, !broken.has(id))) ?? blankOf(id);
    if (NAMES.every((name) => now[name] === row[name])) continue;
    const { trial, subject, key, before, after, says } = now;
    db.run(
      `UPDATE decision SET trial = @trial, subject = @subject, key = @key, before = @before, after = @after,
         says = @says, seal = @seal WHERE id = @id`,
      {
        ...{ trial, subject, key, before, after, says, id },
        seal: sealAgain(decisionSeal, row, { ...row, ...now }),
      },
    );
    count += 1;
  }
  return count;
}

const NAMES = ['trial', 'subject', 'key', 'before', 'after', 'says'] as const;

function blankOf(id: number): DecisionText {
  return {
    trial: null,
    subject: ERASED_DECISION,
    key: String(id),
    before: 'null',
    after: 'null',
    says: 'Erased',
  };
}

/** Columns of text in which a person may have written anything, with the columns that tell their row. */
const TEXTS = [
  { table: 'day_opening', columns: ['source'], key: ['id'] },
  { table: 'brought_sensor', columns: ['card'], key: ['sensor'] },
  { table: 'calibration_draft', columns: ['draft'], key: ['sensor'] },
  { table: 'recording', columns: ['file', 'time'], key: ['sha256'] },
  { table: 'protocol_draft', columns: ['draft'], key: ['protocol'] },
  { table: 'deck_day', columns: ['setup'], key: ['day'] },
  { table: 'arrival', columns: ['name', 'reason'], key: ['id'] },
  { table: 'plan_entry', columns: ['content'], key: ['id'] },
  { table: 'setting', columns: ['text'], key: ['key'] },
] as const;

type Cells = Record<string, string | number | null>;

function maskTexts(db: WritableDb, text: (text: string) => string): void {
  for (const { table, columns, key } of TEXTS)
    for (const row of db.all<Cells>(`SELECT * FROM ${table}`))
      for (const column of columns) {
        const before = String(row[column]);
        const after = text(before);
        if (after === before) continue;
        const where = key.map((name) => `${name} = @${name}`).join(' AND ');
        const keys = Object.fromEntries(key.map((name) => [name, row[name] ?? null]));
        db.run(`UPDATE ${table} SET ${column} = @after WHERE ${where}`, { after, ...keys });
      }
  for (const row of db.all<Parameters<typeof calibrationSeal>[0] & { id: number; seal: string }>(
    'SELECT * FROM calibration',
  )) {
    const next = { ...row, content: text(row.content), sha256: row.sha256 && text(row.sha256) };
    if (next.content === row.content && next.sha256 === row.sha256) continue;
    const { content, sha256, id } = next;
    db.run('UPDATE calibration SET content = @content, sha256 = @sha256, seal = @seal WHERE id = @id', {
      content,
      sha256,
      id,
      seal: sealAgain(calibrationSeal, row, next),
    });
  }
  for (const row of db.all<Parameters<typeof protocolSeal>[0] & { seal: string }>(
    'SELECT * FROM protocol_version',
  )) {
    const next = { ...row, content: text(row.content) };
    if (next.content === row.content) continue;
    db.run(
      'UPDATE protocol_version SET content = ?, seal = ? WHERE protocol = ? AND version = ?',
      next.content,
      sealAgain(protocolSeal, row, next),
      row.protocol,
      row.version,
    );
  }
}
