/** Moments as they are read on each clock: a frame of the film, a sample of the trace. */
import type { ClockReading } from '../../../core/clock/quality.ts';
import type { FilmView, TraceView } from '../../../core/contract/views.ts';

/** Finer digits of a sample's time are dust of its division, s. */
const DIGITS = 1e6;

/** The sample nearest to a moment, s; null outside the trace and without one. */
export function nearestSampleS(trace: TraceView | null, timeS: number): number | null {
  if (trace === null) return null;
  const index = Math.round((timeS - trace.startS) * trace.rateHz);
  if (index < 0 || index >= trace.count) return null;
  return Math.round((trace.startS + index / trace.rateHz) * DIGITS) / DIGITS;
}

/** How finely a film and the trace can be read. */
export function stepsOf(film: FilmView | null, trace: TraceView | null): ClockReading {
  return {
    frameStepS: film?.frameIntervalS ?? null,
    sampleStepS: trace === null ? null : 1 / trace.rateHz,
  };
}
