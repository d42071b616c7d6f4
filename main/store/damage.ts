/**
 * Damage that a database can be worked with: rows that are no longer what was recorded. Each costs the decision, the
 * calibration, the protocol or the day that it hits, named; a table of the connection alone keeps what must not count.
 */
import type BetterSqlite from 'better-sqlite3';
import { actSeal, linkOf, NO_LINK, unchained, type Act } from './acts.ts';
import type { Damage, ReadableDb } from './database.ts';
import { hasTable } from './hastable.ts';
import { brokenReleases } from './releases.ts';
import { brokenCalibrations, brokenDecisions, brokenProtocols, brokenTurns } from './seals.ts';

/** Rows that do not count, by what they are and which; read by the queries of decisions, calibrations and protocols. */
export const BROKEN_TABLE =
  'CREATE TEMP TABLE IF NOT EXISTS broken (what TEXT, row TEXT, PRIMARY KEY (what, row))';

/** Finds what is damaged and keeps it from counting. */
export function markDamage(connection: BetterSqlite.Database, db: ReadableDb): Damage[] {
  connection.exec(BROKEN_TABLE);
  const mark = connection.prepare('INSERT OR IGNORE INTO temp.broken (what, row) VALUES (?, ?)');
  const found: Damage[] = [];
  const none = { day: null, sensor: null, blocks: false };
  const moved = misplacedParents(db);
  for (const { id, day } of brokenDecisions(db)) {
    mark.run('decision', String(id));
    const blocks = moved.has(id);
    const cost = blocks ? 'what stands on it cannot be told for sure' : 'it does not count';
    found.push({ ...none, day, blocks, says: `Decision ${id} is not what was recorded: ${cost}.` });
  }
  for (const { id, day } of brokenTurns(db)) {
    mark.run('turn', String(id));
    found.push({
      ...none,
      day,
      blocks: true,
      says: `Step ${id} of the decisions is not what was recorded: who took it, when, or what it took back cannot be told for sure.`,
    });
  }
  for (const { id, sensor } of brokenCalibrations(db)) {
    mark.run('calibration', String(id));
    found.push({
      ...none,
      sensor,
      says: `Calibration ${id} of sensor ${sensor} is not what was recorded: it does not count.`,
    });
  }
  for (const { protocol, version } of brokenProtocols(db)) {
    mark.run('protocol', `${protocol} ${version}`);
    found.push({
      ...none,
      says: `Version ${version} of the protocol ${protocol} is not what was kept: it does not count, and days run with it cannot be read.`,
    });
  }
  for (const name of brokenReleases(db)) {
    mark.run('release', name);
    found.push({
      ...none,
      says: `The list of contents of the release ${name} is not what was kept: it does not count.`,
    });
  }
  return hasTable(db, 'act') ? [...found, ...brokenActs(db)] : found;
}

/** Decisions whose place in the log is not where the turns of the log put them. */
function misplacedParents(db: ReadableDb): ReadonlySet<number> {
  const parents = new Map(
    db
      .all<{ id: number; parent: number | null }>('SELECT id, parent FROM decision')
      .map(({ id, parent }) => [id, parent]),
  );
  const heads = new Map<number | null, number | null>();
  const placed = new Map<number, number | null>();
  const misplaced = new Set<number>();
  const turns = db.all<{ day: number | null; decision: number; action: string }>(
    'SELECT day, decision, action FROM decision_turn ORDER BY id',
  );
  for (const { day, decision, action } of turns) {
    if (action === 'decided') {
      const parent = heads.get(day) ?? null;
      placed.set(decision, parent);
      if (parents.get(decision) !== parent) misplaced.add(decision);
    }
    heads.set(day, action === 'undone' ? (placed.get(decision) ?? null) : decision);
  }
  return misplaced;
}

const NAMES: Readonly<Partial<Record<Act['what'], string>>> = {
  opening: 'What was in the folder of day {row}, or where it was opened from,',
  sensor: 'The card of sensor {row}, which came with a day,',
  deck_day: 'How the day {row} was begun',
  arrival: 'What came in as file {row}',
  release: 'The release {row}',
  plan: 'Entry {row} of the plans of comparisons',
  erasure: 'The record of erasure {row}',
};

/** Acts that are not what was chained, and a chain that does not hold. */
function brokenActs(db: ReadableDb): Damage[] {
  const found: Damage[] = [];
  const none = { day: null, sensor: null, blocks: false };
  let before = NO_LINK;
  for (const [index, act] of db.all<Act>('SELECT * FROM act ORDER BY id').entries()) {
    if (act.id !== index + 1 || act.link !== linkOf(before, act)) {
      found.push({
        ...none,
        says: `The chain of acts does not hold at act ${act.id}: what was recorded before it may have been changed or taken out.`,
      });
      return found;
    }
    before = act.link;
    const name = NAMES[act.what];
    if (name === undefined || actSeal(db, act.what, act.row) === act.seal) continue;
    const day = dayOf(db, act);
    found.push({ ...none, day, says: `${name.replace('{row}', act.row)} is not what was recorded.` });
  }
  for (const { what, row } of unchained(db))
    found.push({
      ...none,
      says: `The ${what.replace('_', ' ')} ${row} stands in no act: another program added it.`,
    });
  return found;
}

function dayOf(db: ReadableDb, { what, row }: Act): number | null {
  const table = { opening: 'day_opening', arrival: 'arrival' }[what as string];
  if (what === 'deck_day') return Number(row);
  return table === undefined
    ? null
    : (db.get<{ day: number }>(`SELECT day FROM ${table} WHERE id = ?`, Number(row))?.day ?? null);
}
