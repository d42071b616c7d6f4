/** The lane strip's geometry and words, apart from its drawing. Distances in m from the finishing wall. */
import { largest } from '../../core/base/extent.ts';
import { formatNumber } from '../format.ts';

export interface StripShape {
  readonly poolLengthM: number | null;
  readonly runM: number | null;
  readonly sectionFromWallM: readonly [number, number] | null;
}

export interface StripScale {
  /** Place from the left, % of the strip, held within it. */
  readonly percentAt: (fromWallM: number) => number;
  /** A length as % of the strip. */
  readonly percentOf: (lengthM: number) => number;
}

export interface StripTick {
  readonly fromWallM: number;
  readonly text: string;
  readonly anchor: 'start' | 'middle' | 'end';
}

/** Length the strip stands for, m: the pool, or what is known to be swum where the pool's length is not given. */
function extentM({ poolLengthM, runM, sectionFromWallM }: StripShape): number {
  return Math.max(poolLengthM ?? 0, runM ?? 0, largest(sectionFromWallM ?? []), 1);
}

export function stripScale(shape: StripShape): StripScale {
  const extent = extentM(shape);
  return {
    percentAt: (fromWallM) => 100 * (1 - Math.min(Math.max(fromWallM / extent, 0), 1)),
    percentOf: (lengthM) => (100 * lengthM) / extent,
  };
}

/** Distances to write below the strip; those nearer to another than a label's width are left out. */
export function stripTicks(shape: StripShape): readonly StripTick[] {
  const { poolLengthM, runM, sectionFromWallM } = shape;
  const extent = extentM(shape);
  const { percentAt } = stripScale(shape);
  const wanted = [0, ...(sectionFromWallM ?? []), runM, poolLengthM].filter((place) => place !== null);
  const ticks: StripTick[] = [];
  for (const place of wanted) {
    const tooNear = ticks.some((tick) => Math.abs(percentAt(tick.fromWallM) - percentAt(place)) < 12);
    if (tooNear || place < 0) continue;
    const anchor = place === 0 ? 'end' : place === extent ? 'start' : 'middle';
    ticks.push({ fromWallM: place, text: place === 0 ? 'wall' : metres(place), anchor });
  }
  return ticks;
}

/** The strip in words. */
export function describeStrip(label: string, shape: StripShape, markFromWallM: number | null): string {
  const { poolLengthM, runM, sectionFromWallM } = shape;
  const parts = [
    poolLengthM === null ? 'pool length not given' : `pool of ${metres(poolLengthM)}`,
    runM === null ? 'run length not given' : `run of ${metres(runM)} to the wall`,
    sectionFromWallM === null
      ? 'no measured section'
      : `measured from ${metres(sectionFromWallM[0])} to ${metres(sectionFromWallM[1])} before the wall`,
    markFromWallM === null ? null : `mark at ${formatNumber(markFromWallM, 1)}\u00a0m before the wall`,
  ];
  return `${label}: ${parts.filter((part) => part !== null).join(', ')}`;
}

function metres(lengthM: number): string {
  return `${formatNumber(lengthM, Number.isInteger(lengthM) ? 0 : 1)}\u00a0m`;
}
