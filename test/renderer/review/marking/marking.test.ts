/**
 * The logic of marking. Order rules and the table of events: formats.md section 1; marks lie on the nearest frame or
 * sample, and a frame's time is its own (the same). Standard uncertainty of reading to the nearest step: step/√12,
 * JCGM 100:2008, 4.3.7.
 */
import { describe, expect, it, vi } from 'vitest';
import type { LabError } from '../../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../../core/base/refusal.ts';
import type { MarkRow } from '../../../../core/marking/words.ts';
import { EVENTS } from '../../../../core/stroke/stroke.ts';
import type { TrialView } from '../../../../core/contract/views.ts';
import {
  aimAt,
  nextEvent,
  renumberFault,
  renumbered,
  strokeBegunBy,
  strokesOfHand,
} from '../../../../renderer/review/marking/aiming.ts';
import { TrialEdits, type Keeper } from '../../../../renderer/review/marking/edits.svelte.ts';
import { judgementWords, withJudgement } from '../../../../renderer/review/marking/judging.ts';
import { markSentence, markSpread, rowMarks } from '../../../../renderer/review/marking/placement.ts';
import { confirmed, isMarked } from '../../../../renderer/review/marking/proposing.ts';
import {
  endMeaning,
  readingUS,
  sectionFault,
  withReadEnd,
} from '../../../../renderer/review/marking/sectionset.ts';
import { frameSpot, nearestSpot, sampleSpot, spotBeside } from '../../../../renderer/review/marking/spots.ts';
import type { Mark } from '../../../../core/stroke/stroke.ts';
import { FILM, STROKES, trialView } from '../fixture.ts';

const view = trialView();
const mark = (event: MarkRow['event'], timeS: number, more: Partial<MarkRow> = {}): MarkRow => ({
  hand: 'left',
  stroke: 1,
  event,
  timeS,
  clock: 'trace',
  camera: null,
  uS: null,
  sharedUS: null,
  ...more,
});
const stroke = (number: number, start: number) =>
  (
    [
      ['water_entry', 0],
      ['full_reach', 0.1],
      ['propulsion_start', 0.3],
      ['propulsion_end', 0.8],
      ['water_exit', 0.85],
    ] as const
  ).map(([event, after]) => mark(event, start + after, { stroke: number }));
const left = (rows: readonly MarkRow[]) => strokesOfHand(rowMarks(view, rows), 'left');

describe('spots for marks', () => {
  it('are frames at their own times, on both clocks', () => {
    const film = { ...FILM, frameTimesS: [0, 0.021, 0.039, 0.081] };
    const found = frameSpot({ ...view, films: [film] }, 'A', 2);
    expect(found).toMatchObject({
      ok: true,
      spot: { ownS: 0.039, camera: 'A', clock: 'video', words: 'film A, frame 2' },
    });
    expect(found.ok && found.spot.timeS).toBeCloseTo(0.039 - 0.5, 12);
  });

  it('are the nearest sample, and none outside the trace', () => {
    const found = sampleSpot(view, 1.00109);
    expect(found.ok && found.spot.ownS).toBeCloseTo(1.002, 12);
    expect(sampleSpot(view, 10.5)).toMatchObject({ ok: false });
    expect(sampleSpot(trialView({ trace: false }), 1)).toMatchObject({ ok: false });
  });

  it('go on by frames of a variable rate, and end with the film', () => {
    const films = [{ ...FILM, frameTimesS: [0, 0.021, 0.039, 0.081] }];
    const on = { clock: 'video', camera: 'A' } as const;
    const beside = spotBeside({ ...view, films }, on, 0.021, 2);
    expect(beside.ok && beside.spot.ownS).toBe(0.081);
    expect(spotBeside({ ...view, films }, on, 0.081, 1)).toMatchObject({ ok: false });
    const near = nearestSpot({ ...view, films }, on, 0.058 - 0.5);
    expect(near.ok && near.spot.ownS).toBe(0.039);
  });

  it('say what is missing where nothing ties the film', () => {
    const found = frameSpot({ ...view, films: [{ ...FILM, clock: null }] }, 'A', 2);
    expect(found.ok || found.says).toMatch(/Nothing ties this film’s clock/);
  });
});

describe('aiming', () => {
  it('gives a mark to the stroke that lacks it, with its room and its number before it is placed', () => {
    const rows = [...stroke(1, 1), ...stroke(2, 2)];
    const aim = aimAt(left(rows), 'shoulder_plane', 2.5);
    expect(aim).toMatchObject({ isPossible: true, stroke: 2, isNew: false });
    expect(aim.interval.from).toMatchObject({ event: 'propulsion_start', strict: true });
    expect(aim.interval.to).toMatchObject({ event: 'propulsion_end', strict: true });
  });

  it('says why there is no room, and keeps a slip from beginning a stroke', () => {
    const rows = [...stroke(1, 1), ...stroke(2, 2)];
    const late = aimAt(left(rows), 'shoulder_plane', 2.82);
    expect(late.isPossible).toBe(false);
    expect(late.says).toMatch(/shoulder plane of stroke 2 must come before the propulsion end/);
    const slip = aimAt(
      left([mark('propulsion_start', 1), mark('propulsion_start', 2, { stroke: 2 })]),
      'shoulder_plane',
      1,
    );
    expect(slip.isPossible).toBe(false);
    expect(slip.says).toMatch(/must come after the propulsion start/);
  });

  it('begins a stroke between two by its water entry, and the later one moves up', () => {
    const rows = [...stroke(1, 1), ...stroke(2, 3)];
    const aim = aimAt(left(rows), 'water_entry', 2);
    expect(aim).toMatchObject({ isPossible: true, stroke: 2, isNew: true, renumber: [{ from: 2, to: 3 }] });
    const moved = renumbered(rows, 'left', aim.renumber);
    expect(moved.filter((row) => row.stroke === 3)).toHaveLength(5);
    expect(renumbered(rows, 'right', aim.renumber)).toEqual(rows);
  });

  it('moves no stroke that is judged: the judgement would belong to another', () => {
    const judged = { hand: 'left', entryPosition: 'above', breath: null, exclusionReason: null } as const;
    const renumber = [{ from: 2, to: 3 }];
    expect(renumberFault([{ ...judged, stroke: 2 }], 'left', renumber)).toMatch(
      /left stroke 2, which is judged/,
    );
    expect(renumberFault([{ ...judged, stroke: 1 }], 'left', renumber)).toBeNull();
    expect(renumberFault([{ ...judged, stroke: 2 }], 'right', renumber)).toBeNull();
  });

  it('knows the event to come and the stroke at a moment', () => {
    const strokes = left([mark('water_entry', 1), mark('full_reach', 1.1)]);
    const aims = EVENTS.map((event) => aimAt(strokes, event, 1.3));
    expect(nextEvent(aims, strokes)).toBe('hand_below_shoulder');
    const two = left([...stroke(1, 1), ...stroke(2, 2)]);
    expect([0.5, 1, 1.99, 2].map((timeS) => strokeBegunBy(two, timeS))).toEqual([1, 1, 1, 2]);
    expect(strokeBegunBy([], 1)).toBeNull();
  });
});

describe('proposals as marks', () => {
  const pulse = (startS: number) =>
    ({
      hand: 'left',
      startS,
      endS: startS + 0.5,
      peakN: 90,
      startSharedUS: 0.01,
      endSharedUS: 0.01,
      startUS: 0.002,
      endUS: 0.002,
      peakS: startS + 0.3,
    }) as const;

  it('become propulsion of strokes of their own, on the trace', () => {
    const { rows, taken, left: not } = confirmed(view, [], [], [pulse(1), pulse(2.2)]);
    expect([taken, not]).toEqual([2, []]);
    expect(rows.map(({ stroke: number, event, timeS, clock }) => [number, event, timeS, clock])).toEqual([
      [1, 'propulsion_start', 1, 'trace'],
      [1, 'propulsion_end', 1.5, 'trace'],
      [2, 'propulsion_start', 2.2, 'trace'],
      [2, 'propulsion_end', 2.7, 'trace'],
    ]);
    // What the thresholds leave open goes with the marks: each its own part, and what they share.
    const unsure = { ...pulse(1), startUS: 0.003, startSharedUS: 0.02, endUS: 0.004, endSharedUS: 0.03 };
    expect(confirmed(view, [], [], [unsure]).rows.map(({ uS, sharedUS }) => [uS, sharedUS])).toEqual([
      [0.003, 0.02],
      [0.004, 0.03],
    ]);
  });

  it('join a stroke that film has begun, whatever its clock', () => {
    // Film time 1.4 s is 0.9 s on the trace.
    const entry = mark('water_entry', 1.4, { clock: 'video', camera: 'A', stroke: 4 });
    const { rows } = confirmed(view, [entry], [], [pulse(1)]);
    expect(rows.map((row) => row.stroke)).toEqual([4, 4, 4]);
    expect(markSentence(view, rowMarks(view, rows)[0]!)).toBe(
      'Left 4, water entry, 0.900\u00a0s, film A, frame 70',
    );
  });

  it('are no longer open once their stroke has propulsion', () => {
    expect(isMarked(pulse(1), left([mark('propulsion_start', 0.9), mark('propulsion_end', 1.6)]))).toBe(true);
    expect(isMarked(pulse(1), left([mark('propulsion_end', 1.2)]))).toBe(true);
    expect(isMarked(pulse(1), left([mark('water_entry', 1.2)]))).toBe(false);
  });

  it('are left where the order rules have no room for them, with the reason', () => {
    const rows = [mark('shoulder_plane', 0.9), mark('water_exit', 1.2)];
    const outcome = confirmed(view, rows, [], [pulse(1)]);
    expect(outcome.taken).toBe(0);
    expect(outcome.rows).toBe(rows);
    expect(outcome.left).toHaveLength(1);
  });
});

describe('judging and section', () => {
  it('keeps one row a stroke, and none where nothing is judged', () => {
    const name = { hand: 'right', stroke: 2 } as const;
    const rows = withJudgement([], name, { entryPosition: 'level' });
    const more = withJudgement(rows, { hand: 'left', stroke: 9 }, { breath: 'none' });
    expect(more.map(({ hand, stroke: number }) => [hand, number])).toEqual([
      ['left', 9],
      ['right', 2],
    ]);
    expect(withJudgement(rows, name, { entryPosition: null })).toEqual([]);
    expect(judgementWords(name, { entryPosition: 'below' })).toBe('Right 2: hand enters below the shoulder');
    expect(judgementWords(name, { exclusionReason: 'lane rope' })).toBe('Right 2 excluded: lane rope');
  });

  it('reads an end from a frame with u = interval / √12', () => {
    const exact = { markingUS: 0 };
    expect(readingUS(0.02, exact)).toBeCloseTo(0.0057735, 7);
    expect(readingUS(0.02, { markingUS: null })).toBeCloseTo(0.0057735, 7);
    // With 8 ms of placing: √(5.7735² + 8²) = 9.866 ms.
    expect(readingUS(0.02, { markingUS: 0.008 })).toBeCloseTo(0.009866, 6);
    const read = { timeS: 5, stepS: 0.02, from: 'film A, frame 1' };
    expect(withReadEnd(null, { startS: null, endS: null }, 'start', read, exact)).toBeNull();
    expect(withReadEnd(null, { startS: 1, endS: null }, 'end', read, exact)).toEqual({
      startS: 1,
      endS: 5,
      method: 'video',
      uS: 0.02 / Math.sqrt(12),
    });
    const gate = { startS: 1, endS: 4, method: 'gate', uS: 0.001 } as const;
    expect(withReadEnd(gate, { startS: null, endS: null }, 'end', read, exact)?.uS).toBeCloseTo(0.0057735, 7);
    expect(sectionFault({ startS: 5, endS: 5 })).toMatch(/would end/);
  });

  it('states the body point of the protocol', () => {
    const { protocol } = view;
    expect(endMeaning(protocol, 'start')).toBe('the swimmer’s head, at 10\u00a0m from the wall');
    expect(endMeaning({ ...protocol, sectionPoints: { start: 'head', end: null } }, 'end')).toBe(
      'body point not set in the protocol, at the wall',
    );
  });
});

describe('edits', () => {
  const CHANGED: LabError = { code: 'changed_meanwhile', says: 'Changed.', todo: 'Look.' };
  type Answer = Outcome<TrialView, LabError>;

  function desk() {
    let shown = view;
    const asked: { seen: number; now: number; answer: (outcome: Answer) => void }[] = [];
    const keeper: Keeper = {
      marks: (seen, now) =>
        new Promise((answer) => asked.push({ seen: seen.length, now: now.length, answer })),
      judgements: () => Promise.resolve(done(view)),
      section: null,
      fresh: () => Promise.resolve(done(withMarks(7))),
    };
    const edits = new TrialEdits(
      keeper,
      () => shown,
      (newer) => (shown = newer),
    );
    return { edits, asked };
  }
  const withMarks = (count: number): TrialView => ({
    ...view,
    marking: { ...view.marking, marks: EVENTS.slice(0, count).map((event, index) => mark(event, index)) },
  });
  const settle = () => new Promise((resolve) => setTimeout(resolve));

  it('show at once, go one after another, and each says what the one before it left', async () => {
    const { edits, asked } = desk();
    edits.putMarks(withMarks(1).marking.marks, 'one');
    edits.putMarks(withMarks(2).marking.marks, 'two');
    expect(edits.marks).toHaveLength(2);
    expect(asked).toHaveLength(1);
    asked[0]!.answer(done(withMarks(1)));
    await settle();
    expect(edits.marks).toHaveLength(2);
    expect(asked.map(({ seen, now }) => [seen, now])).toEqual([
      [0, 1],
      [1, 2],
    ]);
    asked[1]!.answer(done(withMarks(2)));
    await settle();
    expect([edits.marks.length, edits.problem]).toEqual([2, null]);
  });

  it('are all taken back where one is refused; what was changed elsewhere is shown', async () => {
    const { edits, asked } = desk();
    edits.putMarks(withMarks(1).marking.marks, 'one');
    edits.putMarks(withMarks(2).marking.marks, 'two');
    asked[0]!.answer(failed(CHANGED));
    await vi.waitFor(() => expect(edits.problem).not.toBeNull());
    expect(edits.marks).toHaveLength(7);
    expect(asked).toHaveLength(1);
    expect(edits.problem!.says).toBe('“one” was not kept: Changed. Nor was what followed it (1).');
  });
});

describe('the uncertainty of a mark', () => {
  const [first] = STROKES;
  const row = {
    hand: first!.hand, stroke: first!.number, event: 'propulsion_start', timeS: 1, clock: 'trace', camera: null, uS: null, sharedUS: null,
  } as const; // prettier-ignore
  const spread = (mark: Partial<Mark> | null, own: number | null = null) => {
    const marks = { ...first!.marks };
    if (mark === null) delete marks.propulsion_start;
    else marks.propulsion_start = { ...first!.marks.propulsion_start!, ...mark };
    const view = trialView({ strokes: STROKES.map((one) => (one === first ? { ...one, marks } : one)) });
    return markSpread(view, { row: { ...row, uS: own }, key: '', timeS: 1 }).replaceAll('\u00a0', ' ');
  };

  it('is told with where it comes from, and what all marks of the event share', () => {
    expect(spread({ uS: 0.0123, sharedUS: 0 })).toBe('± 12.3 ms (reading and placing)');
    expect(spread({ uS: 0.02, sharedUS: 0.006 }, 0.02)).toBe(
      '± 20.0 ms (its own), and ± 6.0 ms that all marks of this event share',
    );
    expect(spread({ uS: null })).toMatch(/^± not known: nothing says how often/);
    expect(spread(null)).toMatch(/^± not known: no clock places it/);
  });
});
