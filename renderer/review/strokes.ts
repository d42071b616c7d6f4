/** Strokes along the time axis: phases as bands, hand-overs as bridges, and which stroke the cursor is in. */
import { largest, smallest } from '../../core/base/extent.ts';
import type { Hand } from '../../core/base/hand.ts';
import { EVENTS, eventWords, strokesOf, type EventName, type Mark } from '../../core/stroke/stroke.ts';
import type { StrokeResult } from '../../core/trial/result.ts';
import { lastNotAfter } from './frames.ts';

export const PHASES = ['entry_catch', 'pull', 'push', 'recovery'] as const;
export type Phase = (typeof PHASES)[number];

export const PHASE_WORDS: Readonly<Record<Phase, string>> = {
  entry_catch: 'Entry and catch',
  pull: 'Pull',
  push: 'Push',
  recovery: 'Recovery',
};

/** A stretch of one arm's cycle, s on the trial's clock. */
export interface PhaseBand {
  readonly hand: Hand;
  readonly stroke: number;
  readonly phase: Phase;
  readonly fromS: number;
  readonly toS: number;
  /** True for a stroke that a person left out. */
  readonly leftOut: boolean;
}

/** The phases of one arm; a phase whose marks are not both there is left open. */
export function phaseBands(strokes: readonly StrokeResult[], hand: Hand): readonly PhaseBand[] {
  const own = strokesOf(
    strokes.map((result) => result.stroke),
    hand,
  );
  return own.flatMap((stroke) => {
    const at = (event: EventName) => stroke.marks[event]?.timeS;
    const next = own.find((other) => other.number === stroke.number + 1);
    const ends: readonly (readonly [Phase, number | undefined, number | undefined])[] = [
      ['entry_catch', at('water_entry'), at('propulsion_start')],
      ['pull', at('propulsion_start'), at('shoulder_plane')],
      ['push', at('shoulder_plane'), at('propulsion_end')],
      ['recovery', at('propulsion_end'), next?.marks.water_entry?.timeS],
    ];
    const leftOut = stroke.exclusionReason !== null;
    return ends.flatMap(([phase, fromS, toS]) =>
      fromS === undefined || toS === undefined
        ? []
        : { hand, stroke: stroke.number, phase, fromS, toS, leftOut },
    );
  });
}

/** A hand-over drawn between the two rows. */
export interface Bridge {
  /** The hand that takes over, and its stroke. */
  readonly hand: Hand;
  readonly stroke: number;
  readonly kind: 'gap' | 'overlap';
  readonly fromS: number;
  readonly toS: number;
  /** Propulsion end of the one less propulsion start of the other, ms: negative for a gap. */
  readonly lengthMs: number;
  readonly idcPct: number | null;
  readonly counts: boolean;
}

/** Every hand-over in order of time. A hand that takes over at the very moment is an overlap of no length. */
export function bridges(strokes: readonly StrokeResult[]): readonly Bridge[] {
  const found = strokes.flatMap((result): Bridge[] => {
    if (result.handOver === null) return [];
    const [end, start] = [result.handOver.partnerEnd.timeS, result.handOver.start.timeS];
    return [
      {
        hand: result.stroke.hand,
        stroke: result.stroke.number,
        kind: end < start ? 'gap' : 'overlap',
        fromS: Math.min(end, start),
        toS: Math.max(end, start),
        lengthMs: 1000 * (end - start),
        idcPct: result.idcPct,
        counts: result.counts,
      },
    ];
  });
  return found.toSorted((a, b) => a.fromS - b.fromS);
}

/** A mark with whose it is. */
export interface PlacedMark extends Mark {
  readonly hand: Hand;
  readonly stroke: number;
  readonly event: EventName;
}

/** Every mark of a trial in order of time. */
export function placedMarks(strokes: readonly StrokeResult[]): readonly PlacedMark[] {
  return strokes
    .flatMap(({ stroke }) =>
      EVENTS.flatMap((event) => {
        const mark = stroke.marks[event];
        return mark === undefined ? [] : { ...mark, event, hand: stroke.hand, stroke: stroke.number };
      }),
    )
    .toSorted((a, b) => a.timeS - b.timeS);
}

/** A mark in words: whose, which event, when. */
export function markWords(mark: PlacedMark): string {
  return `${mark.hand} ${mark.stroke}, ${eventWords(mark.event)}`;
}

/** First and last mark of a stroke, s; null for one without marks. */
export function strokeSpan(result: StrokeResult): { readonly fromS: number; readonly toS: number } | null {
  const times = Object.values(result.stroke.marks).map((mark) => mark.timeS);
  return times.length === 0 ? null : { fromS: smallest(times), toS: largest(times) };
}

/** The moment a stroke is entered in the table and by the keys: its propulsion start, else its first mark, s. */
export function strokeAnchorS(result: StrokeResult): number | null {
  return result.stroke.marks.propulsion_start?.timeS ?? strokeSpan(result)?.fromS ?? null;
}

export interface AnchoredStroke {
  readonly result: StrokeResult;
  readonly anchorS: number;
}

/** Both hands' strokes in order of their anchors. */
export function inOrder(strokes: readonly StrokeResult[]): readonly AnchoredStroke[] {
  return strokes
    .flatMap((result) => {
      const anchorS = strokeAnchorS(result);
      return anchorS === null ? [] : { result, anchorS };
    })
    .toSorted((a, b) => a.anchorS - b.anchorS);
}

/** Room for a mark that was mapped from one clock to another and back, s. */
const SAME_MOMENT_S = 1e-6;

/**
 * The stroke a moment belongs to: the one whose anchor was passed last, whichever hand; null before the first anchor
 * and after the last mark of that stroke where no other follows.
 */
export function strokeAt(ordered: readonly AnchoredStroke[], timeS: number): StrokeResult | null {
  const anchors = ordered.map((one) => one.anchorS);
  const index = lastNotAfter(anchors, timeS + SAME_MOMENT_S);
  const found = ordered[index];
  if (found === undefined) return null;
  const isLast = index === ordered.length - 1;
  return isLast && timeS > strokeSpan(found.result)!.toS + SAME_MOMENT_S ? null : found.result;
}

/** The nearest of ascending times strictly after (1) or before (−1) a moment; null where there is none. */
export function neighbourS(times: readonly number[], timeS: number, direction: 1 | -1): number | null {
  if (direction === 1) return times[lastNotAfter(times, timeS + SAME_MOMENT_S) + 1] ?? null;
  return times[lastNotAfter(times, timeS - SAME_MOMENT_S)] ?? null;
}
