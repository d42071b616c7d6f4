/** Order rules before marks are kept: what was wrong before stays allowed, what is newly wrong does not. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { newOrderFault, orderFaults } from '../../../core/marking/faults.ts';
import { assembleStrokes, type TrialClocks } from '../../../core/marking/marking.ts';
import { eventRows } from '../../../core/marking/overlay.ts';
import type { MarkRow } from '../../../core/marking/words.ts';
import { EVENTS } from '../../../core/stroke/stroke.ts';

const mark = (part: Partial<MarkRow>): MarkRow => ({
  hand: 'left',
  stroke: 1,
  event: 'propulsion_start',
  timeS: 1,
  clock: 'trace',
  camera: null,
  uS: null,
  sharedUS: null,
  ...part,
});

const CLOCKS: TrialClocks = {
  sampleStepS: 0.002,
  frameStepS: new Map([['A', 0.02]]),
  pairs: new Map([['A', [{ traceS: 3, videoS: 1 }]]]),
  markingUS: 0,
};

const rows = (marks: readonly MarkRow[]) => eventRows('T1', null, marks).map(({ value }) => value);

describe('order rules before marks are kept', () => {
  it('look across clocks, and between strokes of a hand', () => {
    const start = mark({});
    // 1.5 s on film is 3.5 s on the trace.
    const end = mark({ event: 'propulsion_end', timeS: 1.5, clock: 'video', camera: 'A' });
    expect(newOrderFault([], rows([start, end]), CLOCKS)).toBeNull();
    expect(newOrderFault([], rows([mark({ timeS: 3.6 }), end]), CLOCKS)).toBe(
      'In the left hand’s stroke 1, propulsion end (3.5000 s) must come after propulsion start (3.6000 s)',
    );
    expect(newOrderFault([], rows([start, end, mark({ stroke: 2, timeS: 3 })]), CLOCKS)).toContain(
      'stroke 2',
    );
  });

  it('let a stroke be mended step by step that broke them before', () => {
    const broken = [mark({ timeS: 2 }), mark({ event: 'propulsion_end', timeS: 1 })];
    const better = [mark({ timeS: 2 }), mark({ event: 'propulsion_end', timeS: 1.5 })];
    expect(newOrderFault(rows(broken), rows(better), CLOCKS)).toBeNull();
    expect(newOrderFault([], rows(better), CLOCKS)).not.toBeNull();
  });

  it('name the strokes that reading would leave out, no more and no fewer', () => {
    const anyMark = fc.record({
      hand: fc.constantFrom('left' as const, 'right' as const),
      stroke: fc.integer({ min: 1, max: 3 }),
      event: fc.constantFrom(...EVENTS),
      timeS: fc.integer({ min: 0, max: 20 }).map((k) => k / 10),
      clock: fc.constant('trace' as const),
      camera: fc.constant(null),
      uS: fc.constant(null),
      sharedUS: fc.constant(null),
    });
    const marks = fc.uniqueArray(anyMark, {
      maxLength: 12,
      selector: ({ hand, stroke, event }) => `${hand} ${stroke} ${event}`,
    });
    fc.assert(
      fc.property(marks, (list) => {
        const { strokes } = assembleStrokes(eventRows('T1', null, list), [], CLOCKS);
        const kept = new Set(strokes.map(({ hand, number }) => `${hand} ${number}`));
        const all = new Set(list.map(({ hand, stroke }) => `${hand} ${stroke}`));
        expect([...orderFaults(rows(list), CLOCKS).keys()].toSorted()).toEqual(
          [...all].filter((stroke) => !kept.has(stroke)).toSorted(),
        );
      }),
    );
  });
});
