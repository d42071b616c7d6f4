/** A lab in memory that answers for zeros, hand areas, the calibration rule and budgets of one invented day. */
import { asShown } from '../../core/shown.ts';
import type {
  BudgetView,
  ChoiceView,
  DayAreasView,
  DayZerosView,
  HandAreaView,
  ZeroReadingView,
} from '../../../core/contract/bench.ts';
import { forceBudget } from '../../../core/sensor/budget.ts';
import type { CallInput, CallName, LabClient } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import { proposeZero } from '../../../core/force/zero.ts';
import { Desk } from '../../../renderer/desk.svelte.ts';
import { dayView } from '../fixture.ts';

/** Sensitivity of the invented sensor, raw/kPa: a shift of 0.2 kPa is 200 raw. */
const RAW_PER_KPA = 1000;
const LIMIT_KPA = 0.15;

function reading(trial: string, before: number | null, after: number | null): ZeroReadingView {
  const shiftKpa = before === null || after === null ? null : (after - before) / RAW_PER_KPA;
  return {
    trial,
    participant: asShown(trial === 'T1' ? 'S10' : 'S9'),
    sensor: 'K-1',
    hand: 'left',
    before,
    after,
    unit: 'count',
    shiftKpa,
    beyond: shiftKpa === null ? null : Math.abs(shiftKpa) > LIMIT_KPA,
    origin: { before: before === null ? null : 'file', after: after === null ? null : 'file' },
  };
}

const ZEROS: DayZerosView = {
  day: 1,
  readings: [reading('T1', 500, 520), reading('T2', 520, 720), reading('T3', null, 715)],
  limitKpa: LIMIT_KPA,
  waterTemperatureC: 27,
};

function hand(participant: string, wish: Partial<HandAreaView> = {}): HandAreaView {
  return {
    participant: asShown(participant),
    hand: 'left',
    rosterCm2: 142,
    rosterUCm2: 2,
    kept: null,
    heightCm: 170,
    massKg: 63,
    ageYears: 24,
    ...wish,
  };
}

const AREAS: DayAreasView = {
  day: 1,
  areas: [
    hand('S9', { ageYears: 15 }),
    hand('S10'),
    hand('S2', { rosterCm2: null, rosterUCm2: null, heightCm: null }),
  ],
};

const CHOICE: ChoiceView = {
  day: 1,
  rule: 'day',
  sensors: [{ sensor: 'K-1', says: 'The calibration of the day folder itself, accepted.', from: ['7'] }],
};

/** Half a second of noise at a level, then a second of quiet, then strokes: raw at 100 Hz. */
export function trace(quiet: number): Float64Array {
  return Float64Array.from({ length: 1000 }, (_, k) =>
    k < 50
      ? quiet + 400 * Math.sin(k)
      : k < 200
        ? quiet + Math.sin(7 * k)
        : quiet + 3000 * Math.sin(k / 9) ** 2,
  );
}

type Answers = { [N in CallName]?: (input: CallInput<N>) => Outcome<unknown, LabError> };

/** A desk on the lab; `calls` holds what was asked, `answers` takes the place of its own. */
export function calibratedDesk(answers: Answers = {}) {
  const calls: { name: CallName; input: unknown }[] = [];
  let zeros = ZEROS;
  let areas = AREAS;
  let choice = CHOICE;
  const raw = trace(520);
  const grid = { startS: 0, rateHz: 100 };
  const search = { leastS: 1, withinS: 3, mostSdRaw: 50 };
  const proposed = (where: 'start' | 'end') => {
    const outcome = proposeZero(raw, grid, where, search);
    return outcome.ok ? outcome.value : outcome.error;
  };
  const own: Answers = {
    'days.get': () => done({ ...dayView(), canUndo: calls.some(({ name }) => /keep|confirm/.test(name)) }),
    'zeros.get': () => done(zeros),
    'zeros.propose': () => done({ start: proposed('start'), end: proposed('end') }),
    'zeros.confirm': ({ trial, when, raw: value }) => {
      const changed = ZEROS.readings.map((each) => {
        if (each.trial !== trial) return each;
        const view = reading(trial, each.before, each.after);
        const next = { ...view, [when]: value ?? each[when] };
        const origin = { ...view.origin, [when]: value === null ? 'file' : 'confirmed' } as const;
        return { ...reading(trial, next.before, next.after), origin };
      });
      return done((zeros = { ...zeros, readings: changed }));
    },
    'areas.get': () => done(areas),
    'areas.keep': ({ participant, area }) =>
      done(
        (areas = {
          ...areas,
          areas: areas.areas.map((each) =>
            each.participant === participant ? { ...each, kept: area } : each,
          ),
        }),
      ),
    'choice.get': () => done(choice),
    'choice.try': ({ rule }) =>
      done({
        choice: { ...CHOICE, rule },
        changes: [
          { trial: 'T1', hand: 'left', peakBeforeN: 60, peakAfterN: 61.2, changePct: 2 },
          { trial: 'T2', hand: 'left', peakBeforeN: 50, peakAfterN: null, changePct: null },
          { trial: 'T3', hand: 'left', peakBeforeN: 40, peakAfterN: 40, changePct: 0 },
        ],
      }),
    'choice.keep': ({ rule }) => done((choice = { ...choice, rule })),
    'trials.budget': ({ trial, hand: which, forceN }) => done(budget(trial, which, forceN)),
  };
  const client = (async (name: CallName, input: never) => {
    calls.push({ name, input });
    return ((answers[name] ?? own[name]) as (input: never) => unknown)(input);
  }) as LabClient;
  return { desk: new Desk(client), client, calls };
}

function budget(trial: string, hand: 'left' | 'right', forceN: number): BudgetView {
  const input = {
    forceN,
    areaCm2: 142,
    areaUCm2: 2,
    sensitivity: RAW_PER_KPA,
    sensitivityFitU: 3,
    referenceScale: 0,
    residualSdKpa: 0.02,
    // The right hand was calibrated at two points.
    calibrationDegreesOfFreedom: hand === 'left' ? 12 : 0,
    zeroUKpa: 0.087,
    fittedZero: { uKpa: 0.02, correlation: -0.8 },
    tapUKpa: (0.01 * 996.5 * 9.81) / 1000 / Math.sqrt(3),
  } as const;
  const found = forceBudget(input);
  return {
    trial,
    hand,
    forceN,
    budget: found,
    fault: found === null ? 'Two points leave the scatter of the line unknown; calibrate with more.' : null,
    areaSays: 'Hand area from the roster, 142 ± 2 cm².',
    calibrationSays: 'The calibration of the day folder itself, accepted.',
  };
}
