/** A scatter with its line and band, and bars of counts. */
import { countsOf } from '../ask.ts';
import type { Finding } from '../compare.ts';
import { lineOf } from '../correlation.ts';
import { tQuantile } from '../distributions.ts';
import { axisBelow, FRAME, hueOf, mark, picture, px, scaleOver, text, valueAxis } from './svg.ts';

/** Places along the band where its edge is computed. */
const STEPS = 40;

/** Points of swimmers over another quantity, with the fitted line and its band; the SVG. */
export function scatterFigure({ answered }: Finding, title: string, axis: string, below: string): string {
  const { units } = answered.compared;
  const [x, y] = [units.map(({ on }) => on!), units.map(({ value }) => value!)];
  const across = scaleOver(x, FRAME.left, FRAME.right);
  const up = scaleOver(y, FRAME.bottom, FRAME.top);
  const parts = [valueAxis(up, axis), axisBelow(across, below)];
  const fit = lineOf(x, y);
  const { confidence } = answered.question;
  if (typeof fit !== 'string') {
    const [low, high] = x.reduce(
      ([a, b], value) => [Math.min(a, value), Math.max(b, value)],
      [Infinity, -Infinity],
    );
    const t = tQuantile((1 + confidence) / 2, fit.n - 2);
    const along = Array.from({ length: STEPS + 1 }, (_, k) => low! + ((high! - low!) * k) / STEPS);
    const at = (value: number) => fit.intercept + fit.slope * value;
    const reach = (value: number) =>
      t * fit.residualSd * Math.sqrt(1 / fit.n + (value - fit.meanX) ** 2 / fit.xx);
    const inside = (value: number) => Math.max(FRAME.top, Math.min(FRAME.bottom, value));
    const point = (value: number, height: number) => `${px(across.of(value))} ${px(inside(up.of(height)))}`;
    const edge = [
      ...along.map((value) => point(value, at(value) + reach(value))),
      ...along.toReversed().map((value) => point(value, at(value) - reach(value))),
    ];
    parts.push(`<path d="M${edge.join('L')}Z" fill="${hueOf(0)}" fill-opacity="0.15"/>`);
    parts.push(
      `<path d="M${point(low!, at(low!))}L${point(high!, at(high!))}" stroke="${hueOf(0)}" stroke-width="2" fill="none"/>`,
    );
  }
  x.forEach((value, k) => parts.push(mark(across.of(value), up.of(y[k]!), 0)));
  parts.push(
    text(FRAME.right, FRAME.top - 6, `n = ${x.length}; line with ${100 * confidence} % band`, {
      anchor: 'end',
      size: 12,
    }),
  );
  return picture(title, `${axis} against ${below}, ${x.length} swimmers.`, parts);
}

/** Fills that are told apart without their hue. */
function pattern(index: number): string {
  const hue = hueOf(index);
  const lines = [
    '',
    `<path d="M0 8L8 0" stroke="#ffffff" stroke-width="2"/>`,
    `<path d="M0 4L8 4" stroke="#ffffff" stroke-width="2"/>`,
    `<circle cx="4" cy="4" r="1.8" fill="#ffffff"/>`,
    `<path d="M4 0L4 8" stroke="#ffffff" stroke-width="2"/>`,
    `<path d="M0 0L8 8M0 8L8 0" stroke="#ffffff" stroke-width="1.4"/>`,
  ];
  return `<pattern id="fill${index}" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="${hue}"/>${lines[index % lines.length]!}</pattern>`;
}

/** Stacked bars of how many swimmers are of which kind, by group; the SVG. */
export function countsFigure({ answered }: Finding, title: string): string {
  const { rows, columns, cells } = countsOf(answered.compared);
  const sums = cells.map((own) => own.reduce((sum, count) => sum + count, 0));
  const up = scaleOver([0, ...sums], FRAME.bottom, FRAME.top);
  const parts = [`<defs>${columns.map((_, j) => pattern(j)).join('')}</defs>`, valueAxis(up, 'swimmers')];
  const width = (FRAME.right - FRAME.left - 110) / rows.length;
  rows.forEach((row, i) => {
    const x = FRAME.left + width * (i + 0.2);
    let below = 0;
    columns.forEach((_, j) => {
      const count = cells[i]![j]!;
      const [top, bottom] = [up.of(below + count), up.of(below)];
      parts.push(
        `<rect x="${px(x)}" y="${px(top)}" width="${px(width * 0.6)}" height="${px(bottom - top)}" fill="url(#fill${j})" stroke="#ffffff"/>`,
      );
      const middle = (top + bottom) / 2;
      if (count > 0 && bottom - top >= 16)
        parts.push(
          `<rect x="${px(x + width * 0.3 - 14)}" y="${px(middle - 9)}" width="28" height="18" rx="3" fill="#ffffff"/>`,
          text(x + width * 0.3, middle + 4, String(count), { anchor: 'middle', size: 12 }),
        );
      below += count;
    });
    parts.push(text(x + width * 0.3, FRAME.bottom + 22, row, { anchor: 'middle', weight: 600 }));
    parts.push(text(x + width * 0.3, FRAME.bottom + 40, `n = ${sums[i]!}`, { anchor: 'middle', size: 12 }));
  });
  columns.forEach((column, j) => {
    const y = FRAME.top + 10 + 24 * (columns.length - 1 - j);
    parts.push(
      `<rect x="${FRAME.right - 100}" y="${y}" width="16" height="16" fill="url(#fill${j})"/>`,
      text(FRAME.right - 78, y + 13, column),
    );
  });
  return picture(title, `Swimmers by ${answered.by.join(' and ')}.`, parts);
}
