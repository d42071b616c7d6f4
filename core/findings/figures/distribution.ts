/**
 * How the values of each group are spread: a histogram each, one above the other on one scale. Bins are as many as
 * Sturges 1926 gives for the largest group, their width rounded down to 1, 2 or 5 times a power of ten; a bin holds its
 * lower edge and not its upper one.
 */
import { printCell, guardText } from '../../base/csv.ts';
import type { Finding } from '../compare.ts';
import type { Unit } from '../units.ts';
import { axisBelow, FRAME, hueOf, line, picture, px, text, type Scale } from './svg.ts';

/** A group's values counted in bins. */
interface Histogram {
  readonly group: string;
  /** How many values lie in each bin. */
  readonly counts: readonly number[];
}

interface Distribution {
  /** Edges of the bins in the unit of the outcome, one more than there are bins. */
  readonly edges: readonly number[];
  readonly groups: readonly Histogram[];
}

const LIGHT = '#d5d9de';

/** The values of a finding's units by group; null where fewer than two values differ. */
export function distributionOf({ answered, groups }: Finding): Distribution | null {
  const isCells = answered.by.length === 2;
  const nameOf = ({ group, group2 }: Unit) => (isCells ? `${group}:${group2}` : (group ?? ''));
  const { units } = answered.compared;
  let [low, high] = [Infinity, -Infinity];
  for (const { value } of units)
    if (value !== null) [low, high] = [Math.min(low, value), Math.max(high, value)];
  if (!(high > low)) return null;
  const names = groups.length === 0 ? [''] : groups.map(({ group }) => group);
  const valuesOf = (name: string) =>
    units.flatMap((unit) => (unit.value !== null && nameOf(unit) === name ? [unit.value] : []));
  const all = names.map(valuesOf);
  const most = all.reduce((size, values) => Math.max(size, values.length), 1);
  const rough = (high - low) / Math.ceil(Math.log2(most) + 1);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [5, 2, 1].map((times) => times * power).find((own) => own <= rough) ?? power;
  const edgeAt = (k: number) => Number((k * step).toPrecision(12));
  let at = Math.floor(low / step);
  while (edgeAt(at) > low) at -= 1;
  const edges = [edgeAt(at)];
  while (edges.at(-1)! <= high) edges.push(edgeAt((at += 1)));
  return {
    edges,
    groups: names.map((group, k) => ({
      group,
      counts: edges.slice(1).map((upper, j) => all[k]!.filter((v) => v >= edges[j]! && v < upper).length),
    })),
  };
}

/** Draws it, a row for each group, with its number at the highest bin. */
export function distributionFigure(
  { edges, groups }: Distribution,
  title: string,
  axis: string,
  what: string,
): string {
  const [start, end] = [edges[0]!, edges.at(-1)!];
  const of = (value: number) => FRAME.left + ((value - start) / (end - start)) * (FRAME.right - FRAME.left);
  const every = Math.ceil(edges.length / 9);
  const across: Scale = { of, ticks: edges.filter((_, k) => k % every === 0) };
  const most = groups.reduce((all, { counts }) => counts.reduce((a, b) => Math.max(a, b), all), 1);
  const height = (FRAME.bottom - FRAME.top) / groups.length;
  const parts = groups.flatMap(({ group, counts }, k) => {
    const ground = FRAME.top + height * (k + 1);
    const bars = counts.map((count, j) => {
      const [x, tall] = [of(edges[j]!), (count / most) * (height - 30)];
      const bar = `<rect x="${px(x)}" y="${px(ground - tall)}" width="${px(of(edges[j + 1]!) - x)}" height="${px(tall)}" fill="${hueOf(k)}" fill-opacity="0.55" stroke="#ffffff"/>`;
      const says = text((x + of(edges[j + 1]!)) / 2, ground - tall - 4, String(count), {
        anchor: 'middle',
        size: 12,
      });
      return count === 0 ? '' : `${bar}${says}`;
    });
    const n = counts.reduce((sum, count) => sum + count, 0);
    const name = text(FRAME.left, ground - height + 14, `${group === '' ? '' : `${group}, `}n = ${n}`, {
      weight: 600,
      fill: hueOf(k),
    });
    return [line(FRAME.left, ground, FRAME.right, ground, LIGHT), ...bars, name];
  });
  const describes = groups.map(({ group, counts }) => `${group} ${counts.join(' ')}`).join('; ');
  return picture(title, `${axis}: ${what} in each bin: ${describes}.`, [...parts, axisBelow(across, axis)]);
}

/** The bins as CSV, a row for each group and bin. */
export function distributionData({ edges, groups }: Distribution): string {
  const rows = groups.flatMap(({ group, counts }) =>
    counts.map((count, j) => [guardText(group), edges[j]!, edges[j + 1]!, count] as const),
  );
  return [['group', 'from', 'below', 'count'] as const, ...rows]
    .map((cells) => `${cells.map(printCell).join(',')}\n`)
    .join('');
}
