/** Two trials' forces against time from an event of a stroke in each. */
import type { Hand } from '../../../core/base/hand.ts';
import { alignmentShift } from '../../../core/stroke/curve.ts';
import type { EventName, Marks } from '../../../core/stroke/stroke.ts';
import type { Measured } from '../../../core/base/uncertainty.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import type { Samples } from '../samples.ts';

/** What is shown before and after the event, s: about one cycle either way. */
const BEFORE_S = 0.5;
const AFTER_S = 2;

export interface OverlayLine {
  /** s from the event. */
  readonly timeS: Float64Array;
  /** N; NaN in a gap. */
  readonly forceN: Float64Array;
}

export interface Overlay {
  readonly event: EventName;
  readonly fromS: number;
  readonly toS: number;
  /** This trial's, then the other's. */
  readonly lines: readonly [OverlayLine, OverlayLine];
  /** What was added to the other trial's times, s. */
  readonly shift: Measured;
}

export interface OverlaySide {
  readonly view: Pick<TrialView, 'trace' | 'result'>;
  readonly samples: Samples;
  readonly stroke: number;
}

function marksOf({ view, stroke }: OverlaySide, hand: Hand): Marks {
  const found = view.result.strokes.find(
    (result) => result.stroke.hand === hand && result.stroke.number === stroke,
  );
  return found?.stroke.marks ?? {};
}

/** The overlay of a hand; null where a mark or a force is missing. */
export function overlayOf(
  here: OverlaySide,
  there: OverlaySide,
  hand: Hand,
  event: EventName,
): Overlay | null {
  const onto = marksOf(here, hand);
  const shift = alignmentShift(onto, marksOf(there, hand), event);
  const eventS = onto[event]?.timeS;
  if (shift === null || eventS === undefined) return null;
  const lines = [lineOf(here, hand, -eventS), lineOf(there, hand, shift.value - eventS)] as const;
  const [own, other] = lines;
  if (own === null || other === null) return null;
  return { event, fromS: -BEFORE_S, toS: AFTER_S, lines: [own, other], shift };
}

/** The samples about the event, their times moved by `shiftS`. */
function lineOf({ view, samples }: OverlaySide, hand: Hand, shiftS: number): OverlayLine | null {
  const { trace } = view;
  const force = samples[hand];
  if (trace === null || force === null) return null;
  const at = (timeS: number) => (timeS - shiftS - trace.startS) * trace.rateHz;
  const first = Math.max(0, Math.ceil(at(-BEFORE_S)));
  const last = Math.min(force.length - 1, Math.floor(at(AFTER_S)));
  if (last < first) return null;
  const forceN = force.slice(first, last + 1);
  const timeS = forceN.map((_, k) => trace.startS + (first + k) / trace.rateHz + shiftS);
  return { timeS, forceN };
}
