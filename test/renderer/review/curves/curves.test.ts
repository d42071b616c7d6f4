/** Curves on the cycle, two trials beside one another, the figure and its numbers. */
import { describe, expect, it } from 'vitest';
import { besideCsv, meanCsv, strokesCsv, type Origin } from '../../../../renderer/review/curves/numbers.ts';
import { cyclesOf, cyclesSentence, peakOf } from '../../../../renderer/review/curves/cycles.ts';
import { drawFigure } from '../../../../renderer/review/curves/figure.ts';
import { overlayOf } from '../../../../renderer/review/curves/overlay.ts';
import { besidePanels, meanPanels, strokePanels } from '../../../../renderer/review/curves/wishes.ts';
import type { Samples } from '../../../../renderer/review/samples.ts';
import { CYCLE_S, GAP_S, STROKES, trialView } from '../fixture.ts';

const RATE = 500;
const PUSH = CYCLE_S / 2 - GAP_S;
/** A pulse of sin² and 90 N in every propulsion of a hand, as the fixture makes it. */
function force(hand: 'left' | 'right'): Float64Array {
  const values = new Float64Array(5001);
  for (const { hand: whose, marks } of STROKES) {
    if (whose !== hand) continue;
    const from = marks.propulsion_start!.timeS;
    for (let k = Math.ceil(from * RATE); k <= (from + PUSH) * RATE; k++)
      values[k] = 90 * Math.sin((Math.PI * (k / RATE - from)) / PUSH) ** 2;
  }
  return values;
}
const SAMPLES: Samples = { left: force('left'), right: force('right') };
const view = trialView();
const both = {
  left: cyclesOf(view, SAMPLES, 'left', 'propulsion_start'),
  right: cyclesOf(view, SAMPLES, 'right', 'propulsion_start'),
};
const ORIGIN: Origin = {
  day: 'day-1',
  trials: ['T-1', 'T-2'],
  what: 'mean\nforce',
  version: '0.1.0',
  who: '',
  at: '2026-03-14T09:05:00.000Z',
};

describe('cycles', () => {
  it('are those of the strokes that count, each other stroke with its reason', () => {
    const counts = view.result.strokes.filter(({ stroke, counts }) => stroke.hand === 'left' && counts);
    expect(both.left.curves.map(({ stroke }) => stroke)).toEqual(counts.map(({ stroke }) => stroke.number));
    expect(both.left.leftOut.map(({ stroke }) => stroke)).toEqual([1, 6]);
    expect(both.left.leftOut[0]!.reason).toBe('Its propulsion does not lie in the measured section.');
  });
  it('peak where the pulse does', () => {
    const { pct, forceN, sdN } = peakOf(both.left.mean!);
    expect(pct).toBeCloseTo((100 * PUSH) / 2 / CYCLE_S, -0.3);
    expect(forceN).toBeCloseTo(90, 0);
    expect(sdN!).toBeLessThan(0.1);
    expect(cyclesSentence('left', both.left)).toContain('4 strokes');
  });
  it('say why there are none', () => {
    expect(cyclesOf(trialView({ trace: false }), SAMPLES, 'left', 'water_entry').reason).toBe(
      'This trial has no readable trace.',
    );
    expect(cyclesOf(trialView({ strokes: [] }), SAMPLES, 'left', 'water_entry').reason).toBe(
      'No stroke of the left hand is marked yet.',
    );
    expect(cyclesOf(view, { left: null, right: null }, 'left', 'water_entry').reason).toBe(
      'The force samples are not there yet.',
    );
  });
});

describe('two trials', () => {
  /** The same swim, 0.75 s later. */
  const later = {
    ...view,
    trace: { ...view.trace!, startS: 0.75 },
    result: {
      ...view.result,
      strokes: view.result.strokes.map((result) => ({
        ...result,
        stroke: {
          ...result.stroke,
          marks: Object.fromEntries(
            Object.entries(result.stroke.marks).map(([event, mark]) => [
              event,
              { ...mark, timeS: mark.timeS + 0.75 },
            ]),
          ),
        },
      })),
    },
  };
  it('fall together at the event chosen', () => {
    const overlay = overlayOf(
      { view, samples: SAMPLES, stroke: 2 },
      { view: later, samples: SAMPLES, stroke: 2 },
      'left',
      'propulsion_start',
    )!;
    // Two marks of 10 ms each: √2 · 10 ms (JCGM 100, 5.1.2).
    expect(overlay.shift.value).toBeCloseTo(-0.75, 9);
    expect(overlay.shift.u).toBeCloseTo(Math.SQRT2 * 0.01, 12);
    const [own, other] = overlay.lines;
    expect(own.timeS.length).toBe(other.timeS.length);
    own.timeS.forEach((timeS, k) => {
      expect(other.timeS[k]).toBeCloseTo(timeS, 9);
      expect(other.forceN[k]).toBeCloseTo(own.forceN[k]!, 9);
    });
    const panels = besidePanels('left', ['T-1', 'T-2'], [both.left.mean, null], 'water_entry', overlay);
    expect(panels.map(({ title }) => title)).toEqual([
      'Left hand: mean ± SD of the cycle',
      'Left hand: force from propulsion start',
    ]);
  });
  it('cannot without the mark', () => {
    const side = { view, samples: SAMPLES, stroke: 2 };
    expect(overlayOf(side, { ...side, stroke: 99 }, 'left', 'propulsion_start')).toBeNull();
  });
});

describe('the figure', () => {
  it('has every panel inside its picture, on one scale', () => {
    const wishes = strokePanels(both);
    const layout = { widthPx: 900, columns: 4, panelHeightPx: 160, tight: true };
    const figure = drawFigure(wishes, layout);
    expect(figure.panels.length).toBe(both.left.curves.length + both.right.curves.length);
    expect(new Set(wishes.map(({ y }) => y.join())).size).toBe(1);
    for (const { x, y, width, height } of figure.panels) {
      expect(x + width).toBeLessThanOrEqual(figure.widthPx);
      expect(y + height).toBeLessThanOrEqual(figure.heightPx);
    }
  });
  it('puts 0 % and 100 % at the ends of its axis', () => {
    const [left] = drawFigure(meanPanels(both, 'propulsion_start'), {
      widthPx: 800,
      columns: 2,
      panelHeightPx: 300,
      tight: false,
    }).panels;
    const path = left!.lines[0]!.path;
    expect(path.startsWith(`M${left!.x.toFixed(1)} `)).toBe(true);
    expect(path.slice(path.lastIndexOf('L'))).toMatch(new RegExp(`^L${(left!.x + left!.width).toFixed(1)} `));
  });
});

describe('the numbers', () => {
  const lines = (csv: string) => csv.split('\n').filter((line) => line !== '' && !line.startsWith('#'));
  it('tell where they come from in comments of one line each', () => {
    const comments = meanCsv(ORIGIN, both)
      .split('\n')
      .filter((line) => line.startsWith('#'));
    expect(comments).toEqual([
      '# mean force',
      '# day: day-1',
      '# trial: T-1, T-2',
      '# units: force N, time s, place in the cycle %',
      '# made by: Lanebench 0.1.0',
      '# who: not given',
      '# when: 2026-03-14T09:05:00.000Z',
    ]);
  });
  it('are those of the curves at every per cent', () => {
    const [head, ...rows] = lines(meanCsv(ORIGIN, both));
    expect(head).toBe('cycle_pct,left_mean_n,left_sd_n,left_strokes,right_mean_n,right_sd_n,right_strokes');
    expect(rows.length).toBe(101);
    expect(Number(rows[30]!.split(',')[1])).toBe(both.left.mean!.mean[30]);
    expect(lines(strokesCsv(ORIGIN, both)).length).toBe(
      1 + 101 * (both.left.curves.length + both.right.curves.length),
    );
  });
  it('leave empty what is not there', () => {
    const one = { n: 1, mean: new Float64Array([1, NaN]), sd: null };
    expect(lines(besideCsv(ORIGIN, [one, null], null)).slice(1)).toEqual(['T-1,0,,1,', 'T-1,1,,,']);
  });
});
