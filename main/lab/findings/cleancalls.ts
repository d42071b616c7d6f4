/** The calls of the screens of findings and the functions that answer them. */
import type { CallName } from '../../../core/contract/contract.ts';
import { done } from '../../../core/base/refusal.ts';
import type { CallsNamed } from '../bench/benchcalls.ts';
import type { Session } from '../kept/session.ts';
import { findingsDay, findingsDays, listReasons, saveReasons } from './clean.ts';
import { decideTrials, listActs, turnAct } from './cleanacts.ts';

type FindingsCall = Extract<CallName, `${'findings' | 'reasons'}.${string}`>;

export function cleanCalls(session: Session): CallsNamed<FindingsCall> {
  return {
    'findings.days': () => findingsDays(session),
    'findings.day': ({ day }) => findingsDay(session, day),
    'findings.decide': (wish) => decideTrials(session, wish),
    'findings.acts': () => listActs(session),
    'findings.undo': ({ act }) => turnAct(session, act, 'undo'),
    'findings.redo': ({ act }) => turnAct(session, act, 'redo'),
    'reasons.list': () => done(listReasons(session)),
    'reasons.save': ({ reasons }) => saveReasons(session, reasons),
  };
}
