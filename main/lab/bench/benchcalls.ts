/** The calls of the calibration bench and the functions that answer them. */
import type { CallInput, CallName, CallOutput } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import { keepArea, viewAreas } from './areas.ts';
import {
  getCalibration,
  keepDraft,
  saveDraft,
  saveSensor,
  setLimits,
  turnBench,
  openBench,
} from './bench.ts';
import { viewBudget } from './budgetview.ts';
import { openRecording } from './recording.ts';
import { keepRule, tryRule, viewChoice } from './ruling.ts';
import type { Session } from '../kept/session.ts';
import { confirmZero, proposeZeros, viewZeros } from './zeros.ts';

/** Calls by name, each with the function that answers it. */
export type CallsNamed<Names extends CallName> = {
  readonly [N in Names]: (
    input: CallInput<N>,
  ) => Outcome<CallOutput<N>, LabError> | Promise<Outcome<CallOutput<N>, LabError>>;
};

type BenchCall = Extract<
  CallName,
  `${'bench' | 'sensors' | 'calibrations' | 'zeros' | 'areas' | 'choice'}.${string}` | 'trials.budget'
>;

export function benchCalls(session: Session): CallsNamed<BenchCall> {
  return {
    'bench.get': async () => done(await openBench(session)),
    'bench.undo': () => turnBench(session, 'undo'),
    'bench.redo': () => turnBench(session, 'redo'),
    'sensors.save': (wish) => saveSensor(session, wish),
    'bench.setLimits': ({ limits }) => setLimits(session, limits),
    'bench.draft': ({ sensor, draft }) => saveDraft(session, sensor, draft),
    'bench.keep': ({ sensor }) => keepDraft(session, sensor),
    'calibrations.get': ({ id }) => getCalibration(session, id),
    'bench.record': (wish) => openRecording(session, wish),
    'zeros.get': ({ day }) => viewZeros(session, day),
    'zeros.propose': (wish) => proposeZeros(session, wish),
    'zeros.confirm': (wish) => confirmZero(session, wish),
    'areas.get': ({ day }) => viewAreas(session, day),
    'areas.keep': (wish) => keepArea(session, wish),
    'choice.get': ({ day }) => viewChoice(session, day),
    'choice.try': ({ day, rule }) => tryRule(session, day, rule),
    'choice.keep': (wish) => keepRule(session, wish),
    'trials.budget': (wish) => viewBudget(session, wish),
  };
}
