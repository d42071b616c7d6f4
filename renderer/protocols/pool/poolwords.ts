/** The drawn pool in words and ticks. Distances in m. */
import { largest, smallest } from '../../../core/base/extent.ts';
import type { ProtocolContent } from '../../../core/protocol/content.ts';
import { formatNumber } from '../../format.ts';
import type { Grip, SectionM } from './section.ts';

const NBSP = '\u00a0';
/** A distance with at least so many decimals, or as exactly as it was typed. */
export function metres(lengthM: number, least = 1): string {
  const typed = (String(Number(lengthM.toFixed(6))).split('.')[1] ?? '').length;
  return `${formatNumber(lengthM, Math.max(least, typed))}${NBSP}m`;
}

/** Where a point of the run lies, seen from both its ends. */
export function placeWords(fromWallM: number, runM: number): string {
  const wall = fromWallM === 0 ? 'at the finishing wall' : `${metres(fromWallM)} to the finishing wall`;
  const fromStartM = runM - fromWallM;
  if (fromStartM === 0) return `${wall}, at the start`;
  const start =
    fromStartM < 0 ? `${metres(-fromStartM)} before the start` : `${metres(fromStartM)} from the start`;
  return `${wall}, ${start}`;
}

export const GRIP_WORDS: Readonly<Record<Grip, string>> = {
  start: 'Beginning of the measured section',
  end: 'End of the measured section',
  band: 'Whole measured section',
};

/** What a grip's place is, for those who hear it. */
export function gripText(grip: Grip, section: SectionM, runM: number): string {
  const [start, end] = [largest(section), smallest(section)];
  if (grip === 'start') return placeWords(start, runM);
  if (grip === 'end') return placeWords(end, runM);
  return `${metres(start - end)} long, from ${metres(start)} to ${metres(end)} before the finishing wall`;
}

export const START_WORDS: Readonly<Record<ProtocolContent['start'], string>> = {
  push: 'push-off',
  dive: 'dive',
  in_water: 'in the water',
};

/** What carries the swimmer from the start, in a few words. */
export function glideWords({ start, expected: { glideM } }: ProtocolContent): string {
  const what = start === 'dive' ? 'dive and glide' : start === 'push' ? 'push-off glide' : 'glide';
  return `${what}, ${metres(glideM)}`;
}

export interface PoolTicks {
  /** With a number. */
  readonly written: readonly number[];
  /** Every metre between them, where there is room. */
  readonly small: readonly number[];
}

const STEPS_M = [1, 5, 10, 50, 100, 500];
/** Room for a number and its unit. */
const WRITTEN_PX = 80;
const SMALL_PX = 8;

/** Ticks of a pool drawn `widthPx` wide, m from the finishing wall; its far end is one of them. */
export function poolTicks(extentM: number, widthPx: number): PoolTicks {
  const pxPerM = widthPx / extentM;
  const step = STEPS_M.find((one) => one * pxPerM >= WRITTEN_PX) ?? STEPS_M.at(-1)!;
  const every = (stepM: number) =>
    Array.from({ length: Math.floor(extentM / stepM + 1e-9) + 1 }, (_, k) => k * stepM);
  const written = every(step).filter((at) => at === 0 || (extentM - at) * pxPerM >= WRITTEN_PX);
  const small = pxPerM < SMALL_PX ? [] : every(1).filter((at) => !written.includes(at) && at < extentM);
  return { written: [...written, extentM], small };
}
