/**
 * Withdrawals of a running day, which undo does not take back. A plan that was made before a withdrawal, and is in force
 * again since steps were taken back, knows nothing of it: the swimmer counts as withdrawn all the same, until a plan that
 * was made after it says otherwise, which only the act of taking the withdrawal back makes.
 */
import type { DeckPlan } from './deck.ts';

/** Notes, by swimmer, the number of the latest plan that says that they withdrew. */
export function noteWithdrawn(latest: Map<string, number>, { swimmers }: DeckPlan, step: number): void {
  for (const { participant, consents } of swimmers)
    if (consents.measuring === 'withdrawn') latest.set(participant, step);
}

/**
 * The plan of a step with every swimmer withdrawn who withdrew after it.
 * @param latest by swimmer, the number of the latest plan that says so, whether it was taken back or not
 */
export function withWithdrawals(plan: DeckPlan, step: number, latest: ReadonlyMap<string, number>): DeckPlan {
  const isGone = (participant: string) => (latest.get(participant) ?? 0) > step;
  if (!plan.swimmers.some(({ participant }) => isGone(participant))) return plan;
  const swimmers = plan.swimmers.map((swimmer) =>
    isGone(swimmer.participant)
      ? { ...swimmer, consents: { ...swimmer.consents, measuring: 'withdrawn' as const } }
      : swimmer,
  );
  return { ...plan, swimmers };
}
