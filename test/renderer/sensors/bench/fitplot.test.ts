/** What the bench shows of a fit, against JCGM 100:2008 H.3 (data and results in test/reference/data/gum-h3.json). */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { assessDraft } from '../../../../core/sensor/assess.ts';
import { DEFAULT_BENCH_LIMITS } from '../../../../core/sensor/limits.ts';
import { bandAt } from '../../../../core/sensor/metrology.ts';
import { fitOption, residualOption, residualSummary } from '../../../../renderer/sensors/bench/fitplot.ts';
import { against, verdictSentence } from '../../../../renderer/sensors/bench/verdictwords.ts';
import { coverageText, expandedText } from '../../../../renderer/sensors/estimates.ts';
import { historyOption, historyPoints } from '../../../../renderer/sensors/historyplot.ts';
import { THEMES } from '../../../../renderer/theme/tokens.ts';
import { CARD, DRAFT, LOOP, point, record } from '../fixture.ts';

const [h3] = JSON.parse(readFileSync('test/reference/data/gum-h3.json', 'utf8')) as {
  inputs: { t_k_C: number[]; b_k_C: number[]; t0_C: number };
}[];
const { t_k_C, b_k_C, t0_C } = h3!.inputs;
const assess = (points = DRAFT.points, card = CARD) =>
  assessDraft({ ...DRAFT, points }, card, DEFAULT_BENCH_LIMITS, null);
const gum = assess(
  t_k_C.map((t, k) => point(t - t0_C, b_k_C[k]!)),
  { ...CARD, rawMin: null, rawMax: null },
).assessment!;

it('shows the printed results of H.3: y2 = 0.00218, y1 = −0.1712, with t of 9 degrees of freedom', () => {
  // u(y2) = 0.00067 and u(y1) = 0.0029 printed; times k = 2.262 (Student’s t, 95 %, 9): 0.0015 and 0.0065.
  expect(expandedText(gum.sensitivity, 'K/kPa')).toBe('0.0022 ± 0.0015 K/kPa'.replaceAll(' ', '\u00a0'));
  expect(expandedText(gum.zero, 'K')).toBe('\u22120.1712 ± 0.0065 K'.replaceAll(' ', '\u00a0'));
  expect(coverageText(gum.zero, gum.probability)).toMatch(/k.=.2\.26, 9 degrees of freedom, 95.%/);
});

interface Series {
  readonly type: string;
  readonly data: readonly (number[] | { value: number[]; label: { formatter: string } })[];
  readonly symbol?: string;
  readonly symbolRotate?: number;
  readonly renderItem?: (params: unknown, api: unknown) => { shape: { points: number[][] } };
}
const seriesOf = (option: unknown) => (option as { series: Series[] }).series;
const outline = (series: Series) =>
  series.renderItem!(null, { coord: (place: number[]) => place }).shape.points;

describe('the plots', () => {
  const { assessment: found } = assess(LOOP.concat(point(5, 9, { setAside: 'air in the tube' })));

  it('draws the band of one further reading, covariance included', () => {
    const band = outline(seriesOf(fitOption(found!, 'counts', THEMES.light, 700))[0]!);
    const [x, low] = band[0]!;
    const [, high] = band.at(-1)!;
    const { value, expanded } = bandAt(found!, x!, 'reading');
    expect([low, high]).toEqual([value - expanded!, value + expanded!]);
    const residual = outline(seriesOf(residualOption(found!, THEMES.light, 700))[0]!);
    expect(residual.at(-1)![1]).toBeCloseTo(expanded! / found!.line.slope, 12);
  });

  it('tells up, down and set aside apart by shape, and numbers every point', () => {
    const marks = seriesOf(fitOption(found!, 'counts', THEMES.light, 700)).filter(
      ({ type }) => type === 'scatter',
    );
    const shapes = marks
      .filter(({ data }) => data.length > 0)
      .map((mark) => [mark.symbol, mark.symbolRotate]);
    expect(new Set(shapes.map(String)).size).toBe(3);
    const numbers = marks.flatMap(({ data }) =>
      data.map((one) => ('label' in one ? Number(one.label.formatter) : NaN)),
    );
    expect(numbers.toSorted((a, b) => a - b)).toEqual(found!.points.map((_, k) => k + 1));
  });

  it('says which point lies farthest, and how up and down differ', () => {
    expect(residualSummary(found!)).toMatch(
      /^Farthest from the line is point \d+, by .*kPa\. On average ▲ up lies/,
    );
  });

  it('draws the history with its mean, its limits and a bar for each calibration', () => {
    const records = [record(1, '2025-01-10T12:00:00Z', { ...DRAFT, points: LOOP })];
    const points = historyPoints(records);
    const centre = points[0]!.sensitivity.value;
    const history = {
      meanRawPerKpa: centre,
      lowerRawPerKpa: 0.97 * centre,
      upperRawPerKpa: 1.03 * centre,
      entries: [],
      driftPctPerYear: null,
      driftUPctPerYear: null,
      driftExpandedPctPerYear: null,
      says: '',
    };
    const series = seriesOf(historyOption(points, history, 'counts/kPa', THEMES.light));
    const labels = series.flatMap(({ data }) =>
      data.flatMap((one) => ('label' in one ? [one.label.formatter] : [])),
    );
    expect(labels).toEqual(['limit +3\u00a0%', 'mean', 'limit \u22123\u00a0%']);
    const bar = series.find(({ type, data }) => type === 'line' && Array.isArray(data[1]))!;
    const { value, expanded } = points[0]!.sensitivity;
    expect(bar.data.map((one) => (one as number[])[1])).toEqual([value - expanded!, value + expanded!]);
  });
});

describe('the verdict as a sentence', () => {
  it('waits for points and for a line', () => {
    expect(verdictSentence(assess(), 0)).toBe('No verdict yet: no point has been read.');
    expect(verdictSentence(assess([point(1, 5)]), 1)).toMatch(/^No verdict yet: No line/);
    expect(verdictSentence(assess([point(1, 5, { appliedUnit: 'm_water' })]), 1)).toMatch(/density/);
  });

  it('names the weightiest reason and what to do', () => {
    const twoRuns = [...LOOP, ...LOOP.map((one) => ({ ...one, run: 2 }))];
    expect(verdictSentence(assess(twoRuns), 28)).toMatch(
      /^Accepted: all 9 limits that could be judged are held\.$/,
    );
    expect(verdictSentence(assess(LOOP), 14)).toMatch(
      /^Accepted with a remark: The spread between runs was not judged/,
    );
    const bent = LOOP.map((one) => ({ ...one, raw: one.raw + 60 * one.applied ** 2 }));
    const sentence = verdictSentence(assess(bent), 14);
    expect(sentence).toMatch(/^Rejected: The non-linearity is .* \d.further findings? below\.$/);
    expect(against(assess(bent))[0]!.limit).toBe('nonlinearityPctFs');
  });
});
