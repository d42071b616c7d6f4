/**
 * Plans as the lab keeps them: what was stated when, and which of their questions stood before any answer was looked
 * at. Those are planned; what was asked or changed after looking is exploratory, for good.
 */
import { createHash } from 'node:crypto';
import { isDeepStrictEqual } from 'node:util';
import type { PlanQuestion, PlanView, StatedQuestion } from '../../../core/contract/plans.ts';
import { done, failed, type LabError, type Outcome } from '../../../core/base/refusal.ts';
import { counted } from '../../../core/base/words.ts';
import { grouped } from '../../../core/findings/study.ts';
import { isFaulty, PLAN_FORMAT, readPlan } from '../../../core/findings/plan.ts';
import type { PlanEntry } from '../../store/plans.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import { readKept } from '../shapes/shape.ts';
import { LOOKED_SHAPE, STATED_SHAPE } from '../shapes/plan.ts';

/** A plan with its text as it stands. */
export interface KeptPlan {
  readonly view: PlanView;
  readonly text: string;
}

interface PlanText {
  readonly questions: readonly (PlanQuestion & { readonly kind: 'planned' | 'exploratory' })[];
}

const hashOf = (text: string) => createHash('sha256').update(text).digest('hex');

/** What of a question a test answers: its words and reasons may be put better without asking anything else. */
function askedOf({ id: _id, words: _words, why: _why, ...asked }: PlanQuestion & { kind?: unknown }): object {
  const { kind: _kind, ...rest } = asked;
  return JSON.parse(JSON.stringify(rest)) as object;
}

/** Every plan of the lab, by name. */
export function keptPlans({ store }: Session): readonly KeptPlan[] {
  return [...grouped(store.planEntries(), ({ plan }) => plan)]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .flatMap(([plan, entries]) => planOf(plan, entries) ?? []);
}

export function keptPlan(session: Session, plan: string): Outcome<KeptPlan, LabError> {
  const found = keptPlans(session).find(({ view }) => view.plan === plan);
  if (found !== undefined) return done(found);
  return failed({
    code: 'not_found',
    says: `There is no plan ${plan} in the lab folder.`,
    todo: 'Go back to the list of plans.',
  });
}

function planOf(plan: string, entries: readonly PlanEntry[]): KeptPlan | null {
  const lookedAt = entries.find(({ what }) => what === 'looked')?.at ?? null;
  const stated = entries
    .filter(({ what }) => what === 'stated')
    .map((entry) => {
      const where = `entry ${entry.id} of plan ${plan}`;
      const { text, sha256 } = readKept(STATED_SHAPE, entry.content, where, entry.shape);
      const { questions } = JSON.parse(text) as PlanText;
      return { ...entry, text, sha256, questions };
    });
  const last = stated.at(-1);
  if (last === undefined) return null;
  const firstLook = entries.findIndex(({ what }) => what === 'looked');
  const isAfter = (id: number) => firstLook >= 0 && id > entries[firstLook]!.id;
  const questions = last.questions.map((question): StatedQuestion => {
    const first = stated.find(({ questions: own }) =>
      own.some((one) => isDeepStrictEqual(askedOf(one), askedOf(question))),
    )!;
    return { ...question, statedAt: first.at };
  });
  const versions = stated.map(({ sha256, at, who, id, questions: own }, k) => ({
    sha256,
    at,
    who,
    afterLooking: isAfter(id),
    says: changeSays(stated[k - 1]?.questions ?? [], own),
  }));
  return { view: { plan, sha256: last.sha256, questions, versions, lookedAt }, text: last.text };
}

function changeSays(before: readonly PlanQuestion[], after: readonly PlanQuestion[]): string {
  const has = (list: readonly PlanQuestion[], question: PlanQuestion) =>
    list.some((one) => isDeepStrictEqual(askedOf(one), askedOf(question)));
  const added = after.filter((question) => !has(before, question)).length;
  const gone = before.filter((question) => !has(after, question)).length;
  const parts = [
    added > 0 ? `${counted(added, 'question')} added or changed` : '',
    gone > 0 ? `${counted(gone, 'question')} no longer asked so` : '',
  ].filter((part) => part !== '');
  return parts.length === 0 ? 'words alone' : parts.join(', ');
}

/** States a plan as it is from now on. */
export function statePlan(
  session: Session,
  wish: { readonly plan: string; readonly seen: string | null; readonly questions: readonly PlanQuestion[] },
): Outcome<PlanView, LabError> {
  const before = keptPlans(session).find(({ view }) => view.plan === wish.plan) ?? null;
  if ((before?.view.sha256 ?? null) !== wish.seen)
    return failed(
      before !== null && wish.seen === null
        ? {
            code: 'bad_input',
            says: `There is a plan ${wish.plan} already.`,
            todo: 'Give the new plan another name, or open that one.',
          }
        : {
            code: 'changed_meanwhile',
            says: `Another window has stated the plan ${wish.plan} anew; nothing was stated.`,
            todo: 'Look at what stands there now, then state it again.',
          },
    );
  const lookedAt = before?.view.lookedAt ?? null;
  const at = now();
  const questions = wish.questions.map((question) => {
    const stood = before?.view.questions.find((one) =>
      isDeepStrictEqual(askedOf(strip(one)), askedOf(question)),
    );
    return { ...question, kind: stood?.kind ?? (lookedAt === null ? 'planned' : 'exploratory') };
  });
  const plan = { format: PLAN_FORMAT, name: wish.plan, stated: at.slice(0, 10), questions };
  const text = `${JSON.stringify(plan, null, 2)}\n`;
  const read = readPlan(text);
  const fault = read.ok ? read.value.questions.find(isFaulty) : { id: wish.plan, says: read.error };
  if (fault !== undefined)
    return failed({
      code: 'bad_input',
      says: `${fault.id}: ${fault.says}`,
      todo: 'Correct the question, then state the plan again.',
    });
  const content = { text, sha256: hashOf(text) };
  const kept = session.store.addPlanEntry({
    plan: wish.plan,
    what: 'stated',
    content,
    at,
    who: operatorOf(session),
  });
  if (!kept.ok) return storeFault(kept.error);
  const found = keptPlan(session, wish.plan);
  return found.ok ? done(found.value.view) : found;
}

function strip({ statedAt: _at, ...question }: StatedQuestion): PlanQuestion {
  return question;
}

/** Notes that answers were looked at, where that plan was not looked at on these tables before. */
export function noteLook(session: Session, { view }: KeptPlan, data: string): Outcome<null, LabError> {
  const known = session.store.planEntries().some(({ plan, what, content, id, shape }) => {
    if (plan !== view.plan || what !== 'looked') return false;
    const look = readKept(LOOKED_SHAPE, content, `entry ${id} of plan ${plan}`, shape);
    return look.sha256 === view.sha256 && look.data === data;
  });
  if (known) return done(null);
  const content = { sha256: view.sha256, data };
  const kept = session.store.addPlanEntry({
    plan: view.plan,
    what: 'looked',
    content,
    at: now(),
    who: operatorOf(session),
  });
  return kept.ok ? done(null) : storeFault(kept.error);
}
