/** Frames and samples as places for marks: the one at the cursor, the nearest to a moment, the one some steps over. */
import type { TraceS } from '../../../core/base/units.ts';
import { nudge, snapTo, type SteppedClock } from '../../../core/clock/stepped.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import { formatValue } from '../../format.ts';
import { filmOf, onOwn, onTrial, type MarkClock } from './placement.ts';

type Seen = Pick<TrialView, 'films' | 'trace'>;

/** A frame or sample that a mark can lie on. */
export interface Spot extends MarkClock {
  /** s, on the mark's own clock. */
  readonly ownS: number;
  /** s, on the trial's clock. */
  readonly timeS: TraceS;
  /** Interval of frames or samples there, s; null where not known. */
  readonly stepS: number | null;
  /** `film A, frame 454` or `trace, sample at 7.6430 s`. */
  readonly words: string;
}

export type Found =
  { readonly ok: true; readonly spot: Spot } | { readonly ok: false; readonly says: string };

const no = (says: string): Found => ({ ok: false, says });
const NO_TRACE = 'This trial has no readable trace: mark on the film.';
const OFF_TRACE = 'The cursor lies outside the trace: move it into the trace, or mark on the film.';
const NO_FRAMES = 'This trial has no film of that camera.';
const UNTIED =
  'Nothing ties this film’s clock to the trace, so a mark on it would have no place in time. Note a moment seen on both, or mark on the trace.';

function stepsOf(view: Seen, on: MarkClock): SteppedClock | null {
  const { trace } = view;
  if (on.clock === 'trace') return trace === null ? null : { kind: 'samples', ...trace };
  const film = filmOf(view, on.camera);
  return film === null ? null : { kind: 'frames', timesS: Float64Array.from(film.frameTimesS) };
}

/** The spot of a frame. */
export function frameSpot(view: Seen, camera: string, frame: number): Found {
  const film = filmOf(view, camera);
  const ownS = film?.frameTimesS[frame];
  if (film === null || ownS === undefined) return no(NO_FRAMES);
  const timeS = onTrial(view, { clock: 'video', camera }, ownS);
  if (timeS === null) return no(UNTIED);
  const words = `film ${camera}, frame ${frame}`;
  return { ok: true, spot: { clock: 'video', camera, ownS, timeS, stepS: film.frameIntervalS, words } };
}

/** The spot of the sample nearest to a moment on the trial's clock, s. */
export function sampleSpot(view: Seen, timeS: TraceS): Found {
  const { trace } = view;
  const clock = stepsOf(view, { clock: 'trace', camera: null });
  const near = clock === null ? null : snapTo(clock, timeS);
  if (trace === null || near === null) return no(NO_TRACE);
  const stepS = 1 / trace.rateHz;
  if (Math.abs(near.timeS - timeS) > stepS) return no(OFF_TRACE);
  const words = `trace, sample at ${formatValue(near.timeS, 's', 4)}`;
  return {
    ok: true,
    spot: { clock: 'trace', camera: null, ownS: near.timeS, timeS: near.timeS, stepS, words },
  };
}

/** The frame or sample of a mark's own clock that is nearest to a moment on the trial's, s. */
export function nearestSpot(view: Seen, on: MarkClock, timeS: TraceS): Found {
  if (on.clock === 'trace') return sampleSpot(view, timeS);
  const ownS = onOwn(view, on, timeS);
  return ownS === null ? no(UNTIED) : spotBeside(view, on, ownS, 0);
}

/** The frame or sample some steps on (or back) from a moment on a mark's own clock, s. */
export function spotBeside(view: Seen, on: MarkClock, ownS: number, steps: number): Found {
  const clock = stepsOf(view, on);
  if (clock === null) return no(on.clock === 'trace' ? NO_TRACE : NO_FRAMES);
  const to = steps === 0 ? ownS : nudge(clock, ownS, steps);
  if (to === null) return no(`The ${on.clock === 'trace' ? 'trace' : 'film'} ends before that.`);
  const near = snapTo(clock, to);
  if (near === null) return no(NO_FRAMES);
  return on.clock === 'trace' ? sampleSpot(view, near.timeS) : frameSpot(view, on.camera!, near.index);
}
