/** The measured section's times: set from the cursor or typed, with the uncertainty that goes with how they were read. */
import type { BodyPoint, Protocol } from '../../../core/protocol/protocol.ts';
import { markU } from '../../../core/base/uncertainty.ts';
import type { SectionWord } from '../../../core/marking/words.ts';
import { formatValue } from '../../format.ts';

export type SectionEnd = 'start' | 'end';

/** A moment read from film or trace. */
export interface Read {
  /** s, on the trial's clock. */
  readonly timeS: number;
  /** Interval of the frames or samples it was read from, s; null where not known. */
  readonly stepS: number | null;
  /** What it was read from, in words, such as `film, frame 454`. */
  readonly from: string;
}

/** What a protocol says of placing a mark. */
export type Placing = Pick<Protocol, 'markingUS'>;

/** One end while the other is still missing. */
export interface HalfSection {
  readonly startS: number | null;
  readonly endS: number | null;
}

/**
 * Standard uncertainty of a time read from film or trace, s: to the nearest frame or sample, step/√12 (JCGM 100,
 * 4.3.7), and placing it there, as of any mark; null where the step is not known.
 */
export function readingUS(stepS: number | null, { markingUS }: Placing): number | null {
  return markU(stepS, markingUS ?? 0);
}

/** Why two ends make no section; null where they do. */
export function sectionFault({ startS, endS }: HalfSection): string | null {
  if (startS === null || endS === null || endS > startS) return null;
  return `The section would end (${formatValue(endS, 's', 4)}) before it starts (${formatValue(startS, 's', 4)}). Set the other end first, or look which end this is.`;
}

/** The section with one end read anew from film or trace; null while an end is missing. */
export function withReadEnd(
  section: SectionWord | null,
  half: HalfSection,
  end: SectionEnd,
  read: Read,
  placing: Placing,
): SectionWord | null {
  const ends = { startS: section?.startS ?? half.startS, endS: section?.endS ?? half.endS };
  const { startS, endS } = end === 'start' ? { ...ends, startS: read.timeS } : { ...ends, endS: read.timeS };
  if (startS === null || endS === null) return null;
  const own = readingUS(read.stepS, placing);
  const keeps = section !== null && section.method === 'video' ? section.uS : null;
  // Two ends read on clocks of different steps: the coarser one's uncertainty holds for both.
  return { startS, endS, method: 'video', uS: own === null ? keeps : Math.max(own, keeps ?? 0) };
}

const POINT_WORDS: Readonly<Record<BodyPoint, string>> = { head: 'head', hip: 'hip', hand: 'hand' };

/** The moment an end of the section means, by the protocol: where, and which point of the body passes it. */
export function endMeaning(protocol: Protocol, end: SectionEnd): string {
  const point = protocol.sectionPoints[end];
  const from = protocol.sectionFromWallM?.[end === 'start' ? 0 : 1] ?? null;
  const place =
    from === null
      ? 'the place is not set in the protocol'
      : from === 0
        ? 'at the wall'
        : `at ${formatValue(from, 'm', Number.isInteger(from) ? 0 : 2)} from the wall`;
  return `${point === null ? 'body point not set in the protocol' : `the swimmer’s ${POINT_WORDS[point]}`}, ${place}`;
}

/** A section in words, as the day's history tells it. */
export function sectionWords(section: SectionWord): string {
  const how = section.method === null ? '' : `, by ${section.method}`;
  return `Section ${formatValue(section.startS, 's', 4)} to ${formatValue(section.endS, 's', 4)}${how}`;
}
