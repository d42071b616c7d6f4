/** The lab: every call of the contract and the function that answers it. Hosts carry calls in here unread. */
import { existsSync } from 'node:fs';
import { realpath } from 'node:fs/promises';
import { join } from 'node:path';
import { CONTRACT, isCallName, type AppView, type CallName } from '../../core/contract/contract.ts';
import { type LabError } from '../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../core/base/refusal.ts';
import type { DayView, JobView } from '../../core/contract/views.ts';
import { presenceOf } from '../store/presence.ts';
import { openWhatCan } from '../store/store.ts';
import { benchCalls, type CallsNamed } from './bench/benchcalls.ts';
import { deckCalls } from './deck/deckcalls.ts';
import { unreadableWhy } from './deck/deckreadable.ts';
import { withheldNames } from './kept/deckstate.ts';
import { releaseCalls } from './findings/releasecalls.ts';
import { renewalCalls } from './findings/renewalcalls.ts';
import { backUp, backUpIn, lastBackup, restoreIn } from './days/backup.ts';
import { backupPlan, backupsByThemselves, planBackup } from './days/backupplan.ts';
import { bringIn } from './days/bringin.ts';
import { listDays } from './days/daylist.ts';
import { decideTrial, historyOf, turnBack, viewDay, viewTrial } from './days/dayview.ts';
import { verifyLab } from './days/verify.ts';
import { cleanCalls } from './findings/cleancalls.ts';
import { planCalls } from './findings/plancalls.ts';
import { faultOf } from './kept/fault.ts';
import { Jobs } from './kept/jobs.ts';
import { noticesOf, takeNote } from './kept/notices.ts';
import { allowedFolder, allowPlace, forbidPlace, listPlaces } from './kept/places.ts';
import type { Lab, PrintPdf, Resource } from './kept/port.ts';
import { protocolCalls } from './protocols/protocolcalls.ts';
import { findResource } from './resources.ts';
import { reviewCalls } from './review/reviewcalls.ts';
import { labNameOf, operatorOf, setLabName, setOperator, storeFault, type Session } from './kept/session.ts';
import { clearUnfinished } from './kept/unfinished.ts';
import { KeptFault } from './shapes/shape.ts';
import { shapeVersion } from './shapes/versions.ts';
import { Watches } from './watch/watch.ts';

interface LabOptions {
  /** The lab folder; made where it is not there yet. */
  readonly home: string;
  readonly sampleFolder: string | null;
  readonly version: string;
  /** Prints a page as PDF; left out where the host cannot. Null where printing did not work. */
  readonly printPdf?: PrintPdf;
}

/** Rejects with an error that carries a StoreError (`says`, `todo`) where the lab folder cannot be opened. */
function openSession({ home, sampleFolder, version, printPdf }: LabOptions): Session {
  const opened = openWhatCan(home, shapeVersion);
  if (!opened.ok) throw Object.assign(new Error(opened.error.says), opened.error);
  return { store: opened.value, version, sampleFolder, ...(printPdf && { printPdf }) };
}

/** What came of bringing one day in. */
interface BroughtIn {
  readonly day: string;
  readonly trials: number;
  readonly refused: number;
  readonly leftOut: DayView['leftOut'];
}

/** Brings a day folder into the lab folder `home` and closes it again. */
export async function openIntoLab(
  home: string,
  folder: string,
  version: string,
  onStep: (done: number, total: number) => void,
): Promise<Outcome<BroughtIn, LabError>> {
  const session = openSession({ home, sampleFolder: null, version });
  let [steps, all] = [0, 1];
  try {
    await clearUnfinished(session);
    const opened = await bringIn(session, folder, {
      signal: new AbortController().signal,
      total: (total) => (all = total),
      step: () => onStep(++steps, all),
      share: (share) => onStep(steps + share, all),
    });
    if (!opened.ok) return opened;
    const view = await viewDay(session, opened.value.day);
    if (!view.ok) return view;
    const { day, trials, refused, leftOut } = view.value;
    return done({ day, trials: trials.length, refused: refused.length, leftOut });
  } finally {
    session.store.close();
  }
}

/** Does work on the lab folder `home` and closes it again; fails where there is no lab folder. */
export async function inLab<T>(
  home: string,
  version: string,
  work: (session: Session) => Promise<Outcome<T, LabError>>,
): Promise<Outcome<T, LabError>> {
  if (!existsSync(join(home, 'lab.sqlite')))
    return failed({
      code: 'not_found',
      says: `There is no lab folder at ${home}.`,
      todo: 'Open a day first with "lanebench open", or set LANEBENCH_HOME to the lab folder.',
    });
  const session = openSession({ home, sampleFolder: null, version });
  try {
    return await work(session);
  } catch (error) {
    return failed(faultOf(session, error));
  } finally {
    session.store.close();
  }
}

/** Backs the lab folder `home` up to `to`, whether another program has it open or not. */
export async function backupFolder(
  home: string,
  to: string,
  full: boolean,
  version: string,
  onFile: (done: number, total: number) => void,
): ReturnType<typeof backUp> {
  const session = openSession({ home, sampleFolder: null, version });
  let [files, all] = [0, 1];
  try {
    await clearUnfinished(session);
    return await backUp(session, to, full, {
      signal: new AbortController().signal,
      total: (total) => (all = total),
      step: () => onFile(++files, all),
      share: () => undefined,
    });
  } finally {
    session.store.close();
  }
}

/** Opens the lab folder for a host; see {@link openSession} for what it rejects with. */
export async function openLab(options: LabOptions): Promise<Lab> {
  const session = openSession(options);
  await clearUnfinished(session);
  const jobs = new Jobs();
  const watches = new Watches(session, (...file) => unreadableWhy(session, ...file), {
    withheld: (day) => withheldOn(session, day),
  });
  if (session.store.readOnly === null) watches.resume();
  const calls = callsOf(session, jobs, watches);
  const isThere = presenceOf(session.store.folder);
  const planned = backupsByThemselves(session, jobs);
  return {
    carry: (name, input) => carry(session, isThere, calls, name, input),
    resource: (path) => resourceAt(session, path),
    async close() {
      planned.end();
      await jobs.close();
      await watches.close();
      session.store.close();
    },
  };
}

/** Of a day that cannot be read nobody knows who consents: nothing is taken until it can. */
function withheldOn(session: Session, day: number): (name: string) => boolean {
  try {
    return withheldNames(session, day);
  } catch (error) {
    if (error instanceof KeptFault) return () => true;
    throw error;
  }
}

/** What hangs on something that cannot be read is not there; the calls say why. */
async function resourceAt(session: Session, path: string): Promise<Resource | null> {
  try {
    return await findResource(session, path);
  } catch (error) {
    if (error instanceof KeptFault) return null;
    throw error;
  }
}

type Calls = CallsNamed<CallName>;

async function carry(
  session: Session,
  isThere: () => boolean,
  calls: Calls,
  name: string,
  input: unknown,
): Promise<Outcome<unknown, LabError>> {
  if (!isCallName(name)) return failed(badInput(`There is no call ${name}.`));
  const read = CONTRACT[name].input.safeParse(input);
  if (!read.success) {
    const issue = read.error.issues[0];
    const where = issue === undefined || issue.path.length === 0 ? 'what was given' : issue.path.join('.');
    const fault = `${name}: ${where} ${issue?.message ?? 'cannot be read'}`;
    return failed(badInput(fault.endsWith('.') ? fault : `${fault}.`));
  }
  const answer = calls[name] as (input: unknown) => ReturnType<Calls[CallName]>;
  try {
    const answered = await answer(read.data);
    return isThere() ? answered : vanished(session.store.folder);
  } catch (error) {
    return failed(faultOf(session, error));
  }
}

/** What is said in place of an answer where the database is no longer the file that was opened. */
function vanished(folder: string): Outcome<never, LabError> {
  return failed({
    code: 'lab_folder',
    says: `The lab folder ${folder} is no longer there, or another lies in its place; nothing was kept.`,
    todo: 'Put it back, or connect its drive again, then start the program again and repeat what you did last.',
  });
}

function badInput(says: string): LabError {
  return { code: 'bad_input', says, todo: 'Correct what was given and try again.' };
}

function callsOf(session: Session, jobs: Jobs, watches: Watches): Calls {
  const job = (view: JobView | null): Outcome<JobView, LabError> =>
    view === null
      ? failed({ code: 'not_found', says: 'That work is no longer known.', todo: 'Start it again.' })
      : done(view);
  const openFolder = (folder: string) =>
    done(jobs.start(`Opening ${folder}`, (progress) => bringIn(session, folder, progress)));
  return {
    'app.describe': () => describe(session),
    'app.setLabName': ({ name }) => {
      const saved = setLabName(session, name);
      return saved.ok ? describe(session) : storeFault(saved.error);
    },
    'app.setOperator': ({ operator }) => {
      const saved = setOperator(session, operator);
      return saved.ok ? describe(session) : storeFault(saved.error);
    },
    'places.list': ({ path }) => listPlaces(session, path),
    'places.allow': ({ path }) => allowPlace(session, path),
    'places.forbid': ({ path }) => forbidPlace(session, path),
    'days.list': () => listDays(session),
    'days.open': async ({ path }) => {
      const folder = await allowedFolder(session, path);
      return folder.ok ? openFolder(folder.value) : folder;
    },
    'days.openSample': () =>
      session.sampleFolder === null
        ? failed({
            code: 'not_found',
            says: 'The sample day is not with this program.',
            todo: 'Open a day folder of your own.',
          })
        : openFolder(session.sampleFolder),
    'days.get': ({ day }) => viewDay(session, day),
    'lab.takeNote': ({ note }) => {
      const noted = takeNote(session, note);
      return noted.ok ? describe(session) : noted;
    },
    'lab.verify': () =>
      done(jobs.start('Checking the lab folder', (progress) => verifyLab(session, progress))),
    'lab.backup': ({ path }) =>
      done(jobs.start('Backing up the lab folder', (progress) => backUpIn(session, path, progress))),
    'lab.planBackup': async ({ plan }) => {
      const planned = await planBackup(session, plan);
      return planned.ok ? describe(session) : planned;
    },
    'lab.restore': (wish) =>
      done(jobs.start('Restoring a backup', (progress) => restoreIn(session, wish, progress))),
    'jobs.get': (input) => job(jobs.get(input.job)),
    'jobs.cancel': (input) => job(jobs.cancel(input.job)),
    'trials.get': ({ day, trial }) => viewTrial(session, day, trial),
    'trials.decide': (wish) => decideTrial(session, wish),
    'history.list': async ({ day }) => done(await historyOf(session, day)),
    'history.undo': ({ day }) => turnBack(session, day, 'undo'),
    'history.redo': ({ day }) => turnBack(session, day, 'redo'),
    ...reviewCalls(session),
    ...benchCalls(session),
    ...protocolCalls(session),
    ...deckCalls(session, watches, jobs),
    ...cleanCalls(session),
    ...planCalls(session),
    ...releaseCalls(session, jobs),
    ...renewalCalls(session, jobs),
  };
}

async function describe(session: Session): Promise<Outcome<AppView, LabError>> {
  const { sampleFolder, store, version } = session;
  const real = sampleFolder === null ? null : await realpath(sampleFolder).catch(() => null);
  const opened = store.listDays().find(({ source }) => source === real);
  return done({
    version,
    labFolder: store.folder,
    setAside: store.quarantined(),
    notices: noticesOf(session),
    backup: lastBackup(session),
    backupPlan: backupPlan(session),
    operator: operatorOf(session),
    labName: labNameOf(session),
    sample: { available: real !== null, day: opened?.id ?? null },
  });
}
