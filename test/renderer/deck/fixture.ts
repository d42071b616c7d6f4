/** An invented testing day that is being run, and a lab in memory that answers for it. Codes and numbers are invented. */
import { asShown } from '../../core/shown.ts';
import type { ArrivalReport, HandArrival } from '../../../core/arrival/report.ts';
import type { ArrivalFinding } from '../../../core/arrival/findings.ts';
import type { CallInput, CallName, LabClient } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { DeckAct, BoardTrial, DeckSwimmer, DeckBoard, DeckPlan } from '../../../core/deck/deck.ts';
import { DEFAULT_BENCH_LIMITS } from '../../../core/sensor/limits.ts';
import { applyAct } from '../../../core/deck/acts.ts';
import { boardTurns, restUntil, withoutHidden } from '../../../core/deck/board.ts';
import type { DeckTrialView, FileView } from '../../../core/deck/views.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import type { ProtocolContent } from '../../../core/protocol/content.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import { Desk } from '../../../renderer/desk.svelte.ts';
import { trialView } from '../review/fixture.ts';

export const CONTENT: ProtocolContent = {
  name: '20 m sprint to the wall',
  stroke: 'front crawl',
  start: 'push',
  poolLengthM: 25,
  runM: 20,
  sectionFromWallM: [10, 0],
  sectionUM: 0.02,
  sectionPoints: { start: 'head', end: 'head' },
  timing: {
    method: 'video',
    who: '',
    camera: 'A',
    gateUS: 0.001,
    stopwatchUS: 0.1,
    views: { start: null, end: null },
  },
  attempts: 2,
  restMinS: 180,
  rateHz: 500,
  cameras: [{ camera: 'A', frameRateHz: 50, sees: 'the last ten metres' }],
  conditions: [],
  order: 'listed',
  accept: {
    minStrokesPerHand: 3,
    maxGapMs: 20,
    maxSaturatedFraction: 0.001,
    maxZeroShiftKpa: 0.15,
    maxCheckDeviationKpa: 0.3,
  },
  filter: { kind: 'butterworth', order: 2, cutoffHz: 10 },
  markingUS: 0.01,
  tapOffsetMm: 10,
  speedVariationPct: null,
  measures: ['hand_force', 'velocity'],
  checklists: { before: ['The lifeguard is at the pool'], close: ['Sensors are rinsed'] },
  consentTextVersion: 'v2',
  expected: { velocityMS: 1.6, strokeLengthM: 1.9, glideM: 4 },
  files: {
    time: { column: 't', unit: 's' },
    left: 'left',
    right: 'right',
    leftHolds: null,
    rightHolds: null,
    names: ['{trial}'],
  },
  comparison: null,
};

export function deckSwimmer(participant: string, wish: Partial<DeckSwimmer> = {}): DeckSwimmer {
  return {
    participant,
    sex: 'female',
    birthYear: 2004,
    heightCm: 171,
    massKg: 63,
    leftHandAreaCm2: 142,
    rightHandAreaCm2: 145,
    handAreaUCm2: 2,
    consents: { measuring: 'given', filming: 'given', sharing: 'withheld' },
    consentTextVersion: 'v2',
    note: '',
    ...wish,
  };
}

/** A planned run, its swimmer and attempt read from its code. */
export function boardTrial(trial: string, wish: Partial<BoardTrial> = {}): BoardTrial {
  const [participant, attempt] = trial.split('-') as [string, string];
  return {
    trial,
    participant,
    attempt: Number(attempt),
    condition: null,
    state: 'planned',
    beganMs: null,
    endedMs: null,
    worn: null,
    handsSwapped: false,
    repeatOf: null,
    answer: null,
    skippedWhy: '',
    stopped: null,
    clearedBy: null,
    ...wish,
  };
}

const WORN = { left: 'K-1', right: 'K-2' } as const;

/** A run that was swum from 90 s to 75 s before `nowMs`. */
export function swumTrial(trial: string, nowMs: number, wish: Partial<BoardTrial> = {}): BoardTrial {
  const times = { beganMs: nowMs - 90_000, endedMs: nowMs - 75_000 };
  return boardTrial(trial, { state: 'swum', ...times, worn: WORN, ...wish });
}

export function deckTrial(trial: string, wish: Partial<DeckTrialView> = {}): DeckTrialView {
  return { trial, trace: null, films: [], report: null, section: null, zerosRead: false, ...wish };
}

export function deckFile(id: number, name: string, wish: Partial<FileView> = {}): FileView {
  return {
    id,
    name,
    bytes: 1_500_000,
    at: '2026-03-14T09:20:00.000Z',
    kind: 'trace',
    state: 'placed',
    place: null,
    by: 'name',
    offers: [],
    says: '',
    ...wish,
  };
}

const WORST =
  'The right hand lost 84 ms of samples in the section; the limit is 20 ms. Swim it again with the plug dried.';

/** S01-1 kept, S02-1 swum and to be swum again, S03-1 on now, S04-1 next, S01-2 after, S05-1 skipped. */
export function deckView(wish: Partial<DeckView> = {}, nowMs = Date.now()): DeckView {
  const swims: readonly BoardTrial[] = [
    swumTrial('S01-1', nowMs - 200_000, { answer: { what: 'keep', reason: '' } }),
    swumTrial('S02-1', nowMs),
    boardTrial('S05-1', { state: 'skipped', skippedWhy: 'Felt unwell' }),
    boardTrial('S03-1'),
    boardTrial('S04-1'),
    boardTrial('S01-2'),
    boardTrial('S02-2'),
  ];
  const swimmers = ['S01', 'S02', 'S03', 'S04', 'S05'].map((code) => deckSwimmer(code));
  const points = [0, 5, 10].map((kpa) => ({
    appliedKpa: kpa,
    raw: 8000 + 3650 * kpa,
    direction: 'up' as const,
  }));
  const calibration = {
    id: 1,
    at: '2026-03-10T10:00:00.000Z',
    verdict: 'accepted' as const,
    points,
    reference: { scale: 0, zeroKpa: 0 },
  };
  const sensor = { rangeKpa: 15, rawUnit: 'counts', rawMin: 0, rawMax: 65535, calibration };
  return {
    id: 1,
    day: 'quay-evening',
    protocol: { protocol: 'sprint', version: 2, content: CONTENT },
    plan: asShown<DeckPlan>({
      setup: {
        date: '2026-03-14',
        venue: 'Quay Baths',
        poolLengthM: 25,
        waterTemperatureC: 27,
        latitudeDeg: 54,
        altitudeM: 10,
        files: CONTENT.files,
      },
      swimmers,
      sensors: [
        { sensor: 'K-1', hand: 'left', ...sensor },
        { sensor: 'K-2', hand: 'right', ...sensor },
      ],
      worn: WORN,
    }),
    board: asShown<DeckBoard>({
      seed: 'harbour',
      trials: swims,
      given: [],
      notes: [
        {
          id: 1,
          kind: 'note',
          trial: 'S01-1',
          participant: 'S01',
          says: 'Breathed late',
          atMs: nowMs - 250_000,
          who: 'AB',
        },
      ],
      ticks: [{ list: 'before', item: CONTENT.checklists.before[0]!, initials: 'AB', atMs: nowMs - 950_000 }],
      sensors: [],
      sections: [],
      resting: [],
      dryRun: { initials: 'AB', says: 'Both sensors alive, right way round.', atMs: nowMs - 900_000 },
      zeros: [],
      checks: [],
      closed: null,
    }),
    now: 'S03-1',
    next: 'S04-1',
    after: 'S01-2',
    restUntilMs: { S02: nowMs + 105_000 },
    trials: swims.map(({ trial }) =>
      trial === 'S01-1'
        ? deckTrial(trial, {
            trace: 1,
            films: [{ camera: 'A', file: 2 }],
            report: { verdict: 'good', says: 'Every limit of the protocol holds.' },
          })
        : trial === 'S02-1'
          ? deckTrial(trial, { trace: 3, report: { verdict: 'swim_again', says: WORST } })
          : deckTrial(trial),
    ),
    files: [],
    ready: [{ what: 'swimmers', done: true, needed: true, says: 'Five swimmers are on the list.' }],
    watch: { folder: '/pool/incoming', state: 'watching', says: 'Watching.', arriving: [] },
    knownPressures: [],
    version: '1',
    canUndo: true,
    canRedo: false,
    ...wish,
  };
}

export function finding(wish: Partial<ArrivalFinding> = {}): ArrivalFinding {
  return {
    about: 'gaps',
    verdict: 'good',
    judged: true,
    hand: null,
    says: '',
    startS: null,
    endS: null,
    ...wish,
  };
}

function handArrival(wish: Partial<HandArrival> = {}): HandArrival {
  return {
    strokes: [1, 2.2, 3.4].map((startS) => ({
      startS,
      endS: startS + 0.54,
      peakS: startS + 0.27,
      peakN: 88,
    })),
    inSection: 2,
    longestGapMs: 0,
    saturatedFraction: 0,
    zeroShiftKpa: 0.02,
    noiseN: 0.4,
    peakN: 88,
    ...wish,
  };
}

/** What was found on S02-1: a long gap of the right hand, a film that has not come, the rest good. */
export function arrivalReport(wish: Partial<ArrivalReport> = {}): ArrivalReport {
  return {
    verdict: 'swim_again',
    findings: [
      finding({ verdict: 'swim_again', hand: 'right', says: WORST, startS: 3.1, endS: 3.184 }),
      finding({ about: 'film', verdict: 'look', says: 'The film of camera A has not come yet.' }),
      finding({ about: 'duration', says: 'The trace is 10.0 s long.' }),
    ],
    hands: { left: handArrival(), right: handArrival({ longestGapMs: 84, zeroShiftKpa: null }) },
    durationS: 10,
    rateHz: 500,
    section: null,
    ...wish,
  };
}

type Answers = { [N in CallName]?: (input: CallInput<N>) => Outcome<unknown, LabError> };

interface Wish {
  readonly answers?: Answers;
  /** What an act makes of the day; without it acts change nothing but the day's version. */
  readonly applied?: (view: DeckView, act: DeckAct) => DeckView;
}

/** A desk on a lab that runs one day. `calls` holds what was asked; `put` changes the day behind the screen's back. */
export function deckLab(start: DeckView = deckView(), { answers = {}, applied = (view) => view }: Wish = {}) {
  const calls: { name: CallName; input: unknown }[] = [];
  let view = start;
  let version = 1;
  const put = (next: DeckView) => (view = { ...next, version: String(++version) });
  const own: Answers = {
    'app.describe': () =>
      done({
        version: '0.1.0',
        labFolder: '/home/lab/lanebench',
        setAside: [],
        notices: [],
        backup: null,
        backupPlan: null,
        operator: 'AB',
        labName: null,
        sample: { available: true, day: null },
      }),
    'deck.get': () => done(view),
    'deck.act': ({ act }) => done(put(applied(view, act))),
    'deck.pulse': () => done({ version: view.version, watch: view.watch }),
    'deck.file': () => done(put(view)),
    'deck.watch': () => done(put(view)),
    'deck.arrival': ({ trial }) => done({ trial, report: arrivalReport() }),
    'deck.dryRun': () => done({ trace: null, films: [], report: null, evidence: [] }),
    'trials.get': ({ trial }) => done(trialView({ trial })),
    'bench.get': () => done({ sensors: [], limits: DEFAULT_BENCH_LIMITS, canUndo: false, canRedo: false }),
  };
  const client = (async (name: CallName, input: never) => {
    calls.push({ name, input });
    const answer = (answers[name] ?? own[name]) as ((input: never) => unknown) | undefined;
    if (answer === undefined) throw new Error(`This test has no answer to ${name}.`);
    return answer(input);
  }) as LabClient;
  /** The acts that were asked for, in their order. */
  const acts = () =>
    calls.filter(({ name }) => name === 'deck.act').map(({ input }) => (input as { act: DeckAct }).act);
  return { desk: new Desk(client), client, calls, acts, put };
}

/** Does an act as the lab does, over the same core. */
export function asTheLab(view: DeckView, act: DeckAct): DeckView {
  const { plan, board, protocol } = view;
  const result = applyAct({ plan, board }, act, {
    atMs: Date.now(),
    who: 'AB',
    protocol: protocol.content,
    sensor: () => {
      throw new Error('No sensor is put on in these tests.');
    },
  });
  if (!result.ok) throw new Error(result.error.says);
  const { part, value } = result.value;
  const shown = withoutHidden(part === 'plan' ? { plan: value, board } : { plan, board: value });
  const known = new Map(view.trials.map((trial) => [trial.trial, trial]));
  return {
    ...view,
    ...shown,
    ...boardTurns(shown.board.trials),
    restUntilMs: restUntil(shown.board.trials, protocol.content.restMinS),
    trials: shown.board.trials.map(({ trial }) => known.get(trial) ?? deckTrial(trial)),
  };
}
