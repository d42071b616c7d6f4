/** Phases, bridges and the stroke under the cursor, against the core's shares and the fixture's own construction. */
import { describe, expect, it } from 'vitest';
import {
  bridges,
  inOrder,
  neighbourS,
  phaseBands,
  placedMarks,
  strokeAt,
} from '../../../renderer/review/strokes.ts';
import { CYCLE_S, GAP_S, STROKES, trialView } from './fixture.ts';

const { strokes } = trialView().result;

describe('phases as bands', () => {
  it('have the lengths of the core’s phase shares', () => {
    const bands = phaseBands(strokes, 'left');
    for (const result of strokes.filter(({ stroke }) => stroke.hand === 'left' && stroke.number < 6)) {
      const of = (phase: string) => {
        const band = bands.find((one) => one.stroke === result.stroke.number && one.phase === phase)!;
        return (100 * (band.toS - band.fromS)) / CYCLE_S;
      };
      expect(of('entry_catch')).toBeCloseTo(result.entryCatchPct!, 9);
      expect(of('pull')).toBeCloseTo(result.pullPct!, 9);
      expect(of('push')).toBeCloseTo(result.pushPct!, 9);
      expect(of('recovery')).toBeCloseTo(result.recoveryPct!, 9);
    }
  });

  it('leave the recovery open where the next water entry is not marked', () => {
    expect(
      phaseBands(strokes, 'right')
        .filter((band) => band.stroke === 6)
        .map((band) => band.phase),
    ).toEqual(['entry_catch', 'pull', 'push']);
  });

  it('close up with one another', () => {
    const bands = phaseBands(strokes, 'left');
    for (let i = 1; i < bands.length; i++) expect(bands[i]!.fromS).toBeCloseTo(bands[i - 1]!.toS, 9);
  });
});

describe('bridges', () => {
  it('span the gap, negative in ms, with the stroke’s index beside it', () => {
    const found = bridges(strokes);
    expect(found).toHaveLength(11);
    for (const bridge of found) {
      expect(bridge.kind).toBe('gap');
      expect(bridge.toS - bridge.fromS).toBeCloseTo(GAP_S, 9);
      expect(bridge.lengthMs).toBeCloseTo(-1000 * GAP_S, 6);
      // Definition, formats.md section 2: 100 × (e − s) / T.
      expect(bridge.idcPct).toBeCloseTo((-100 * GAP_S) / CYCLE_S, 6);
    }
  });

  it('are overlaps where one arm still pushes as the other starts', () => {
    const late = STROKES.map((stroke) => {
      const { propulsion_end: end, water_exit: exit } = stroke.marks;
      const later = (mark: typeof end) => ({ ...mark!, timeS: mark!.timeS + 2 * GAP_S });
      return { ...stroke, marks: { ...stroke.marks, propulsion_end: later(end), water_exit: later(exit) } };
    });
    const found = bridges(trialView({ strokes: late }).result.strokes);
    expect(
      found.every((bridge) => bridge.kind === 'overlap' && bridge.lengthMs > 0 && bridge.idcPct! > 0),
    ).toBe(true);
  });
});

describe('the stroke under the cursor', () => {
  const ordered = inOrder(strokes);

  it('is each stroke at its propulsion start, and until the next one’s', () => {
    for (const [i, { result, anchorS }] of ordered.entries()) {
      expect(strokeAt(ordered, anchorS)).toBe(result);
      const next = ordered[i + 1];
      if (next !== undefined) expect(strokeAt(ordered, next.anchorS - 0.001)).toBe(result);
    }
  });

  it('is none before the first and after the last mark', () => {
    expect(strokeAt(ordered, 0)).toBeNull();
    expect(strokeAt(ordered, 60)).toBeNull();
    expect(strokeAt([], 1)).toBeNull();
  });
});

describe('marks', () => {
  it('stand in order of time and can be gone through both ways', () => {
    const marks = placedMarks(strokes);
    const times = marks.map((mark) => mark.timeS);
    expect(times).toEqual(times.toSorted((a, b) => a - b));
    expect(marks).toHaveLength(12 * 7);
    expect(neighbourS([1, 2, 3], 2, 1)).toBe(3);
    expect(neighbourS([1, 2, 3], 2, -1)).toBe(1);
    expect(neighbourS([1, 2, 3], 2.5, -1)).toBe(2);
    expect(neighbourS([1, 2, 3], 3, 1)).toBeNull();
    expect(neighbourS([1, 2, 3], 1, -1)).toBeNull();
  });
});
