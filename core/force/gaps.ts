/** What a trace lacks: its gaps against a limit, and samples at the ends of the raw range. Contract: formats.md, section 1. */
import type { Channel, Gap, SampledTrace } from './trace.ts';
import type { TraceS } from '../base/units.ts';

function missingIn(gap: Gap): number {
  return gap.last - gap.first + 1;
}

/** Length of a gap, ms: the missing samples times the sampling interval. */
export function gapMs(gap: Gap, rateHz: number): number {
  return (1000 * missingIn(gap)) / rateHz;
}

/**
 * The gaps longer than a limit.
 * @param maxGapMs limit, ms; null for no limit
 */
export function longGaps(channel: Channel, rateHz: number, maxGapMs: number | null): readonly Gap[] {
  if (maxGapMs === null) return [];
  return channel.gaps.filter((gap) => isLong(gap, rateHz, maxGapMs));
}

function isLong(gap: Gap, rateHz: number, maxGapMs: number): boolean {
  // A millionth of a sample is the room that a rate computed from printed times needs.
  return missingIn(gap) > (maxGapMs * rateHz) / 1000 + 1e-6;
}

/**
 * True where a gap longer than a limit touches the closed interval, s. Gaps lie in order, so that only those at the
 * interval are looked at, however many a broken trace has.
 * @param maxGapMs limit, ms; null for no limit
 */
export function touchesLongGap(
  trace: SampledTrace,
  channel: Channel,
  maxGapMs: number | null,
  startS: number,
  endS: number,
): boolean {
  if (maxGapMs === null) return false;
  const { gaps } = channel;
  const first = Math.floor((startS - trace.startS) * trace.rateHz) - 1;
  let [low, high] = [0, gaps.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (gaps[middle]!.last < first) low = middle + 1;
    else high = middle;
  }
  const end = Math.ceil((endS - trace.startS) * trace.rateHz) + 1;
  for (let at = low; at < gaps.length && gaps[at]!.first <= end; at++)
    if (isLong(gaps[at]!, trace.rateHz, maxGapMs) && touchesGap(trace, gaps[at]!, startS, endS)) return true;
  return false;
}

/** True where a gap's filled samples touch the closed interval, s. */
export function touchesGap(trace: SampledTrace, gap: Gap, startS: TraceS, endS: TraceS): boolean {
  const first = trace.startS + gap.first / trace.rateHz;
  const last = trace.startS + gap.last / trace.rateHz;
  return first <= endS + 1e-9 && last >= startS - 1e-9;
}

/** Share of the measured samples at or beyond a limit of the raw range, 0…1; 0 where no limit is known. */
export function saturatedFraction(channel: Channel, rawMin: number | null, rawMax: number | null): number {
  return channel.measured === 0 ? 0 : saturatedIn(channel, rawMin, rawMax) / channel.measured;
}

const counted = new WeakMap<
  Channel,
  { readonly rawMin: number | null; readonly rawMax: number | null; readonly count: number }
>();

/** Number of such samples of a channel; counted once for the same limits. */
function saturatedIn(channel: Channel, rawMin: number | null, rawMax: number | null): number {
  const known = counted.get(channel);
  if (known?.rawMin === rawMin && known.rawMax === rawMax) return known.count;
  const { asRead, raw } = channel;
  const count =
    asRead === null
      ? countSaturated(channel, 0, raw.length - 1, rawMin, rawMax)
      : countAsRead(asRead, -Infinity, Infinity, rawMin, rawMax);
  counted.set(channel, { rawMin, rawMax, count });
  return count;
}

/** Number of such samples in the closed interval, s. */
export function saturatedBetween(
  channel: Channel,
  trace: Pick<SampledTrace, 'startS' | 'rateHz'>,
  interval: { readonly startS: number; readonly endS: number },
  rawMin: number | null,
  rawMax: number | null,
): number {
  if (saturatedIn(channel, rawMin, rawMax) === 0) return 0;
  const { startS, endS } = interval;
  if (channel.asRead !== null) return countAsRead(channel.asRead, startS - 1e-9, endS + 1e-9, rawMin, rawMax);
  const at = (timeS: number) => (timeS - trace.startS) * trace.rateHz;
  const slack = 1e-9 * trace.rateHz;
  const first = Math.max(0, Math.ceil(at(startS) - slack));
  const last = Math.min(channel.raw.length - 1, Math.floor(at(endS) + slack));
  return countSaturated(channel, first, last, rawMin, rawMax);
}

function countAsRead(
  { timeS, raw }: NonNullable<Channel['asRead']>,
  fromS: number,
  toS: number,
  rawMin: number | null,
  rawMax: number | null,
): number {
  const [low, high] = [rawMin ?? -Infinity, rawMax ?? Infinity];
  let saturated = 0;
  for (let k = 0; k < raw.length; k++)
    if (timeS[k]! >= fromS && timeS[k]! <= toS && (raw[k]! <= low || raw[k]! >= high)) saturated++;
  return saturated;
}

function countSaturated(
  { raw, gaps }: Channel,
  first: number,
  last: number,
  rawMin: number | null,
  rawMax: number | null,
): number {
  const [low, high] = [rawMin ?? -Infinity, rawMax ?? Infinity];
  let saturated = 0;
  let gap = 0;
  for (let k = first; k <= last; k++) {
    const value = raw[k]!;
    if (value > low && value < high) continue;
    while (gap < gaps.length && gaps[gap]!.last < k) gap++;
    if (gap < gaps.length && gaps[gap]!.first <= k) continue;
    saturated++;
  }
  return saturated;
}
