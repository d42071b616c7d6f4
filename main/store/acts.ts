/**
 * The chain of acts: everything that is only ever added to gets a number and a link, the SHA-256 (FIPS 180-4) of the
 * link before it and of the seal of what was added. Nothing can be taken out of the middle, altered or cut off the end
 * without the links, or the head that lies in a second file (`head.ts`), telling.
 */
import { createHash } from 'node:crypto';
import type { ReadableDb, WritableDb } from './database.ts';
import { hasTable } from './hastable.ts';

/** Kinds of acts, in the order in which a database of an older version is chained. */
const KINDS = [
  'opening',
  'turn',
  'sensor',
  'calibration',
  'protocol',
  'deck_day',
  'arrival',
  'release',
  'plan',
  'erasure',
] as const;

export type ActKind = (typeof KINDS)[number];

export interface Act {
  readonly id: number;
  readonly what: ActKind;
  /** Which row of its table. */
  readonly row: string;
  readonly seal: string;
  readonly link: string;
}

type Cells = Readonly<Record<string, string | number | null>>;

/** What the seal of an act covers; its `?` is the row. */
const COVERED: Readonly<Record<ActKind, string>> = {
  opening: `SELECT o.id, d.code, o.day, o.revision, o.source, o.at, o.who, r.date, r.venue, r.at AS made, r.who AS maker,
      (SELECT group_concat(path || ' ' || sha256 || ' ' || bytes, char(10)) FROM
        (SELECT * FROM day_file f WHERE f.day = o.day AND f.revision = o.revision ORDER BY path)) AS files
    FROM day_opening o JOIN day d ON d.id = o.day
    LEFT JOIN day_revision r ON r.day = o.day AND r.revision = o.revision WHERE o.id = CAST(? AS INTEGER)`,
  turn: `SELECT t.id, t.seal, d.id AS decision, d.seal AS decided, d.shape FROM decision_turn t
    JOIN decision d ON d.id = t.decision WHERE t.id = CAST(? AS INTEGER)`,
  sensor: 'SELECT sensor, card, day, at, who, shape FROM brought_sensor WHERE sensor = ?',
  calibration: 'SELECT id, seal, shape FROM calibration WHERE id = CAST(? AS INTEGER)',
  protocol: `SELECT protocol, version, seal, shape FROM protocol_version WHERE protocol || ' ' || version = ?`,
  deck_day:
    'SELECT day, protocol, version, setup, at, who, shape FROM deck_day WHERE day = CAST(? AS INTEGER)',
  arrival: `SELECT id, day, name, bytes, modified, sha256, kind, outcome, reason, continues, at, who
    FROM arrival WHERE id = CAST(? AS INTEGER)`,
  // The hash of a release is that of its list of contents.
  release: 'SELECT name, sha256, version, about, at, who, shape FROM release WHERE name = ?',
  plan: 'SELECT id, plan, what, content, at, who, shape FROM plan_entry WHERE id = CAST(? AS INTEGER)',
  erasure: `SELECT e.*, (SELECT group_concat(act || ' ' || link, char(10)) FROM
      (SELECT * FROM tombstone t WHERE t.erasure = e.id ORDER BY act)) AS links
    FROM erasure e WHERE e.id = CAST(? AS INTEGER)`,
};

const ROWS: Readonly<Record<ActKind, string>> = {
  opening: 'SELECT CAST(id AS TEXT) AS row FROM day_opening ORDER BY id',
  turn: 'SELECT CAST(id AS TEXT) AS row FROM decision_turn ORDER BY id',
  sensor: 'SELECT sensor AS row FROM brought_sensor ORDER BY at, sensor',
  calibration: 'SELECT CAST(id AS TEXT) AS row FROM calibration ORDER BY id',
  protocol: `SELECT protocol || ' ' || version AS row FROM protocol_version ORDER BY at, protocol, version`,
  deck_day: 'SELECT CAST(day AS TEXT) AS row FROM deck_day ORDER BY day',
  arrival: 'SELECT CAST(id AS TEXT) AS row FROM arrival ORDER BY id',
  release: 'SELECT name AS row FROM release ORDER BY at, name',
  plan: 'SELECT CAST(id AS TEXT) AS row FROM plan_entry ORDER BY id',
  erasure: 'SELECT CAST(id AS TEXT) AS row FROM erasure ORDER BY id',
};

/** The link before the first act. */
export const NO_LINK = '0'.repeat(64);

function sha256(parts: readonly unknown[]): string {
  return createHash('sha256').update(JSON.stringify(parts)).digest('hex');
}

/** The seal of what was added, as it stands now; null where it is not there. */
export function actSeal(db: ReadableDb, what: ActKind, row: string): string | null {
  const cells = db.get<Cells>(COVERED[what], row);
  return cells === undefined ? null : sha256(Object.values(cells));
}

export function linkOf(before: string, { what, row, seal }: Omit<Act, 'id' | 'link'>): string {
  return sha256([before, what, row, seal]);
}

export function lastAct(db: ReadableDb): Pick<Act, 'id' | 'link'> {
  return db.get<Act>('SELECT id, link FROM act ORDER BY id DESC LIMIT 1') ?? { id: 0, link: NO_LINK };
}

/** Chains what was just added; inside the transaction that added it. */
export function chain(db: WritableDb, what: ActKind, row: string | number): void {
  const key = String(row);
  const seal = actSeal(db, what, key);
  if (seal === null) throw new Error(`There is no ${what} ${key} to chain.`);
  const last = lastAct(db);
  const act = { what, row: key, seal };
  db.run('INSERT INTO act (id, what, row, seal, link) VALUES (@id, @what, @row, @seal, @link)', {
    ...act,
    id: last.id + 1,
    link: linkOf(last.link, act),
  });
}

/** Acts that are not what was chained, by number. */
export function brokenActIds(db: ReadableDb): ReadonlySet<number> {
  const acts = db.all<Act>('SELECT * FROM act');
  return new Set(acts.flatMap(({ id, what, row, seal }) => (actSeal(db, what, row) === seal ? [] : [id])));
}

/**
 * Links every act anew to what it covers as it stands now; inside the transaction that changed something. Gives each act
 * whose link is another by then, with the link that it had.
 * @param broken acts that keep their seal, so that damage goes on being told
 */
export function rechain(db: WritableDb, broken: ReadonlySet<number>): readonly Pick<Act, 'id' | 'link'>[] {
  const changed: Pick<Act, 'id' | 'link'>[] = [];
  let before = NO_LINK;
  for (const act of db.all<Act>('SELECT * FROM act ORDER BY id')) {
    const seal = broken.has(act.id) ? act.seal : (actSeal(db, act.what, act.row) ?? act.seal);
    const link = linkOf(before, { ...act, seal });
    if (link !== act.link) {
      changed.push({ id: act.id, link: act.link });
      db.run('UPDATE act SET seal = ?, link = ? WHERE id = ?', seal, link, act.id);
    }
    before = link;
  }
  return changed;
}

/** Kinds of acts that a database knows: one of an older version has no table for what came later. */
function kindsOf(db: ReadableDb): readonly ActKind[] {
  const later: Partial<Record<ActKind, string>> = {
    release: 'release',
    plan: 'plan_entry',
    erasure: 'erasure',
  };
  return KINDS.filter((what) => later[what] === undefined || hasTable(db, later[what]));
}

/** Chains everything of a database that had no chain. */
export function chainAll(db: WritableDb): void {
  for (const what of kindsOf(db))
    for (const { row } of db.all<{ row: string }>(ROWS[what])) chain(db, what, row);
}

/** Rows that stand in no act: added by something else than this program, or parted from the chain by damage. */
export function unchained(db: ReadableDb): readonly Pick<Act, 'what' | 'row'>[] {
  return kindsOf(db).flatMap((what) => {
    const known = new Set(
      db.all<{ row: string }>('SELECT row FROM act WHERE what = ?', what).map(({ row }) => row),
    );
    return db
      .all<{ row: string }>(ROWS[what])
      .filter(({ row }) => !known.has(row))
      .map(({ row }) => ({ what, row }));
  });
}

/** True where an erasure has given the act another link since. */
export function wasLink(db: ReadableDb, { id, link }: Pick<Act, 'id' | 'link'>): boolean {
  if (!hasTable(db, 'tombstone')) return false;
  return db.get('SELECT 1 FROM tombstone WHERE act = ? AND link = ?', id, link) !== undefined;
}
