/** An invented day and a lab that keeps it in memory, with undo: what the screens are shown in tests. */
import type { AppView, CallInput, CallName, LabClient } from '../../core/contract/contract.ts';
import type { LabError } from '../../core/base/refusal.ts';
import { failed, done, type Outcome } from '../../core/base/refusal.ts';
import type {
  DaySummary,
  DayView,
  JobView,
  PlaceList,
  TrialStatus,
  TrialSummary,
} from '../../core/contract/views.ts';
import { asShown } from '../core/shown.ts';
import { AREAS, CALIBRATIONS, trialView, type Wish } from './review/fixture.ts';

export function trialSummary(trial: string, participant: string, wish: Wish = {}): TrialSummary {
  const { progress, result: whole } = trialView(wish);
  const { strokes: _strokes, ...result } = whole;
  const hasTrace = wish.trace ?? true;
  return {
    trial: asShown(trial),
    participant: asShown(participant),
    attempt: 1,
    condition: 'sprint',
    status: 'recorded',
    exclusionReason: null,
    areas: AREAS,
    calibrations: CALIBRATIONS,
    hasTrace,
    hasFilm: true,
    evidence: [],
    progress,
    result: {
      ...result,
      check: hasTrace && wish.strokes === undefined ? { verdict: 'good', findings: [] } : result.check,
    },
  };
}

/** Three trials: one good, one with no trace (swim again), one without marks (look). */
export function dayView(): DayView {
  const { protocol } = trialView();
  return {
    id: 1,
    day: 'quay-evening',
    date: '2026-03-14',
    venue: 'Quay Baths',
    poolLengthM: 25,
    protocol,
    trials: [
      trialSummary('T1', 'S10'),
      trialSummary('T2', 'S9', { trace: false }),
      trialSummary('T3', 'S2', { strokes: [] }),
    ],
    calibrations: [
      {
        sensor: 'K-1',
        hand: 'left',
        verdict: 'accepted',
        sensitivityRawPerKpa: 3651.5,
        sensitivityU: 2.2,
        nonlinearityPctFs: 0.09,
        hysteresisPctFs: 0.12,
        residualSdKpa: 0.011,
        checkStartKpa: 0.021,
        checkEndKpa: -0.034,
      },
      {
        sensor: 'K-2',
        hand: 'right',
        verdict: 'not_fitted',
        sensitivityRawPerKpa: null,
        sensitivityU: null,
        nonlinearityPctFs: null,
        hysteresisPctFs: null,
        residualSdKpa: null,
        checkStartKpa: null,
        checkEndKpa: null,
      },
    ],
    refused: [
      {
        file: 'events.csv',
        line: 12,
        field: 'time_s',
        reason: 'time_s is "soon"; it takes a number such as 12.5.',
      },
      { file: 'traces/T2.csv', line: null, field: null, reason: 'The file is not there.' },
    ],
    leftOut: { swimmers: 1, trials: 2 },
    openedAt: '2026-03-14T09:05:00.000Z',
    onDeck: false,
    canUndo: false,
    canRedo: false,
  };
}

const SUMMARY: DaySummary = {
  id: 1,
  day: 'quay-evening',
  date: '2026-03-14',
  venue: null,
  swimmers: 3,
  trials: 3,
  good: 1,
  look: 1,
  swimAgain: 1,
  refused: 2,
  openedAt: '2026-03-14T09:05:00.000Z',
  onDeck: false,
  damaged: 0,
  fault: null,
};

const ROOT: PlaceList = {
  path: null,
  parent: null,
  isDay: false,
  entries: [{ name: 'lab', path: '/home/lab', isDay: false }],
};
const INSIDE: PlaceList = {
  path: '/home/lab',
  parent: null,
  isDay: false,
  entries: [
    { name: 'quay-evening', path: '/home/lab/quay-evening', isDay: true },
    { name: 'notes', path: '/home/lab/notes', isDay: false },
  ],
};

const NOT_FOUND: LabError = {
  code: 'not_found',
  says: 'There is no folder there.',
  todo: 'Give the whole path.',
};

type Answers = { [N in CallName]?: (input: CallInput<N>) => unknown };

/** A lab in memory. `calls` holds what was asked, in order; `answers` takes the place of its own. */
export function fakeLab({
  days = [SUMMARY],
  answers = {},
}: { days?: readonly DaySummary[]; answers?: Answers } = {}) {
  const calls: { name: CallName; input: unknown }[] = [];
  let day = dayView();
  let reasons: readonly string[] = ['A sensor came loose'];
  let app: AppView = {
    version: '0.1.0',
    labFolder: '/home/lab/lanebench',
    setAside: [],
    notices: [],
    backup: null,
    backupPlan: null,
    operator: 'AB',
    labName: null,
    sample: { available: true, day: null },
  };
  let done1 = 0;
  const past: DayView[] = [];
  const future: DayView[] = [];
  const job = (state: JobView['state'], steps: number): JobView => ({
    job: 7,
    what: 'Opening quay-evening',
    says: '',
    state,
    done: steps,
    total: 3,
    day: state === 'done' ? 1 : null,
    error:
      state === 'cancelled'
        ? { code: 'cancelled', says: 'This was cancelled before it was done.', todo: 'Nothing was changed.' }
        : null,
  });
  const show = (view: DayView) => (day = { ...view, canUndo: past.length > 0, canRedo: future.length > 0 });
  const entry = {
    id: 1,
    trial: 'T1',
    says: 'Trial T1 accepted',
    who: 'AB',
    at: '2026-03-14T09:06:00Z',
    undone: false,
  };

  function decide({ trial, status, reason }: { trial: string; status: TrialStatus; reason: string }) {
    past.push(day);
    future.length = 0;
    const exclusionReason = status === 'excluded' ? asShown(reason) : null;
    show({
      ...day,
      trials: day.trials.map((each) => (each.trial === trial ? { ...each, status, exclusionReason } : each)),
    });
    return done({ ...trialView({ trial }), status, exclusionReason, canUndo: true });
  }

  function step(from: DayView[], to: DayView[]) {
    const other = from.pop();
    if (other === undefined) return done(null);
    to.push(day);
    show(other);
    return done(entry);
  }

  const own: { [N in CallName]?: (input: CallInput<N>) => Outcome<unknown, LabError> } = {
    'app.describe': () => done(app),
    'app.setLabName': ({ name }) => done((app = { ...app, labName: name === '' ? null : name })),
    'app.setOperator': ({ operator }) => done((app = { ...app, operator })),
    'places.list': ({ path }) =>
      path === null ? done(ROOT) : path === '/home/lab' ? done(INSIDE) : failed(NOT_FOUND),
    'places.allow': ({ path }) => (path === '/home/lab' ? done(INSIDE) : failed(NOT_FOUND)),
    'places.forbid': () => done({ ...ROOT, entries: [] }),
    'days.list': () => done(days),
    'days.open': () => done(job('running', 0)),
    'days.openSample': () => done(job('running', 0)),
    'days.get': () => done(day),
    'jobs.get': () => done(++done1 < 3 ? job('running', done1) : job('done', 3)),
    'jobs.cancel': () => done(job('cancelled', done1)),
    'trials.get': ({ trial }) => done(trialView({ trial })),
    'trials.decide': decide,
    'reasons.list': () => done(reasons),
    'reasons.save': (input: CallInput<'reasons.save'>) => done((reasons = input.reasons)),
    'history.list': () => done([]),
    'history.undo': () => step(past, future),
    'history.redo': () => step(future, past),
  };

  const client = (async (name: CallName, input: never) => {
    calls.push({ name, input });
    const answer = (answers[name] ?? own[name]) as ((input: never) => unknown) | undefined;
    if (answer === undefined) throw new Error(`This test has no answer to ${name}.`);
    return answer(input);
  }) as LabClient;
  return { client, calls };
}
