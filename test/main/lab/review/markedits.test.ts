/** Marks, judgements, clock pairs and section times: one decision each, refused where the screen was stale. */
import { beforeEach, describe, expect, it } from 'vitest';
import type { MarkRow } from '../../../../core/marking/words.ts';
import type { TrialView } from '../../../../core/contract/views.ts';
import { historyOf, turnBack, viewTrial } from '../../../../main/lab/days/dayview.ts';
import {
  adjudicate,
  editJudgements,
  editMarks,
  editPairs,
  editSection,
} from '../../../../main/lab/review/markedits.ts';
import { SAMPLE } from '../../cli/run.ts';
import { faultOf, testLab, valueOf, type TestLab } from '../support.ts';

let lab: TestLab;
let day: number;

beforeEach(async () => {
  lab = await testLab();
  day = await lab.bring(SAMPLE);
  lab.session.store.setSetting('operator', 'Änne K.', 'x', '2026-03-14T10:00:00.000Z');
}, 60_000);

async function view(trial: string): Promise<TrialView> {
  return valueOf(await viewTrial(lab.session, day, trial));
}

/** Moves the marks that `pick` picks by `byS`. */
function moved(marks: readonly MarkRow[], pick: (mark: MarkRow) => boolean, byS: number): MarkRow[] {
  return marks.map((mark) => (pick(mark) ? { ...mark, timeS: mark.timeS + byS } : mark));
}

const isEnd = (mark: MarkRow) => mark.hand === 'left' && mark.stroke === 6 && mark.event === 'propulsion_end';

describe('marks', () => {
  it('are changed by one step that changes the numbers, and taken back by one', async () => {
    const before = await view('P01-1');
    const seen = before.marking.marks;
    const wish = { day, trial: 'P01-1', seen, now: moved(seen, isEnd, -0.02), says: 'End moved by a frame' };
    const after = valueOf(await editMarks(lab.session, wish));
    expect(after.marking.marks).toEqual(wish.now);
    expect(after.marking.rater).toBe('R1');
    expect(after.result.idc).not.toEqual(before.result.idc);
    expect(await historyOf(lab.session, day)).toMatchObject([
      { says: 'End moved by a frame', who: 'Änne K.', trial: 'P01-1', undone: false },
    ]);
    await turnBack(lab.session, day, 'undo');
    expect((await view('P01-1')).result).toEqual(before.result);
    await turnBack(lab.session, day, 'redo');
    expect(await view('P01-1')).toEqual(after);
  });

  it('can be called unsure, which changes no number', async () => {
    const before = await view('P01-1');
    const seen = before.marking.marks;
    const now = seen.map((mark) => (isEnd(mark) ? { ...mark, unsure: true as const } : mark));
    const after = valueOf(await editMarks(lab.session, { day, trial: 'P01-1', seen, now, says: 'Unsure' }));
    expect(after.marking.marks.filter(({ unsure }) => unsure === true)).toHaveLength(1);
    expect((await view('P01-1')).marking.marks).toEqual(now);
    expect(after.result).toEqual(before.result);
    await turnBack(lab.session, day, 'undo');
    expect((await view('P01-1')).marking.marks).toEqual(seen);
  });

  it('stay where another window changed them, and where nothing changes nothing is recorded', async () => {
    const seen = (await view('P01-1')).marking.marks;
    const wish = { day, trial: 'P01-1', seen, now: moved(seen, isEnd, -0.02), says: 'First' };
    valueOf(await editMarks(lab.session, wish));
    const stale = { ...wish, now: moved(seen, isEnd, 0.02), says: 'Second' };
    expect(faultOf(await editMarks(lab.session, stale))).toBe('changed_meanwhile');
    valueOf(await editMarks(lab.session, { ...wish, seen: wish.now }));
    expect(await historyOf(lab.session, day)).toHaveLength(1);
  });

  it('that break the order rules are refused with the rule, and nothing is kept', async () => {
    const seen = (await view('P01-1')).marking.marks;
    const attempt = (now: readonly MarkRow[]) =>
      editMarks(lab.session, { day, trial: 'P01-1', seen, now, says: 'x' });
    const outcome = await attempt(moved(seen, isEnd, -1));
    expect(faultOf(outcome)).toBe('bad_input');
    expect(outcome).toMatchObject({
      error: {
        says: expect.stringMatching(
          /left hand’s stroke 6, propulsion end \([\d.]+ s\) must come after/,
        ) as string,
      },
    });
    const exit = (mark: MarkRow) => mark.hand === 'left' && mark.stroke === 6 && mark.event === 'water_exit';
    expect(await attempt(moved(seen, exit, 3))).toMatchObject({
      error: { code: 'bad_input', says: expect.stringContaining('of the stroke before it') as string },
    });
    expect(await attempt([...seen, seen[0]!])).toMatchObject({
      error: { code: 'bad_input', says: expect.stringContaining('two marks') as string },
    });
    expect(await attempt([...seen.slice(1), { ...seen[0]!, camera: 'Q' }])).toMatchObject({
      error: { says: expect.stringContaining('no film of camera Q') as string },
    });
    expect(await historyOf(lab.session, day)).toEqual([]);
  });

  it('of a trial that nobody marked carry the code of the person at work', async () => {
    const { marking } = await view('P06-2');
    expect(marking).toMatchObject({ rater: null, marks: [], raters: [] });
    const now: MarkRow[] = [
      {
        hand: 'left',
        stroke: 1,
        event: 'propulsion_start',
        timeS: 3,
        clock: 'trace',
        camera: null,
        uS: null,
        sharedUS: null,
      },
      {
        hand: 'left',
        stroke: 1,
        event: 'propulsion_end',
        timeS: 3.4,
        clock: 'trace',
        camera: null,
        uS: null,
        sharedUS: null,
      },
    ];
    const after = valueOf(
      await editMarks(lab.session, { day, trial: 'P06-2', seen: [], now, says: 'First marks' }),
    );
    expect(after.marking).toMatchObject({ rater: 'Anne-K.', marks: now, raters: ['Anne-K.'] });
    expect(after.result.strokes).toHaveLength(1);
    expect(after.result.strokes[0]!.peakForce).not.toBeNull();
  });

  it('survive closing the lab', async () => {
    const seen = (await view('P01-1')).marking.marks;
    const now = moved(seen, isEnd, -0.02);
    const after = valueOf(await editMarks(lab.session, { day, trial: 'P01-1', seen, now, says: 'x' }));
    lab.close();
    lab = await testLab(lab.home);
    expect(await view('P01-1')).toEqual(after);
  });
});

describe('marks with uncertainties of their own', () => {
  /**
   * formats.md section 2: u² of a lag in s² is the mean over hands of Σ(u_e² + u_s²)/n² over 4, and once the shared
   * parts of both events; with every mark alike, 2·u²/(2n) + 2·shared² for n strokes of each hand.
   */
  it('keep them, and give them to the index of coordination', async () => {
    const trial = 'P01-1';
    const { marks: seen } = (await view(trial)).marking;
    expect(seen.every(({ uS, sharedUS }) => uS === null && sharedUS === null)).toBe(true);
    const [uS, sharedUS] = [0.003, 0.02];
    const isPropulsion = ({ event }: MarkRow) => event === 'propulsion_start' || event === 'propulsion_end';
    const now = seen.map((mark) => (isPropulsion(mark) ? { ...mark, uS, sharedUS } : mark));
    const after = valueOf(await editMarks(lab.session, { day, trial, seen, now, says: 'x' }));
    expect(after.marking.marks).toEqual(now);
    const { idc, cycleTime, strokes } = after.result;
    const counted = (hand: string) => strokes.filter((one) => one.counts && one.stroke.hand === hand).length;
    const own = (2 * uS ** 2 * (1 / counted('left') + 1 / counted('right'))) / 4;
    const ofT = ((idc!.value / 100) * cycleTime!.u!) ** 2;
    const expected = (100 / cycleTime!.value) * Math.sqrt(own + 2 * sharedUS ** 2 + ofT);
    expect(idc!.u).toBeCloseTo(expected, 9);

    // A mark that is put elsewhere is a mark of one's own again.
    lab.close();
    lab = await testLab(lab.home);
    expect((await view(trial)).marking.marks).toEqual(now);
  });
});

describe('two raters', () => {
  it('are both kept: which is reported is chosen, and edits go to the one reported', async () => {
    const before = await view('P01-2');
    expect(before.marking).toMatchObject({ rater: 'R1', raters: ['R1', 'R2'] });
    const wish = { day, trial: 'P01-2', rater: 'R2', seen: 'R1', reason: 'Looked at together' };
    const chosen = valueOf(await adjudicate(lab.session, wish));
    expect(chosen.marking).toMatchObject({ rater: 'R2', raters: ['R2', 'R1'] });
    expect([before.reportedWhy, chosen.reportedWhy]).toEqual([null, 'Looked at together']);
    expect(await historyOf(lab.session, day)).toMatchObject([
      { says: 'Trial P01-2: the marks of R2 are reported: Looked at together', trial: 'P01-2' },
    ]);
    expect(chosen.result.idc).not.toEqual(before.result.idc);
    expect(faultOf(await adjudicate(lab.session, wish))).toBe('changed_meanwhile');
    expect(faultOf(await adjudicate(lab.session, { ...wish, rater: 'R9', seen: 'R2' }))).toBe('bad_input');

    const seen = chosen.marking.marks;
    const now = moved(seen, isEnd, 0.01);
    const edited = valueOf(await editMarks(lab.session, { day, trial: 'P01-2', seen, now, says: 'x' }));
    expect(edited.marking).toMatchObject({ rater: 'R2', marks: now });
    const back = valueOf(await adjudicate(lab.session, { ...wish, rater: 'R1', seen: 'R2' }));
    expect(back.marking).toEqual(before.marking);
    expect(back.result).toEqual(before.result);
    for (let steps = 0; steps < 3; steps++) await turnBack(lab.session, day, 'undo');
    expect(await view('P01-2')).toMatchObject({ reportedWhy: null, marking: before.marking });
  });

  it('the last mark of the reported one is not taken away while another would be reported instead', async () => {
    const seen = (await view('P01-2')).marking.marks;
    const outcome = await editMarks(lab.session, { day, trial: 'P01-2', seen, now: [], says: 'x' });
    expect(faultOf(outcome)).toBe('bad_input');
  });
});

it('judgements, moments and section times are decided in the same way', async () => {
  const before = await view('P02-1');
  const { judgements, pairs, section } = before.marking;
  const base = { day, trial: 'P02-1', says: 'x' };
  const judged = judgements.map((one, index) =>
    index === 5 ? { ...one, exclusionReason: 'lane rope' } : one,
  );
  const one = valueOf(await editJudgements(lab.session, { ...base, seen: judgements, now: judged }));
  expect(one.marking.judgements).toEqual(judged);
  expect(one.result.strokes.filter(({ stroke }) => stroke.exclusionReason === 'lane rope')).toHaveLength(1);

  expect(pairs.map(({ what }) => what)).toEqual(['tap on the left hand with lamp', 'lamp', 'lamp']);
  const two = valueOf(await editPairs(lab.session, { ...base, seen: pairs, now: pairs.slice(0, 1) }));
  expect(two.result.clock).toMatchObject({ rate: 1, pairs: 1, residualS: null });
  const twice = await editPairs(lab.session, {
    ...base,
    seen: pairs.slice(0, 1),
    now: [pairs[0]!, pairs[0]!],
  });
  expect(faultOf(twice)).toBe('bad_input');
  expect(faultOf(await editPairs(lab.session, { ...base, seen: pairs, now: [] }))).toBe('changed_meanwhile');

  const later = { ...section!, endS: section!.endS + 0.02 };
  const three = valueOf(await editSection(lab.session, { ...base, seen: section, now: later }));
  expect(three.result.sectionTimeS).toBeCloseTo(before.result.sectionTimeS! + 0.02, 12);
  const backward = { ...later, endS: 0 };
  expect(faultOf(await editSection(lab.session, { ...base, seen: later, now: backward }))).toBe('bad_input');
  const none = valueOf(await editSection(lab.session, { ...base, seen: later, now: null }));
  expect(none.section).toBeNull();
  expect(none.result.flags).toContain('no_section');

  for (let step = 0; step < 4; step++) await turnBack(lab.session, day, 'undo');
  expect((await view('P02-1')).result).toEqual(before.result);
});
