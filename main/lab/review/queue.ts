/** Trials to mark: shared out among raters, a part of them for a second marking, and how far each is. */
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import type { MarkState, QueueTrial, QueueView } from '../../../core/contract/queue.ts';
import { HANDS } from '../../../core/base/hand.ts';
import { shareOut } from '../../../core/rater/queue.ts';
import type { TrialEntry } from '../../../core/day/book.ts';
import { sessionsOn, type KeptBlindSession } from '../kept/blindsessions.ts';
import { decide } from '../kept/decide.ts';
import { namesHidden } from '../kept/deckhidden.ts';
import { markingOf } from '../kept/marks.ts';
import { trialOutcomes, type TrialOutcome } from '../kept/outcome.ts';
import { nextToMark, operatorCode, QUEUE, queueOn } from '../kept/queue.ts';
import type { Session } from '../kept/session.ts';
import { decisionsOn, statusOf } from '../days/status.ts';
import type { KeptQueue } from '../shapes/queue.ts';

export async function viewQueue(session: Session, id: number): Promise<Outcome<QueueView, LabError>> {
  const computed = await trialOutcomes(session, id);
  if (!computed.ok) return computed;
  const { day, outcomes } = computed.value;
  const { trials } = day.book;
  const states = new Map(
    trials.map((entry, index) => [entry.row.trial as string, stateOf(entry, outcomes[index]!)]),
  );
  const codes = new Map(trials.map(({ row }) => [row.trial as string, row.trial]));
  const [decisions, names] = [decisionsOn(session, id), namesHidden(session, id)];
  const open = trials.filter((entry, index) => {
    const { trace, films } = outcomes[index]!;
    const { status } = statusOf(entry, decisions.get(entry.row.trial), names);
    return status !== 'excluded' && (trace !== null || films.some(({ fault }) => fault === null));
  });
  const queue = queueOn(session, id);
  const sessions = sessionsOn(session, id);
  const marked = trials.map((entry) => ({
    trial: entry.row.trial as string,
    isMarked: markingOf(entry).marks.length > 0,
  }));
  const next = nextToMark(session, id, marked, null);
  return done({
    queue:
      queue === null
        ? null
        : {
            seed: queue.seed,
            sharePct: queue.sharePct,
            raters: queue.raters,
            trials: queue.trials.flatMap((one): readonly QueueTrial[] => {
              const trial = codes.get(one.trial);
              return trial === undefined ? [] : [{ ...one, trial, ...progressOf(one, states, sessions) }];
            }),
          },
    open: open.map(({ row }) => row.trial),
    operator: operatorCode(session),
    next: next === null ? null : (codes.get(next) ?? null),
  });
}

/** Shares the open trials out anew; what is marked stays as it is. */
export async function drawQueue(
  session: Session,
  wish: {
    readonly day: number;
    readonly raters: readonly string[];
    readonly sharePct: number;
    readonly seed: string;
    readonly seen: string | null;
  },
): Promise<Outcome<QueueView, LabError>> {
  const view = await viewQueue(session, wish.day);
  if (!view.ok) return view;
  if ((view.value.queue?.seed ?? null) !== wish.seen)
    return failed({
      code: 'changed_meanwhile',
      says: 'Another window has shared the trials out in the meantime.',
      todo: 'Look at what stands there now, then do it again.',
    });
  const { raters, sharePct, seed } = wish;
  const shared = shareOut({ trials: view.value.open, raters, sharePct, seed });
  if (!shared.ok) return failed({ code: 'bad_input', ...shared.error });
  const after: KeptQueue = { seed, sharePct, raters: [...raters], trials: [...shared.value] };
  const says = `${shared.value.length} trials to mark shared among ${raters.join(', ')}, ${sharePct} % for a second marking, drawn from “${seed}”`;
  const kept = decide(session, { day: wish.day, trial: null, subject: QUEUE, key: QUEUE, after, says });
  return kept.ok ? viewQueue(session, wish.day) : kept;
}

function stateOf(entry: TrialEntry, { progress }: TrialOutcome): MarkState {
  if (markingOf(entry).marks.length === 0) return 'unmarked';
  const isWhole = HANDS.every((hand) => progress[hand].missing.length === 0 && progress[hand].done > 0);
  return isWhole ? 'done' : 'begun';
}

function progressOf(
  { trial, second }: { readonly trial: string; readonly second: string | null },
  states: ReadonlyMap<string, MarkState>,
  sessions: readonly KeptBlindSession[],
): Pick<QueueTrial, 'state' | 'secondState' | 'isOpened'> {
  const state = states.get(trial)!;
  if (second === null) return { state, secondState: null, isOpened: false };
  const own = sessions.find(
    ({ rater, items }) => rater === second && items.some((item) => item.trial === trial),
  );
  const marks = own?.items.find((item) => item.trial === trial)?.marks.length ?? 0;
  const secondState = own?.closed === true ? 'done' : marks > 0 ? 'begun' : 'unmarked';
  return { state, secondState, isOpened: own !== undefined };
}
