/** The calls of the contract for plans of comparisons and the functions that answer them. */
import type { CallName } from '../../../core/contract/contract.ts';
import { done } from '../../../core/base/refusal.ts';
import type { CallsNamed } from '../bench/benchcalls.ts';
import type { Session } from '../kept/session.ts';
import { viewOverTime } from './overtime.ts';
import { answerPlan, figurePdf, savePlan, viewDesign } from './plananswer.ts';
import { keptPlans, statePlan } from './planlog.ts';

type PlanCall = Extract<CallName, `${'plans' | 'figures' | 'overtime'}.${string}`>;

export function planCalls(session: Session): CallsNamed<PlanCall> {
  return {
    'plans.list': () => done(keptPlans(session).map(({ view }) => view)),
    'plans.design': ({ source }) => viewDesign(session, source),
    'plans.state': (wish) => statePlan(session, wish),
    'plans.answer': ({ plan, source }) => answerPlan(session, plan, source),
    'plans.save': (wish) => savePlan(session, wish),
    'overtime.get': (wish) => viewOverTime(session, wish),
    'figures.pdf': ({ svg }) => figurePdf(session, svg),
  };
}
