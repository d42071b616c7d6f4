/** One day of what is handed over to a swimmer. */
import { statSync } from 'node:fs';
import { datasetTables } from '../../../core/dataset/dataset.ts';
import { dayFolderTexts } from '../../../core/dataset/dayexport.ts';
import { printTable } from '../../../core/dataset/package.ts';
import type { TrialRow } from '../../../core/dataset/trialfields.ts';
import type { Refusal } from '../../../core/base/refusal.ts';
import { addAll } from '../../../core/base/extent.ts';
import { pathOfFile } from '../../../core/deck/tables.ts';
import { othersMaskOf, partsOf, type Person } from '../../../core/people/person.ts';
import type { OutFile } from '../../files/outfolder.ts';
import { ownRows } from '../../files/ownrows.ts';
import type { Decision } from '../../store/decisions.ts';
import { decidedBook } from '../findings/frozenday.ts';
import { DECK } from '../kept/deckstate.ts';
import { keptDay } from '../kept/keptday.ts';
import { trialOutcome } from '../kept/outcome.ts';
import type { Session } from '../kept/session.ts';
import type { HeldDay } from './held.ts';
import { ownRowsOf } from './heldtables.ts';

/** A file to hand over; length and hash are those of a content that is copied. */
interface Given {
  readonly file: OutFile;
  readonly sha256?: string;
  readonly bytes?: number;
}

export interface DayOut {
  readonly day: string;
  readonly date: string | null;
  readonly trials: readonly string[];
  readonly decisions: number;
  /** True where the swimmer consents, so that numbers were computed. */
  readonly shown: boolean;
  /** By their path in the folder that is handed over. */
  readonly files: ReadonlyMap<string, Given>;
  /** What could not be handed over, one sentence each. */
  readonly lines: readonly string[];
}

/** True where a day holds something on the swimmer. */
export function isHeld({ isThere, own }: HeldDay): boolean {
  return isThere || own.size > 0;
}

export async function dayOut(session: Session, held: HeldDay, all: readonly HeldDay[]): Promise<DayOut> {
  const others = new Set(all.flatMap(({ person }) => [...person.others]));
  for (const code of [held.person.participant, ...held.person.trials]) others.delete(code);
  const person: Person = { ...held.person, others };
  const { row } = held;
  const start = `days/${row.day}/`;
  const files = new Map<string, Given>();
  const lines: string[] = [];
  tablesOut(held, person, start, files, lines);
  const results = await resultsOut(session, held, person, start, files);
  await contentsOut(session, held, start, files, lines);
  const decisions = decisionsOut(held, person);
  if (decisions.length > 0)
    files.set(`${start}decisions.json`, { file: `${JSON.stringify(decisions, null, 2)}\n` });
  if (held.deck !== null) {
    const { plan, board } = held.deck;
    const parts = { plan: partsOf(plan, person), board: partsOf(board, person) };
    const text = othersMaskOf(person)(JSON.stringify(parts, null, 2));
    files.set(`${start}plan-and-board.json`, { file: `${text}\n` });
  }
  return {
    day: row.day,
    date: row.date,
    trials: [...person.trials].toSorted(),
    decisions: decisions.length,
    shown: results,
    files,
    lines,
  };
}

/** Tables that name no swimmer and without which rows of force mean nothing. */
const SHARED: ReadonlySet<string> = new Set(['day.json', 'calibration.csv', 'checks.csv']);

/** Their rows as they came in: of the newest revision, and of earlier ones where they say something else. */
function tablesOut(
  { revisions }: HeldDay,
  person: Person,
  start: string,
  files: Map<string, Given>,
  lines: string[],
): void {
  const mask = othersMaskOf(person);
  const said = new Map<string, string>();
  for (const { revision, tables, damaged, told } of revisions.toReversed()) {
    if (!told.isThere) continue;
    for (const file of damaged)
      lines.push(`${file} of the day (state ${revision}) is damaged or missing: its rows are not here.`);
    for (const { path, text, table } of tables) {
      const isOwn = ownRowsOf(person.participant, told.trials);
      const own = SHARED.has(path)
        ? text
        : table === null
          ? null
          : ownRows(text, table, (of) => isOwn(of) || (path === 'zeros.csv' && of('trial') === ''));
      if (own === null || said.get(path) === own) continue;
      const place = said.has(path) ? `${start}earlier/${revision}/${path}` : start + path;
      said.set(path, own);
      files.set(place, { file: mask(Buffer.from(own, 'latin1').toString('utf8')) });
    }
  }
}

/** Traces and films, by their path inside the day; what came in on deck and has no place, by its name. */
async function contentsOut(
  { store }: Session,
  { revisions, arrivals, deck }: HeldDay,
  start: string,
  files: Map<string, Given>,
  lines: string[],
): Promise<void> {
  const add = async (path: string, name: string, sha256: string) => {
    const { state } = await store.checkRaw(sha256);
    if (state !== 'whole') lines.push(`${name} is ${state} in the lab folder: it is not here.`);
    else {
      const absolute = store.rawPath(sha256);
      files.set(path, { file: { copyOf: absolute }, sha256, bytes: statSync(absolute).size });
    }
  };
  const known = new Set<string>();
  for (const { files: listed, told } of revisions.toReversed())
    for (const { path, sha256 } of listed) {
      if (!told.paths.has(path) || known.has(`${path} ${sha256}`)) continue;
      if (told.othersPaths.has(path)) {
        lines.push(`${path} is named by another swimmer's trial too: it is not here.`);
        continue;
      }
      const isEarlier = [...known].some((key) => key.startsWith(`${path} `));
      known.add(`${path} ${sha256}`);
      await add(isEarlier ? `${start}earlier/${sha256.slice(0, 12)}/${path}` : start + path, path, sha256);
    }
  const placed = new Map(deck?.files.map(({ id, place }) => [id, place]) ?? []);
  for (const { id, name, sha256 } of arrivals) {
    const place = placed.get(id) ?? null;
    if (sha256 === null) continue;
    const path = place === null ? `files/${id}/${name}` : pathOfFile({ name, place });
    await add(start + path, name, sha256);
  }
}

/** The numbers computed from their trials, and for a day that is run here its tables; false without consent. */
async function resultsOut(
  session: Session,
  { row, deck }: HeldDay,
  person: Person,
  start: string,
  files: Map<string, Given>,
): Promise<boolean> {
  const kept = await keptDay(session, row.id);
  if (!kept.ok) return false;
  const whole = decidedBook(session, kept.value);
  const roster = whole.roster.filter(({ participant }) => participant === person.participant);
  if (roster.length === 0) return false;
  const trials = whole.trials.filter(({ participant }) => participant.participant === person.participant);
  const points = whole.points.filter(({ trial }) => person.trials.has(trial));
  const book = { ...whole, roster, trials, points, refused: [] };
  const records: TrialRow[] = [];
  const refused: Refusal[] = [];
  for (const entry of trials) {
    const outcome = await trialOutcome(session, kept.value, entry);
    records.push({ entry, result: outcome.result });
    addAll(refused, outcome.refused);
  }
  const mask = othersMaskOf(person);
  for (const table of datasetTables(book, records, refused))
    files.set(`${start}results/${table.name}.csv`, { file: mask(printTable(table)) });
  if (deck !== null)
    for (const [file, text] of dayFolderTexts(book, new Map(), new Map()))
      files.set(start + file, { file: mask(text) });
  return true;
}

/** Every decision about them, oldest first: whole where it is about them alone, else the parts that are. */
function decisionsOut({ history, own }: HeldDay, person: Person): readonly object[] {
  const mask = othersMaskOf(person);
  const masked = (value: unknown): unknown => JSON.parse(mask(JSON.stringify(value)));
  return history.flatMap((decision) => {
    if (own.has(decision.id)) return [entryOf(decision, mask, { value: masked(decision.after) })];
    const parts = partsOf(decision.after, person);
    const isSame = JSON.stringify(partsOf(decision.before, person)) === JSON.stringify(parts);
    if (isSame && (decision.subject === DECK || parts.length === 0)) return [];
    return [entryOf(decision, mask, { parts: masked(parts) })];
  });
}

function entryOf(
  { id, at, who, subject, says, undone }: Decision,
  mask: (text: string) => string,
  holds: { readonly value: unknown } | { readonly parts: unknown },
): object {
  return { decision: id, at, who, about: subject, says: mask(says), ...holds, undone };
}
