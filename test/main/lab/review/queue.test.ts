/** Trials to mark: shared out as one step, followed as they are marked, and leading each rater from trial to trial. */
import { beforeEach, expect, it } from 'vitest';
import { historyOf, turnBack, viewTrial } from '../../../../main/lab/days/dayview.ts';
import { closeBlind, editBlindMarks, startBlind } from '../../../../main/lab/review/blind.ts';
import { editMarks } from '../../../../main/lab/review/markedits.ts';
import { drawQueue, viewQueue } from '../../../../main/lab/review/queue.ts';
import { SAMPLE } from '../../cli/run.ts';
import { faultOf, testLab, valueOf, type TestLab } from '../support.ts';

let lab: TestLab;
let day: number;
const RATERS = ['A1', 'A2', 'A3'];

beforeEach(async () => {
  lab = await testLab();
  day = await lab.bring(SAMPLE);
}, 60_000);

const work = (who: string) => lab.session.store.setSetting('operator', who, 'x', '2026-03-14T10:00:00.000Z');
const queue = async () => valueOf(await viewQueue(lab.session, day));
const draw = (more: object = {}) =>
  drawQueue(lab.session, { day, raters: RATERS, sharePct: 30, seed: 'quay', seen: null, ...more });

it('is one step that undo takes back, with the seed in the history', async () => {
  expect((await queue()).queue).toBeNull();
  const { queue: drawn, open } = valueOf(await draw());
  expect(drawn!.trials.map(({ trial }) => trial).toSorted()).toEqual(open.toSorted());
  // 13 of the sample day's 14 trials are not excluded; 30 % of them is 3.9.
  expect(drawn!.trials.filter(({ second }) => second !== null)).toHaveLength(4);
  expect((await historyOf(lab.session, day))[0]!.says).toContain('drawn from “quay”');
  expect(faultOf(await draw())).toBe('changed_meanwhile');
  expect(faultOf(await draw({ seen: 'quay', raters: ['A1'] }))).toBe('bad_input');
  await turnBack(lab.session, day, 'undo');
  expect((await queue()).queue).toBeNull();
});

it('tells how far each trial is, and leads whoever is at work to their own next one', async () => {
  const { queue: drawn } = valueOf(await draw());
  // The sample day has marks on all trials but P06-2.
  const states = new Map(drawn!.trials.map(({ trial, state }) => [trial as string, state]));
  expect(states.get('P01-1')).toBe('done');
  expect(states.get('P06-2')).toBe('unmarked');
  work('A2');
  // Marks of a second rater would be reported in place of those taken away: such a trial stays marked.
  const mine: string[] = [];
  for (const { trial } of drawn!.trials.filter(({ rater }) => rater === 'A2')) {
    const { marks: seen, raters } = valueOf(await viewTrial(lab.session, day, trial)).marking;
    if (raters.length > 1) continue;
    mine.push(trial);
    if (seen.length > 0)
      valueOf(await editMarks(lab.session, { day, trial, seen, now: [], says: 'All taken away' }));
  }
  expect(mine.length).toBeGreaterThan(2);
  expect((await queue()).next).toBe(mine[0]);
  expect(valueOf(await viewTrial(lab.session, day, mine[0]!)).nextUnmarked).toBe(mine[1]);
  // From the last of one's own round to the first.
  expect(valueOf(await viewTrial(lab.session, day, mine.at(-1)!)).nextUnmarked).toBe(mine[0]);
  const now = [
    {
      ...({ hand: 'left', stroke: 1, event: 'water_entry', timeS: 3, clock: 'trace', camera: null } as const),
      uS: null,
      sharedUS: null,
    },
  ];
  valueOf(await editMarks(lab.session, { day, trial: mine[0]!, seen: [], now, says: 'One' }));
  const after = (await queue()).queue!.trials;
  expect(after.find(({ trial }) => trial === mine[0])!.state).toBe('begun');
  expect((await queue()).next).toBe(mine[1]);
});

it('follows second markings, which are second opinions', async () => {
  const { queue: drawn } = valueOf(await draw());
  const { trial, second } = drawn!.trials.find((one) => one.second !== null)!;
  const stateOf = async () => {
    const own = (await queue()).queue!.trials.find((one) => one.trial === trial)!;
    return [own.isOpened, own.secondState];
  };
  expect(await stateOf()).toEqual([false, 'unmarked']);
  const { id } = valueOf(
    await startBlind(lab.session, { day, rater: `${second}b`, seed: 'quay', trials: [trial] }),
  );
  // Another code is another rater.
  expect(await stateOf()).toEqual([false, 'unmarked']);
  const own = valueOf(await startBlind(lab.session, { day, rater: second!, seed: 'quay', trials: [trial] }));
  expect(own.id).toBe(id + 1);
  expect(await stateOf()).toEqual([true, 'unmarked']);
  const now = [
    {
      ...({ hand: 'left', stroke: 1, event: 'water_entry', timeS: 3, clock: 'trace', camera: null } as const),
      uS: null,
      sharedUS: null,
    },
  ];
  valueOf(await editBlindMarks(lab.session, { session: own.id, item: 1, seen: [], now, says: 'One' }));
  expect(await stateOf()).toEqual([true, 'begun']);
  valueOf(await closeBlind(lab.session, own.id));
  expect(await stateOf()).toEqual([true, 'done']);
});
