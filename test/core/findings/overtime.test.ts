/**
 * One swimmer over days. The within-subject SD of pairs that differ by d is √(mean d²/2) (Bland & Altman 1996, BMJ
 * 312:1654).
 */
import { describe, expect, it } from 'vitest';
import { overTimeData, overTimeFigure } from '../../../core/findings/figures/overtime.ts';
import { overTime, ownScatter, smallestChange } from '../../../core/findings/overtime.ts';
import { outcomeOf, studyOf } from '../../../core/findings/study.ts';

const TEXTS = { trials: new Set(['participant', 'status', 'condition']), strokes: new Set<string>() };

/** So many swimmers with two trials that differ by 0.1, 0.2, …; S1 again on a second day. */
function study(swimmers: number) {
  const rows = Array.from({ length: swimmers }, (_, k) => {
    const [code, value] = [`S${k + 1}`, 1.5];
    return [
      ['d1', `${code}-1`, code, 'accepted', 'sprint', String(value)],
      ['d1', `${code}-2`, code, 'accepted', 'sprint', String(value + 0.1 * (k + 1))],
    ];
  }).flat();
  rows.push(
    ['d2', 'S1-3', 'S1', 'accepted', 'sprint', '3.5'],
    ['d2', 'S1-4', 'S1', 'excluded', 'sprint', '9'],
  );
  const columns = ['day', 'trial', 'participant', 'status', 'condition', 'velocity_m_s'];
  const people = { columns: ['day', 'participant'], rows: [] };
  const made = studyOf({
    trials: { columns, rows },
    participants: people,
    strokes: null,
    calibrations: null,
    sectionUM: new Map(),
  });
  const of = outcomeOf(made, 'velocity_m_s', TEXTS);
  if (!of.ok) throw new Error(of.error);
  return { made, of: of.value };
}

describe('the typical error', () => {
  it('is that of pairs, by hand', () => {
    const { made, of } = study(10);
    const meanSquare =
      Array.from({ length: 10 }, (_, k) => (0.1 * (k + 1)) ** 2 / 2).reduce((a, b) => a + b) / 10;
    expect(ownScatter(made, of).typicalError).toBeCloseTo(Math.sqrt(meanSquare), 12);
  });

  it('is not known from nine swimmers, and the words say so', () => {
    const { made, of } = study(9);
    expect(ownScatter(made, of)).toEqual({ swimmers: 9, typicalError: null });
    const { says } = overTime(made, of, 'S1', new Map(), 'm/s');
    expect(says.at(-1)).toContain('cannot be known here: it takes 10 swimmers');
  });
});

it('is 1.96·√2 typical errors for single trials', () => {
  expect(smallestChange(1, 1, 1)).toBeCloseTo(2.7718585822512662, 12);
});

it('orders days by date, leaves excluded trials out, and tells a change from chance', () => {
  const { made, of } = study(10);
  const dates = new Map([
    ['d1', '2026-05-01'],
    ['d2', '2026-04-01'],
  ]);
  const view = overTime(made, of, 'S1', dates, 'm/s');
  expect(view.points.map(({ day, n }) => `${day} ${n}`)).toEqual(['d2 1', 'd1 2']);
  expect(view.says[0]).toBe('From d2 to d1: 3.50 m/s to 1.55 m/s, a change of −1.95 m/s.');
  expect(view.says[1]).toContain('more than');
  expect(overTimeFigure(view, 'S1 over time', 'velocity (m/s)')).toContain('</svg>');
  expect(overTimeData(view)).toBe('day,value\nd2,3.5\nd1,1.5\nd1,1.6\n');
  expect(overTime(made, of, 'nobody', dates, '').says[0]).toBe('This swimmer has no value of it.');
  expect(overTime(made, of, 'S2', dates, '').says[0]).toContain('One day alone');
});
