/**
 * A zero proposed from a quiet stretch of a trace: the hand still in the water, both taps level. It is a proposal;
 * a person confirms it, for a still hand held upright reads the depth between the taps and no zero.
 * Neighbouring samples of a trace are not independent, so the uncertainty of the mean comes from the means of blocks
 * (batch means: Alexopoulos & Seila, in Handbook of Simulation, 1998, from memory) and is never less than SD/√n.
 */
import type { RawSeries } from '../base/units.ts';
import { type Plateau, type SampleGrid, windowScatter, plateauBetween } from './plateau.ts';
import { type Outcome, failed, done } from '../base/refusal.ts';
import { figures } from '../base/words.ts';
import { standardDeviation } from '../base/statistics.ts';

export interface ZeroProposal extends Plateau {
  readonly where: 'start' | 'end';
  readonly sd: number;
  /** Standard uncertainty of the mean, raw. */
  readonly meanU: number;
  /** One sentence: what is proposed, and from which stretch. */
  readonly says: string;
}

export interface ZeroFault {
  readonly code: 'too_short' | 'nothing_quiet';
  readonly says: string;
  readonly todo: string;
}

export interface ZeroSearch {
  /** Shortest stretch, s. */
  readonly leastS: number;
  /** How far from the start or the end of the trace it may lie, s. */
  readonly withinS: number;
  /** Scatter above which a stretch is not quiet, raw. */
  readonly mostSdRaw: number;
}

/** Scatter above which a hand is not still, kPa: half that of 10 mm of water (common practice, no source). */
export const STILL_SD_KPA = 0.05;

const BLOCKS = 8;

/**
 * Proposes a zero near the start or the end of a trace.
 * @param samples raw, gaps filled
 * @param where the end of the trace to look at
 * Returns why there is none where the trace is too short or nothing there is quiet.
 */
export function proposeZero(
  samples: RawSeries,
  grid: SampleGrid,
  where: 'start' | 'end',
  search: ZeroSearch,
): Outcome<ZeroProposal, ZeroFault> {
  const width = Math.max(2 * BLOCKS, Math.round(search.leastS * grid.rateHz));
  const reach = Math.min(samples.length, Math.max(width, Math.round(search.withinS * grid.rateHz)));
  if (samples.length < width)
    return failed({
      code: 'too_short',
      says: `The trace is ${figures(samples.length / grid.rateHz)} s long, shorter than the ${search.leastS} s that a zero is read over.`,
      todo: 'Read the zero by hand, or ask for a shorter stretch.',
    });
  const from = where === 'start' ? 0 : samples.length - reach;
  const near = samples.subarray(from, from + reach);
  const { sd } = windowScatter(near, width);
  let best = -1;
  for (let k = 0; k < sd.length; k++) if (sd[k]! < (sd[best] ?? Infinity)) best = k;
  if (best < 0 || sd[best]! > search.mostSdRaw)
    return failed({
      code: 'nothing_quiet',
      says:
        best < 0
          ? `The ${where} of the trace has no stretch of ${search.leastS} s without missing samples.`
          : `Nothing near the ${where} of the trace is quiet: the calmest ${search.leastS} s scatter by ${figures(sd[best]!)}, more than ${figures(search.mostSdRaw)}.`,
      todo: 'Have the swimmer hold the hand still in the water, both taps level, and read the zero again; or type it.',
    });
  const [first, last] = widen(near, best, width, sd[best]!);
  const at = (k: number) => grid.startS + (from + k) / grid.rateHz;
  const stretch = plateauBetween(samples, grid, at(first), at(last))!;
  const spread = stretch.sd!;
  const proposal = {
    ...stretch,
    sd: spread,
    where,
    meanU: blockMeanU(near.subarray(first, last + 1), spread),
  };
  const says = `The hand was still from ${figures(stretch.startS, 4)} s to ${figures(stretch.endS, 4)} s; confirm that it was in the water with both taps level.`;
  return done({ ...proposal, says });
}

/** Grows a stretch block by block to both sides while the next block scatters and lies as the stretch does. */
function widen(near: Float64Array, best: number, width: number, sd: number): [number, number] {
  const block = Math.floor(width / BLOCKS);
  const centre = meanOf(near, best, best + width);
  const alike = (from: number) => {
    if (from < 0 || from + block > near.length) return false;
    const part = near.subarray(from, from + block);
    return (
      Math.abs(meanOf(near, from, from + block) - centre) <= sd && (standardDeviation(part) ?? 0) <= 1.5 * sd
    );
  };
  let [first, end] = [best, best + width];
  while (alike(first - block)) first -= block;
  while (alike(end)) end += block;
  return [first, end - 1];
}

function blockMeanU(samples: Float64Array, sd: number): number {
  const block = Math.floor(samples.length / BLOCKS);
  const means = Array.from({ length: BLOCKS }, (_, k) => meanOf(samples, k * block, (k + 1) * block));
  return Math.max(standardDeviation(means)! / Math.sqrt(BLOCKS), sd / Math.sqrt(samples.length));
}

function meanOf(samples: Float64Array, from: number, end: number): number {
  const base = samples[from]!;
  let sum = 0;
  for (let k = from; k < end; k++) sum += samples[k]! - base;
  return base + sum / (end - from);
}
