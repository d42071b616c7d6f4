/** Rows read out of a damaged database, made to fit one another again: what is not what was recorded is left out. */
import { listSha256 } from './releases.ts';
import { calibrationSeal, decisionSeal, protocolSeal, turnSeal } from './seals.ts';

export type Row = Record<string, string | number | null>;
export type Rows = ReadonlyMap<string, readonly Row[]>;

/** Stands for who did something where that can no longer be read. */
const UNKNOWN = 'not known (damaged)';

/** Leaves out and mends; what was lost or changed joins `says`. */
export function mendRows(read: Rows, says: string[]): Rows {
  const rows = new Map([...read].map(([table, own]) => [table, own]));
  const of = (table: string): readonly Row[] => rows.get(table) ?? [];
  const keep = (table: string, holds: (row: Row) => boolean, word: (row: Row) => string) =>
    rows.set(
      table,
      of(table).filter((row) => {
        if (holds(row)) return true;
        says.push(`${word(row)}; it was left out.`);
        return false;
      }),
    );
  keep(
    'calibration',
    (row) => calibrationSeal(row as never) === row['seal'],
    (row) => `Calibration ${row['id']} of sensor ${row['sensor']} is not what was recorded`,
  );
  keep(
    'protocol_version',
    (row) => protocolSeal(row as never) === row['seal'],
    (row) => `Version ${row['version']} of the protocol ${row['protocol']} is not what was kept`,
  );
  mendDays(rows, says);
  const protocols = new Set(of('protocol_version').map((row) => `${row['protocol']} ${row['version']}`));
  keep(
    'deck_day',
    (row) => protocols.has(`${row['protocol']} ${row['version']}`),
    (row) => `Day ${row['day']} was run with a version of a protocol that is lost`,
  );
  const decks = new Set(of('deck_day').map((row) => row['day']));
  keep(
    'arrival',
    (row) => decks.has(row['day']!),
    (row) => `File ${row['id']} came in for a day whose beginning is lost`,
  );
  keep(
    'release',
    ({ name, sha256 }) => {
      const files = of('release_file').filter((row) => row['release'] === name);
      return listSha256(files as never) === sha256;
    },
    (row) => `The list of contents of the release ${row['name']} is not what was kept`,
  );
  const releases = new Set(of('release').map((row) => row['name']));
  rows.set(
    'release_file',
    of('release_file').filter((row) => releases.has(row['release']!)),
  );
  mendLog(rows, says);
  return rows;
}

/** A day that something refers to is there, if only by a code that says what became of it. */
function mendDays(rows: Map<string, readonly Row[]>, says: string[]): void {
  const of = (table: string): readonly Row[] => rows.get(table) ?? [];
  const days = new Map(of('day').map((row) => [row['id'], row]));
  const named = ['day_revision', 'day_file', 'day_opening', 'deck_day', 'decision'].flatMap((table) =>
    of(table).flatMap((row) => row['day'] ?? []),
  );
  for (const id of new Set(named))
    if (!days.has(id)) {
      days.set(id, { id, code: `recovered-${id}` });
      says.push(`The code of day ${id} is lost; it is called recovered-${id}.`);
    }
  rows.set('day', [...days.values()]);
  const revisions = new Map(of('day_revision').map((row) => [`${row['day']} ${row['revision']}`, row]));
  for (const { day, revision } of [...of('day_file'), ...of('day_opening')] as readonly Row[]) {
    if (revisions.has(`${day} ${revision}`)) continue;
    const at = of('day_opening').find((row) => row['day'] === day)?.['at'] ?? '1970-01-01T00:00:00.000Z';
    revisions.set(`${day} ${revision}`, {
      day: day!,
      revision: revision!,
      date: null,
      venue: null,
      at,
      who: UNKNOWN,
    });
    says.push(`Date and venue of revision ${revision} of day ${day} are lost.`);
  }
  rows.set('day_revision', [...revisions.values()]);
  const opened = new Set(of('day_opening').map((row) => row['day']));
  const openings = [...of('day_opening')];
  for (const id of days.keys()) {
    if (opened.has(id)) continue;
    const own = [...revisions.values()].filter((row) => row['day'] === id);
    const last = own.at(-1) ?? null;
    if (last === null) {
      const row = {
        day: id!,
        revision: 1,
        date: null,
        venue: null,
        at: '1970-01-01T00:00:00.000Z',
        who: UNKNOWN,
      };
      rows.set('day_revision', [...(rows.get('day_revision') ?? []), row]);
    }
    const at = last?.['at'] ?? '1970-01-01T00:00:00.000Z';
    openings.push({ id: null, day: id!, revision: last?.['revision'] ?? 1, source: '', at, who: UNKNOWN });
    says.push(`Where day ${id} was opened from is lost.`);
  }
  rows.set('day_opening', openings);
}

/** The log of decisions, replayed: each whole decision stands on the whole one that was in force before it. */
function mendLog(rows: Map<string, readonly Row[]>, says: string[]): void {
  const decisions = rows.get('decision') ?? [];
  const whole = new Map<number, Row>();
  const lost = new Set<number>();
  for (const row of decisions) {
    if (decisionSeal(row as never) === row['seal']) whole.set(Number(row['id']), row);
    else {
      lost.add(Number(row['id']));
      says.push(`Decision ${row['id']} is not what was recorded; it was left out.`);
    }
  }
  const turns = (rows.get('decision_turn') ?? []).map((row) => ({
    row,
    sound: turnSeal(row as never) === row['seal'],
  }));
  const decided = new Set(
    turns.flatMap(({ row, sound }) => (sound && row['action'] === 'decided' ? Number(row['decision']) : [])),
  );
  const heads = new Map<Row[string], number | null>();
  const parents = new Map<number, number | null>();
  const log: Row[] = [];
  for (const { row, sound } of turns) {
    const id = Number(row['decision']);
    if (!whole.has(id)) {
      if (!lost.has(id))
        says.push(`Step ${row['id']} of the decisions is of a decision that is lost; it was left out.`);
      continue;
    }
    // Of a step whose seal is broken only one thing can be told: that a decision of which nothing else tells was made.
    const isMaking = !sound && !decided.has(id);
    if (!sound && !isMaking) {
      says.push(`Step ${row['id']} of the decisions is not what was recorded; it was left out.`);
      continue;
    }
    const { day } = whole.get(id)!;
    const action = isMaking ? 'decided' : row['action']!;
    if (isMaking) {
      decided.add(id);
      says.push(`Who made decision ${id}, or when, is not what was recorded.`);
    }
    const turn: Row = {
      id: row['id']!,
      day: day!,
      decision: id,
      action,
      at: row['at']!,
      who: isMaking ? UNKNOWN : row['who']!,
    };
    if (action === 'decided') parents.set(id, heads.get(day!) ?? null);
    heads.set(day!, action === 'undone' ? (parents.get(id) ?? null) : id);
    log.push({ ...turn, seal: turnSeal(turn as never) });
  }
  const kept = [...whole].flatMap(([id, row]) => {
    if (!parents.has(id)) {
      says.push(`The making of decision ${id} is lost; it was left out.`);
      return [];
    }
    const next: Row = { ...row, parent: parents.get(id)! };
    return [{ ...next, seal: decisionSeal(next as never) }];
  });
  rows.set('decision', kept);
  rows.set('decision_turn', log);
}
