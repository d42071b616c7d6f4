/**
 * A figure of one or more panels, worked out before it is drawn: what is on the screen, in the saved picture and in
 * the file of numbers comes from the same curves.
 */
import { formatNumber } from '../../format.ts';
import { tickDecimals, ticksIn } from '../../plot/scale.ts';

export type Ink = 'left' | 'right' | 'text' | 'quiet' | 'accent';

export interface FigureLine {
  /** x, y, x, y, … in the units of the axes; NaN breaks the line. */
  readonly points: ArrayLike<number>;
  readonly ink: Ink;
  readonly dash: string | null;
  /** Written at the line's end; null for none. */
  readonly label: string | null;
  /** Drawn as one of many. */
  readonly faint: boolean;
}

export interface FigureBand {
  /** x, lower, upper, x, lower, upper, … */
  readonly points: ArrayLike<number>;
  readonly ink: Ink;
}

export interface FigureUpright {
  readonly x: number;
  readonly label: string;
}

export interface PanelWish {
  readonly title: string;
  readonly xLabel: string;
  readonly yLabel: string;
  readonly x: readonly [number, number];
  readonly y: readonly [number, number];
  readonly lines: readonly FigureLine[];
  readonly bands: readonly FigureBand[];
  readonly uprights: readonly FigureUpright[];
}

export interface DrawnPanel {
  readonly wish: PanelWish;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly lines: readonly {
    readonly path: string;
    readonly line: FigureLine;
    readonly endY: number | null;
  }[];
  readonly bands: readonly { readonly path: string; readonly ink: Ink }[];
  readonly uprights: readonly { readonly x: number; readonly label: string }[];
  readonly ticksX: readonly { readonly x: number; readonly text: string }[];
  readonly ticksY: readonly { readonly y: number; readonly text: string }[];
  readonly zeroY: number | null;
}

export interface DrawnFigure {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly panels: readonly DrawnPanel[];
}

const ROOM = { left: 64, right: 72, top: 32, bottom: 48, between: 16 } as const;
/** Room for small panels. */
const TIGHT = { left: 60, right: 20, top: 26, bottom: 48, between: 8 } as const;
const LABEL_PX = 16;
const TICK_PX = { x: 56, y: 32 } as const;

/** Lays panels out in rows and works out every path. */
export function drawFigure(
  wishes: readonly PanelWish[],
  layout: {
    readonly widthPx: number;
    readonly columns: number;
    readonly panelHeightPx: number;
    readonly tight: boolean;
  },
): DrawnFigure {
  const room = layout.tight ? TIGHT : ROOM;
  const columns = Math.max(1, Math.min(layout.columns, wishes.length));
  const cellWidth = (layout.widthPx - (columns - 1) * room.between) / columns;
  const rows = Math.ceil(wishes.length / columns);
  const panels = wishes.map((wish, index) => {
    const cellX = (index % columns) * (cellWidth + room.between);
    const cellY = Math.floor(index / columns) * (layout.panelHeightPx + room.between);
    return drawPanel(wish, {
      x: cellX + room.left,
      y: cellY + room.top,
      width: Math.max(1, cellWidth - room.left - room.right),
      height: Math.max(1, layout.panelHeightPx - room.top - room.bottom),
    });
  });
  return {
    widthPx: layout.widthPx,
    heightPx: rows * layout.panelHeightPx + Math.max(0, rows - 1) * room.between,
    panels,
  };
}

type Area = { readonly x: number; readonly y: number; readonly width: number; readonly height: number };

function drawPanel(wish: PanelWish, area: Area): DrawnPanel {
  const x = (value: number) => area.x + ((value - wish.x[0]) / (wish.x[1] - wish.x[0])) * area.width;
  const y = (value: number) =>
    area.y + area.height - ((value - wish.y[0]) / (wish.y[1] - wish.y[0])) * area.height;
  const ticksX = ticksIn(wish.x[0], wish.x[1], area.width / TICK_PX.x);
  const ticksY = ticksIn(wish.y[0], wish.y[1], area.height / TICK_PX.y);
  const lines = wish.lines.map((line) => ({
    path: linePath(line.points, x, y),
    line,
    endY: line.label === null ? null : lastOf(line.points, y),
  }));
  return {
    wish,
    ...area,
    lines: apart(lines),
    bands: wish.bands.map(({ points, ink }) => ({ path: bandPath(points, x, y), ink })),
    uprights: wish.uprights.map((upright) => ({ x: x(upright.x), label: upright.label })),
    ticksX: ticksX.map((value) => ({ x: x(value), text: formatNumber(value, tickDecimals(ticksX)) })),
    ticksY: ticksY.map((value) => ({ y: y(value), text: formatNumber(value, tickDecimals(ticksY)) })),
    zeroY: wish.y[0] < 0 && wish.y[1] > 0 ? y(0) : null,
  };
}

type Scale = (value: number) => number;

function linePath(points: ArrayLike<number>, x: Scale, y: Scale): string {
  let path = '';
  let pen = 'M';
  for (let i = 0; i + 1 < points.length; i += 2) {
    if (!Number.isFinite(points[i + 1]!)) pen = 'M';
    else {
      path += `${pen}${x(points[i]!).toFixed(1)} ${y(points[i + 1]!).toFixed(1)}`;
      pen = 'L';
    }
  }
  return path;
}

function bandPath(points: ArrayLike<number>, x: Scale, y: Scale): string {
  const [lower, upper]: [string[], string[]] = [[], []];
  for (let i = 0; i + 2 < points.length; i += 3) {
    const at = x(points[i]!).toFixed(1);
    lower.push(`${at} ${y(points[i + 1]!).toFixed(1)}`);
    upper.push(`${at} ${y(points[i + 2]!).toFixed(1)}`);
  }
  return upper.length === 0 ? '' : `M${[...upper, ...lower.toReversed()].join('L')}Z`;
}

function lastOf(points: ArrayLike<number>, y: Scale): number | null {
  for (let i = points.length - 1; i > 0; i -= 2) if (Number.isFinite(points[i]!)) return y(points[i]!);
  return null;
}

/** Keeps the labels at the lines' ends a line's height apart, in their order. */
function apart<T extends { readonly endY: number | null }>(lines: readonly T[]): readonly T[] {
  const order = lines.flatMap((line, index) => (line.endY === null ? [] : { index, y: line.endY }));
  order.sort((a, b) => a.y - b.y);
  const placed = new Map<number, number>();
  let last = -Infinity;
  for (const { index, y } of order) {
    last = Math.max(y, last + LABEL_PX);
    placed.set(index, last);
  }
  return lines.map((line, index) => ({ ...line, endY: placed.get(index) ?? null }));
}
