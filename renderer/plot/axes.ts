/** Axes, lines and marks of the bench's plots, in the theme's colours. */
import { largest, smallest } from '../../core/base/extent.ts';
import { formatNumber } from '../format.ts';
import { tickDecimals, ticksIn } from './scale.ts';
import type { Theme } from '../theme/tokens.ts';

type Part = Record<string, unknown>;
export type Range = readonly [number, number];
export type Place = readonly [number, number];

export const FONT = { fontFamily: 'system-ui, sans-serif', fontSize: 14 } as const;

/** What every plot has in common. */
export function base(theme: Theme, inset: Part): Part {
  return {
    animation: false,
    textStyle: { ...FONT, color: theme.text },
    grid: { ...inset, containLabel: false, outerBoundsMode: 'none' },
  };
}

/** An axis of numbers with round ticks, at most about `most` of them. */
export function numberAxis(
  theme: Theme,
  [min, max]: Range,
  most: number,
  name: string,
  more: Part = {},
): Part {
  const ticks = ticksIn(min, max, most);
  const decimals = tickDecimals(ticks);
  return {
    type: 'value',
    min,
    max,
    name,
    nameLocation: 'middle',
    nameMoveOverlap: false,
    nameTextStyle: { ...FONT, color: theme.text },
    axisLine: { show: true, onZero: false, lineStyle: { color: theme.line, width: theme.borderPx } },
    axisTick: { show: true, customValues: [...ticks], lineStyle: { color: theme.line } },
    axisLabel: {
      ...FONT,
      customValues: [...ticks],
      color: theme.quiet,
      hideOverlap: true,
      formatter: (value: number) => formatNumber(value, decimals),
    },
    splitLine: { show: false },
    ...more,
  };
}

export const gridLines = (theme: Theme): Part => ({
  splitLine: { show: true, lineStyle: { color: theme.line, opacity: 0.3 } },
});

export function line(
  places: readonly Place[],
  colour: string,
  widthPx: number,
  type: unknown = 'solid',
): Part {
  return {
    type: 'line',
    data: places.map((place) => [...place]),
    silent: true,
    showSymbol: false,
    clip: true,
    lineStyle: { color: colour, width: widthPx, type },
  };
}

/** A filled band between two lines of as many places. */
export function band(lower: readonly Place[], upper: readonly Place[], colour: string): Part {
  const outline = [...lower, ...upper.toReversed()];
  return {
    type: 'custom',
    silent: true,
    clip: true,
    data: [[...(lower[0] ?? [0, 0])]],
    renderItem: (_params: unknown, api: { coord: (place: number[]) => number[] }) => ({
      type: 'polygon',
      shape: { points: outline.map((place) => api.coord([...place])) },
      style: { fill: colour },
    }),
  };
}

/** How a point was come by; each has a shape of its own. */
export type Kind = 'up' | 'down' | 'none' | 'aside';
export const KINDS: readonly Kind[] = ['up', 'down', 'none', 'aside'];
/** The shapes as signs, for legends and tables, with their words. */
export const KIND_SIGNS: Readonly<Record<Kind, readonly [sign: string, words: string]>> = {
  up: ['▲', 'going up'],
  down: ['▽', 'coming down'],
  none: ['◆', 'no direction given'],
  aside: ['✕', 'set aside'],
};

const CROSS = 'path://M1 1L9 9M9 1L1 9';

/** Points of one kind, as `[x, y, label]`. */
export function points(
  places: readonly (readonly [number, number, string])[],
  kind: Kind,
  theme: Theme,
  sizePx: number,
): Part {
  const filled = kind === 'up' || kind === 'none';
  return {
    type: 'scatter',
    silent: true,
    clip: false,
    z: 4,
    data: places.map(([x, y, text]) => ({
      value: [x, y],
      label: {
        show: text !== '',
        formatter: text,
        // Up and down are mostly read at the same pressures: their numbers stand on either side.
        position: kind === 'down' ? 'right' : 'left',
        distance: 4,
        color: theme.text,
        fontSize: 14,
      },
    })),
    symbol: kind === 'aside' ? CROSS : kind === 'none' ? 'diamond' : 'triangle',
    symbolRotate: kind === 'down' ? 180 : 0,
    symbolSize: kind === 'aside' ? sizePx * 0.75 : sizePx,
    itemStyle: {
      color: filled ? theme.text : theme.ground,
      borderColor: kind === 'aside' ? theme.quiet : theme.text,
      borderWidth: 2,
    },
  };
}

/** A range with room at either end; a range of nothing becomes one about its value. */
export function withRoom([least, greatest]: Range, share: number): Range {
  const span = greatest - least;
  const room = span > 0 ? share * span : Math.max(Math.abs(greatest) * 0.05, 1e-6);
  return [least - room, greatest + room];
}

export function extentOf(values: readonly number[]): Range | null {
  const finite = values.filter(Number.isFinite);
  return finite.length === 0 ? null : [smallest(finite), largest(finite)];
}
