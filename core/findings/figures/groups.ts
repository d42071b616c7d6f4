/** Groups side by side: each swimmer a point, the mean with its interval; pairs joined by lines; repeated trials by swimmer. */
import type { Finding } from '../compare.ts';
import type { Unit } from '../units.ts';
import { FRAME, hueOf, line, mark, picture, scaleOver, text, valueAxis, type Scale } from './svg.ts';

const LIGHT = '#9aa4b0';

/** Points that would cover one another stand beside one another: each takes the nearest free place to the middle. */
function spread(values: readonly number[], scale: Scale, room: number): readonly number[] {
  const order = values.map((_, index) => index).sort((a, b) => values[a]! - values[b]!);
  const placed: { readonly x: number; readonly y: number }[] = [];
  const result = new Array<number>(values.length).fill(0);
  for (const index of order) {
    const y = scale.of(values[index]!);
    const near = placed.filter((one) => Math.abs(one.y - y) < 8);
    let x = 0;
    for (let step = 0; step < 60; step++) {
      x = (step % 2 === 0 ? 1 : -1) * Math.ceil(step / 2) * 4;
      if (Math.abs(x) > room || near.every((one) => Math.hypot(one.x - x, one.y - y) >= 8)) break;
    }
    x = Math.max(-room, Math.min(room, x));
    placed.push({ x, y });
    result[index] = x;
  }
  return result;
}

function placesOf(count: number): readonly number[] {
  const width = (FRAME.right - FRAME.left) / count;
  return Array.from({ length: count }, (_, k) => FRAME.left + width * (k + 0.5));
}

/** A mean with its interval, beside the points. */
function meanMark(x: number, mean: number, low: number | null, high: number | null, scale: Scale): string {
  const y = scale.of(mean);
  const bar = line(x - 12, y, x + 12, y, '#000000', 2.5);
  if (low === null || high === null) return bar;
  const [top, bottom] = [scale.of(high), scale.of(low)];
  return [
    line(x, top, x, bottom, '#000000', 2),
    line(x - 5, top, x + 5, top, '#000000', 2),
    line(x - 5, bottom, x + 5, bottom, '#000000', 2),
    bar,
  ].join('');
}

/** Groups that share no swimmer: a point each, the mean with its interval; the SVG. */
export function groupsFigure({ answered, groups }: Finding, title: string, axis: string): string {
  const { units } = answered.compared;
  const isCells = answered.by.length === 2;
  const nameOf = ({ group, group2 }: Unit) => (isCells ? `${group}:${group2}` : (group ?? ''));
  const ends = groups.flatMap(({ meanLow, meanHigh }) =>
    [meanLow, meanHigh].filter((value) => value !== null),
  );
  const scale = scaleOver([...units.map(({ value }) => value!), ...ends], FRAME.bottom, FRAME.top);
  const places = placesOf(groups.length);
  const room = Math.min(70, (FRAME.right - FRAME.left) / groups.length / 2 - 26);
  const parts = [valueAxis(scale, axis)];
  groups.forEach(({ group, n, mean, meanLow, meanHigh }, k) => {
    const values = units.filter((unit) => nameOf(unit) === group).map(({ value }) => value!);
    spread(values, scale, Math.max(4, room)).forEach((dx, i) =>
      parts.push(mark(places[k]! + dx, scale.of(values[i]!), k)),
    );
    if (mean !== null)
      parts.push(meanMark(places[k]! + Math.max(4, room) + 14, mean, meanLow, meanHigh, scale));
    parts.push(text(places[k]!, FRAME.bottom + 22, group, { anchor: 'middle', weight: 600, fill: hueOf(k) }));
    parts.push(text(places[k]!, FRAME.bottom + 40, `n = ${n}`, { anchor: 'middle', size: 12 }));
  });
  const hasLimits = groups.some(({ meanLow }) => meanLow !== null);
  parts.push(
    text(
      FRAME.left,
      FRAME.height - 8,
      hasLimits
        ? `points: one each; bar: mean with ${100 * answered.question.confidence} % interval`
        : 'points: trials; bar: mean',
      { size: 12 },
    ),
  );
  return picture(
    title,
    `${axis} by ${answered.by.join(' and ')}: ${groups.map(({ group, n }) => `${group}, ${n}`).join('; ')}.`,
    parts,
  );
}

/** The same swimmers twice: a line each, means with intervals; the SVG. */
export function pairsFigure({ answered, groups }: Finding, title: string, axis: string): string {
  const { units } = answered.compared;
  const scale = scaleOver(
    units.map(({ value }) => value!),
    FRAME.bottom,
    FRAME.top,
  );
  const [a, b] = placesOf(2) as [number, number];
  const parts = [valueAxis(scale, axis)];
  for (let k = 0; k + 1 < units.length; k += 2) {
    const [y1, y2] = [scale.of(units[k]!.value!), scale.of(units[k + 1]!.value!)];
    parts.push(line(a, y1, b, y2, LIGHT, 1, y2 > y1 ? '4 3' : ''), mark(a, y1, 0), mark(b, y2, 1));
  }
  groups.forEach(({ group, n, mean, meanLow, meanHigh }, k) => {
    const place = k === 0 ? a : b;
    if (mean !== null) parts.push(meanMark(place + (k === 0 ? -28 : 28), mean, meanLow, meanHigh, scale));
    parts.push(text(place, FRAME.bottom + 22, group, { anchor: 'middle', weight: 600, fill: hueOf(k) }));
    parts.push(text(place, FRAME.bottom + 40, `n = ${n}`, { anchor: 'middle', size: 12 }));
  });
  parts.push(
    text(
      FRAME.left,
      FRAME.height - 8,
      'lines: one swimmer each, dashed where it falls to the right; bars: means',
      { size: 12 },
    ),
  );
  return picture(
    title,
    `${axis} of each swimmer under ${groups.map(({ group }) => group).join(' and ')}.`,
    parts,
  );
}

/** Every swimmer's trials one above the other, swimmers by their mean. */
export function repeatsFigure({ answered }: Finding, title: string, axis: string): string {
  const { units } = answered.compared;
  const people = new Map<string, number[]>();
  for (const { participant, value } of units)
    people.set(participant, [...(people.get(participant) ?? []), value!]);
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const sorted = [...people.values()].sort((p, q) => mean(p) - mean(q));
  const scale = scaleOver(
    units.map(({ value }) => value!),
    FRAME.bottom,
    FRAME.top,
  );
  const places = placesOf(sorted.length);
  const parts = [valueAxis(scale, axis)];
  sorted.forEach((values, k) => {
    let [low, high] = [Infinity, -Infinity];
    for (const value of values) [low, high] = [Math.min(low, value), Math.max(high, value)];
    parts.push(line(places[k]!, scale.of(low), places[k]!, scale.of(high), LIGHT, 1.5));
    for (const value of values) parts.push(mark(places[k]!, scale.of(value), 0, 3));
  });
  parts.push(
    text((FRAME.left + FRAME.right) / 2, FRAME.bottom + 26, `${sorted.length} swimmers, by their mean`, {
      anchor: 'middle',
    }),
  );
  return picture(title, `${axis}: the trials of ${sorted.length} swimmers.`, parts);
}
