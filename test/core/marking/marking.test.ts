/** From rows of events.csv and strokes.csv to strokes on the trial's clock (formats.md section 1). */
import { describe, expect, test } from 'vitest';
import type { EventRow, StrokeRow } from '../../../core/day/tables.ts';
import { assembleStrokes, cameraOnTrial, clocksOf, type TrialClocks } from '../../../core/marking/marking.ts';
import type { ReadRow } from '../../../core/base/table.ts';

let line = 1;
const event = (change: Partial<EventRow>): ReadRow<EventRow> => ({
  line: ++line,
  value: {
    trial: 'T',
    hand: 'left',
    stroke: 1,
    event: 'propulsion_start',
    time_s: 1,
    clock: 'video',
    camera: null,
    rater: null,
    time_u_s: null,
    time_u_shared_s: null,
    unsure: null,
    ...change,
  },
});
const judgement = (change: Partial<StrokeRow>): ReadRow<StrokeRow> => ({
  line: ++line,
  value: {
    trial: 'T',
    hand: 'left',
    stroke: 1,
    entry_position: null,
    breath: null,
    exclusion_reason: null,
    rater: null,
    entry_height_cm: null,
    entry_height_cm_u: null,
    ...change,
  },
});
const CLOCKS: TrialClocks = {
  sampleStepS: 0.002,
  frameStepS: new Map([
    ['A', 0.02],
    ['B', 0.04],
  ]),
  pairs: new Map([['A', [{ traceS: 3, videoS: 1 }]]]),
  markingUS: 0.003,
};
const place = (rows: readonly ReadRow<EventRow>[], clocks: Partial<TrialClocks> = {}) =>
  assembleStrokes(rows, [], { ...CLOCKS, ...clocks });

describe('a mark on the trial’s clock', () => {
  test('on film: shifted by the camera’s clock, uncertain by frame and marking', () => {
    const { strokes } = place([event({ time_s: 4 })]);
    expect(strokes[0]!.marks.propulsion_start).toMatchObject({ timeS: 6, clock: 'video' });
    expect(strokes[0]!.marks.propulsion_start!.uS).toBeCloseTo(Math.hypot(0.02 / Math.sqrt(12), 0.003), 15);
  });

  test('on the trace: as it stands, uncertain by sample and marking', () => {
    const { strokes } = place([event({ time_s: 4, clock: 'trace' })]);
    expect(strokes[0]!.marks.propulsion_start).toMatchObject({ timeS: 4, clock: 'trace' });
    expect(strokes[0]!.marks.propulsion_start!.uS).toBeCloseTo(Math.hypot(0.002 / Math.sqrt(12), 0.003), 15);
  });

  test('without a trace camera A’s clock is the trial’s: nothing is shifted, and trace times are brought to it', () => {
    const { strokes } = place(
      [event({ time_s: 4 }), event({ event: 'propulsion_end', time_s: 6.5, clock: 'trace' })],
      {
        sampleStepS: null,
      },
    );
    expect(strokes[0]!.marks.propulsion_start!.timeS).toBe(4);
    expect(strokes[0]!.marks.propulsion_end).toMatchObject({ timeS: 4.5, uS: null });
  });

  test('without a trace another camera reaches A through both its clock and A’s', () => {
    const pairs = new Map([
      ['A', [{ traceS: 3, videoS: 1 }]],
      [
        'B',
        [
          { traceS: 0, videoS: 10 },
          { traceS: 20.2, videoS: 30 },
        ],
      ],
    ]);
    const trial = cameraOnTrial('B', clocksOf(pairs), false)!;
    // Video 20 of B is trace 10.1, which is video 8.1 of A.
    expect(trial.offsetS + trial.rate * 20).toBeCloseTo(8.1, 12);
  });

  test('a film whose frame interval is not known gives no uncertainty', () => {
    const { strokes } = place([event({})], { frameStepS: new Map() });
    expect(strokes[0]!.marks.propulsion_start!.uS).toBeNull();
  });
});

describe('a mark that no clock can place has no time; its stroke stays and the trial is flagged', () => {
  const trace = event({ event: 'propulsion_end', clock: 'trace', time_s: 9 });

  test('no pair: no_sync', () => {
    const { strokes, refused, flags } = place([event({}), trace], { pairs: new Map() });
    expect(Object.keys(strokes[0]!.marks)).toEqual(['propulsion_end']);
    expect(strokes[0]!.propulsionClocks.toSorted()).toEqual(['trace', 'video']);
    expect(refused).toEqual([]);
    expect(flags).toEqual(['no_sync']);
  });

  test('pairs that run backward: sync_contradiction', () => {
    const pairs = new Map([
      [
        'A',
        [
          { traceS: 3, videoS: 1 },
          { traceS: 2, videoS: 2 },
        ],
      ],
    ]);
    expect(place([event({})], { pairs }).flags).toEqual(['sync_contradiction']);
  });

  test('no trace and no pair: a mark on the trace’s clock', () => {
    const { flags, strokes } = place([trace], { sampleStepS: null, pairs: new Map() });
    expect(flags).toEqual(['no_trace_clock']);
    expect(strokes[0]!.marks).toEqual({});
  });

  test('no trace, camera B in good order, camera A never tied: that is no contradiction of B’s pairs', () => {
    const pairs = new Map([
      [
        'B',
        [
          { traceS: 0, videoS: 10 },
          { traceS: 20, videoS: 30 },
        ],
      ],
    ]);
    expect(place([event({ camera: 'B' })], { sampleStepS: null, pairs }).flags).toEqual(['no_sync']);
  });
});

describe('strokes', () => {
  const whole = (stroke: number, start: number, hand: 'left' | 'right' = 'left') => [
    event({ hand, stroke, event: 'water_entry', time_s: start }),
    event({ hand, stroke, event: 'propulsion_start', time_s: start + 0.2 }),
    event({ hand, stroke, event: 'propulsion_end', time_s: start + 0.6 }),
    event({ hand, stroke, event: 'water_exit', time_s: start + 0.7 }),
  ];

  test('out of order: refused whole, every row of it, and the others stay', () => {
    const bad = whole(2, 2).map((row) =>
      row.value.event === 'propulsion_end' ? { ...row, value: { ...row.value, time_s: 2.1 } } : row,
    );
    const { strokes, refused } = place([...whole(1, 1), ...bad, ...whole(3, 3)]);
    expect(strokes.map(({ number }) => number)).toEqual([1, 3]);
    expect(refused).toMatchObject([{ line: bad[0]!.line, lastLine: bad.at(-1)!.line, rows: bad.length }]);
    expect(refused[0]!.reason).toMatch(/left hand’s stroke 2/);
  });

  test('a stroke that begins before the one before it has ended is refused; the other hand is not asked', () => {
    expect(place([...whole(1, 1), ...whole(2, 1.5)]).strokes.map(({ number }) => number)).toEqual([1]);
    expect(place([...whole(1, 1), ...whole(1, 1.2, 'right')]).strokes).toHaveLength(2);
    // What was refused is no stroke that the next could follow too early.
    expect(
      place([...whole(1, 1), ...whole(2, 1.5), ...whole(3, 1.9)]).strokes.map(({ number }) => number),
    ).toEqual([1, 3]);
  });

  test('numbers decide, not the order of rows', () => {
    expect(place([...whole(2, 2), ...whole(1, 1)]).strokes.map(({ number }) => number)).toEqual([1, 2]);
  });

  test('the order is judged on the trial’s clock, across clocks', () => {
    const rows = [
      event({ event: 'propulsion_start', time_s: 5, clock: 'trace' }),
      event({ event: 'propulsion_end', time_s: 3.2 }),
    ];
    expect(place(rows).strokes).toHaveLength(1);
    expect(place([rows[0]!, event({ event: 'propulsion_end', time_s: 2.9 })]).strokes).toHaveLength(0);
  });
});

describe('raters', () => {
  test('the rater of the first row is reported, per file', () => {
    const { strokes } = assembleStrokes(
      [
        event({ rater: 'R2', time_s: 1 }),
        event({ rater: 'R1', time_s: 1.1 }),
        event({ rater: 'R2', event: 'propulsion_end', time_s: 1.4 }),
      ],
      [judgement({ rater: 'R1', breath: 'left' }), judgement({ rater: 'R2', breath: 'right' })],
      CLOCKS,
    );
    expect(strokes).toHaveLength(1);
    expect(strokes[0]!.marks.propulsion_start!.timeS).toBe(3);
    expect(strokes[0]!.marks.propulsion_end!.timeS).toBeCloseTo(3.4, 12);
    expect(strokes[0]!.breath).toBe('left');
  });

  test('a blank rater is one rater', () => {
    const { strokes } = place([event({}), event({ rater: 'R1', time_s: 7 })]);
    expect(strokes[0]!.marks.propulsion_start!.timeS).toBe(3);
  });
});

describe('judgements', () => {
  test('go to their stroke; a blank reason excludes nothing', () => {
    const { strokes, flags } = assembleStrokes(
      [event({}), event({ stroke: 2, time_s: 2 })],
      [
        judgement({ entry_position: 'below', exclusion_reason: '' }),
        judgement({ stroke: 2, exclusion_reason: 'reach to the wall' }),
      ],
      CLOCKS,
    );
    expect(strokes.map(({ entryPosition, exclusionReason }) => [entryPosition, exclusionReason])).toEqual([
      ['below', null],
      [null, 'reach to the wall'],
    ]);
    expect(flags).toEqual([]);
  });

  test('of a stroke that was not marked: not used, flagged', () => {
    const { strokes, flags } = assembleStrokes([event({})], [judgement({ stroke: 5 })], CLOCKS);
    expect(strokes).toHaveLength(1);
    expect(flags).toEqual(['judged_unmarked']);
  });
});
