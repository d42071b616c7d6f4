/** The calls of the contract on numbers of other versions of the program, and the functions that answer them. */
import type { CallName } from '../../../core/contract/contract.ts';
import { done } from '../../../core/base/refusal.ts';
import type { CallsNamed } from '../bench/benchcalls.ts';
import type { Jobs } from '../kept/jobs.ts';
import type { Session } from '../kept/session.ts';
import { Renewal } from './renewal.ts';

type NumbersCall = Extract<CallName, `numbers.${string}`>;

export function renewalCalls(session: Session, jobs: Jobs): CallsNamed<NumbersCall> {
  const renewal = new Renewal(session);
  return {
    'numbers.get': () => done(renewal.view()),
    'numbers.compare': () =>
      done(jobs.start('Holding kept numbers against this version', (progress) => renewal.compare(progress))),
    'numbers.take': () =>
      done(jobs.start('Taking over the numbers of this version', (progress) => renewal.take(progress))),
  };
}
