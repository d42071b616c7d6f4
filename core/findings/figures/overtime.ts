/** One swimmer over days: each trial a point, the day's mean, and the band that chance alone stays within. */
import { printCell } from '../../base/csv.ts';
import { smallestChange, type OverTime } from '../overtime.ts';
import { FRAME, line, mark, picture, scaleOver, text, valueAxis } from './svg.ts';

const BAND = '#9aa4b0';

/** Draws it; the band lies around the first day's mean and is that of each later day. Empty without a value. */
export function overTimeFigure({ points, scatter }: OverTime, title: string, axis: string): string {
  const [first] = points;
  if (first === undefined) return '';
  const bands = points.map(({ n }) =>
    scatter.typicalError === null ? null : smallestChange(scatter.typicalError, first.n, n),
  );
  const ends = bands.flatMap((band) => (band === null ? [] : [first.mean - band, first.mean + band]));
  const scale = scaleOver([...points.flatMap(({ values }) => values), ...ends], FRAME.bottom, FRAME.top);
  const width = (FRAME.right - FRAME.left) / points.length;
  const x = (k: number) => FRAME.left + width * (k + 0.5);
  const parts = [valueAxis(scale, axis)];
  points.forEach(({ day, n, mean, values }, k) => {
    const band = bands[k]!;
    if (band !== null && k > 0)
      for (const edge of [first.mean - band, first.mean + band])
        parts.push(line(x(k) - width / 3, scale.of(edge), x(k) + width / 3, scale.of(edge), BAND, 2, '5 4'));
    if (k > 0)
      parts.push(line(x(k - 1), scale.of(points[k - 1]!.mean), x(k), scale.of(mean), '#000000', 1.5));
    values.forEach((value, i) => parts.push(mark(x(k) + 14 + 6 * (i % 4), scale.of(value), 0)));
    parts.push(line(x(k) - 10, scale.of(mean), x(k) + 10, scale.of(mean), '#000000', 3));
    parts.push(text(x(k), FRAME.bottom + 22, day, { anchor: 'middle', size: 12 }));
    parts.push(text(x(k), FRAME.bottom + 40, `n = ${n}`, { anchor: 'middle', size: 12 }));
  });
  const legend =
    scatter.typicalError === null
      ? 'points: trials; bar: mean of the day'
      : 'points: trials; bar: mean; dashed: what chance alone stays within, from the first day';
  parts.push(text(FRAME.left, FRAME.height - 8, legend, { size: 12 }));
  return picture(title, `${axis}: ${points.map(({ day, mean }) => `${day} ${mean}`).join('; ')}.`, parts);
}

/** The points of the picture as CSV, one row each. */
export function overTimeData({ points }: OverTime): string {
  const rows = points.flatMap(({ day, values }) => values.map((value) => [day, value] as const));
  return [['day', 'value'] as const, ...rows].map((cells) => `${cells.map(printCell).join(',')}\n`).join('');
}
