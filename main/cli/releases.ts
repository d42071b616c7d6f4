/** `lanebench freeze`, `releases`, `export` and `diff`: named releases of days of the lab folder. */
import { homedir } from 'node:os';
import type { LabError, Outcome } from '../../core/base/refusal.ts';
import { done, failed } from '../../core/base/refusal.ts';
import { counted } from '../../core/base/words.ts';
import type { RowChangeView } from '../../core/contract/releases.ts';
import { diffReleases } from '../lab/findings/diffreleases.ts';
import { exportRelease, type ExportOrder } from '../lab/findings/exportrelease.ts';
import { daysByCode, freezeRelease, tryFreeze } from '../lab/findings/freeze.ts';
import { listReleases } from '../lab/findings/releases.ts';
import { defaultLabFolder } from '../lab/home.ts';
import type { Progress } from '../lab/kept/jobs.ts';
import type { Session } from '../lab/kept/session.ts';
import { VERSION } from '../lab/kept/version.ts';
import { inLab } from '../lab/lab.ts';
import { openingFault } from '../lab/opening.ts';
import { alignColumns, COMPLETE, NOTHING, USAGE, type Terminal } from './terminal.ts';

/** Does work on the lab folder; what went wrong is told, and ends with its exit status. */
export async function atLab(
  terminal: Terminal,
  work: (session: Session) => Promise<Outcome<number, LabError>>,
): Promise<number> {
  const home = defaultLabFolder(process.env, process.platform, homedir());
  let outcome;
  try {
    outcome = await inLab(home, VERSION, work);
  } catch (error) {
    terminal.error(openingFault(error, home));
    return NOTHING;
  } finally {
    terminal.progress?.('');
  }
  if (outcome.ok) return outcome.value;
  terminal.error(`${outcome.error.says} ${outcome.error.todo}`);
  return NOTHING;
}

/** Progress on one line of the terminal; `what` names a step. */
export function progressOf(terminal: Terminal, what: string): Progress {
  let [steps, all] = [0, 1];
  return {
    signal: new AbortController().signal,
    total: (total) => (all = total),
    step: () => terminal.progress?.(`${what} ${++steps} of ${all}`),
    share: () => undefined,
  };
}

export function runFreeze(name: string, days: string, terminal: Terminal): Promise<number> {
  return atLab(terminal, async (session) => {
    const codes = days.split(',').flatMap((code) => code.trim() || []);
    const ids = days === 'all' ? done(null) : daysByCode(session, codes);
    if (!ids.ok) return ids;
    const order = { name, days: ids.value };
    const before = await tryFreeze(session, order);
    if (!before.ok) return before;
    const { fault, leftOut } = before.value;
    if (fault !== null) {
      terminal.error(`${fault} Give another name.`);
      return done(USAGE);
    }
    const frozen = await freezeRelease(session, order, progressOf(terminal, 'Trial'));
    if (!frozen.ok) return frozen;
    terminal.progress?.('');
    terminal.print(frozen.value.says);
    tellLeftOut(leftOut, terminal);
    return done(COMPLETE);
  });
}

function tellLeftOut(
  { swimmers, trials }: { readonly swimmers: number; readonly trials: number },
  terminal: Terminal,
): void {
  if (swimmers > 0)
    terminal.print(`Left out for consent: ${counted(swimmers, 'swimmer')}, ${counted(trials, 'trial')}.`);
}

export function runReleases(terminal: Terminal): Promise<number> {
  return atLab(terminal, (session) => {
    const releases = listReleases(session);
    if (releases.length === 0) terminal.print('There is no release in the lab folder.');
    else {
      const head = ['release', 'frozen', 'by', 'version', 'days', 'swimmers', 'trials', 'sha256'];
      const rows = releases.map(({ name, at, who, version, days, swimmers, trials, sha256 }) => [
        name,
        at,
        who,
        version,
        days.map(({ day }) => day).join(','),
        String(swimmers),
        String(trials),
        sha256,
      ]);
      terminal.print(
        alignColumns(
          [head, ...rows],
          head.map((_, column) => column === 5 || column === 6),
        ),
      );
    }
    return Promise.resolve(done(COMPLETE));
  });
}

export function runExport(order: ExportOrder, terminal: Terminal): Promise<number> {
  return atLab(terminal, async (session) => {
    const outcome = await exportRelease(session, order, progressOf(terminal, 'Step'));
    if (outcome.kind === 'nothing') return failed(outcome.error);
    terminal.progress?.('');
    if (outcome.kind === 'misplaced') {
      terminal.error(outcome.says);
      return done(USAGE);
    }
    terminal.print(outcome.says);
    tellLeftOut(outcome.leftOut, terminal);
    return done(COMPLETE);
  });
}

export function runDiff(from: string, to: string, terminal: Terminal): Promise<number> {
  return atLab(terminal, async (session) => {
    const compared = await diffReleases(session, from, to, (row) => terminal.print(rowText(row)));
    if (!compared.ok) return compared;
    terminal.print(compared.value.says);
    return done(COMPLETE);
  });
}

function rowText({ table, day, row, what, cells }: RowChangeView): string {
  const shown = (text: string) => (text === '' ? '(empty)' : text);
  const changes = cells.map(({ column, before, after }) => `${column} ${shown(before)} → ${shown(after)}`);
  return [`${table} ${day} ${row}: ${what}`, ...changes].join('; ');
}
