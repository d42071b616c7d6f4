/** The trial's time: how far it reaches, and how each camera's clock lies in it. All s on the trial's clock. */
import { largest, smallest } from '../../core/base/extent.ts';
import { toTrace } from '../../core/clock/clock.ts';
import type { FilmView, TrialView } from '../../core/contract/views.ts';
import type { Span } from '../plot/downsample.ts';
import { filmEndS } from './frames.ts';
import { placedMarks } from './strokes.ts';

/** The stretch that a film covers; null where it has no frames or nothing ties it to the trial. */
function filmSpan(film: FilmView): Span | null {
  const { clock } = film;
  const [first, end] = [film.frameTimesS[0], filmEndS(film)];
  if (clock === null || first === undefined || end === null) return null;
  return { fromS: toTrace(clock, first), toS: toTrace(clock, end) };
}

/** The stretch that the trace covers; null without one. */
function traceSpan({ trace }: Pick<TrialView, 'trace'>): Span | null {
  if (trace === null || trace.count < 2) return null;
  return { fromS: trace.startS, toS: trace.startS + (trace.count - 1) / trace.rateHz };
}

/** Everything there is to show: trace, films, section and marks together; one second where there is nothing. */
export function trialSpan(view: TrialView): Span {
  const spans = [
    traceSpan(view),
    ...view.films.map(filmSpan),
    view.section === null ? null : { fromS: view.section.startS, toS: view.section.endS },
    ...placedMarks(view.result.strokes).map(({ timeS }) => ({ fromS: timeS, toS: timeS })),
  ].filter((span) => span !== null);
  const fromS = smallest(spans.map((span) => span.fromS));
  const toS = largest(spans.map((span) => span.toS));
  return toS > fromS ? { fromS, toS } : { fromS: 0, toS: 1 };
}

/** Grid sample next to a moment in a direction, s; null outside the trace's ends. */
export function neighbourSampleS(
  view: Pick<TrialView, 'trace'>,
  timeS: number,
  direction: 1 | -1,
): number | null {
  const { trace } = view;
  if (trace === null) return null;
  const at = (timeS - trace.startS) * trace.rateHz;
  const nearest = Math.round(at);
  const onGrid = Math.abs(at - nearest) < 1e-3;
  const beside = direction === 1 ? Math.ceil(at) : Math.floor(at);
  const index = onGrid ? nearest + direction : beside;
  if (index < 0 || index >= trace.count) return null;
  return trace.startS + index / trace.rateHz;
}
