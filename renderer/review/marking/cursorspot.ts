/** The frame or sample at the cursor, for a mark. */
import { frameSpot, sampleSpot, type Found } from './spots.ts';
import type { UnderReview } from './underreview.ts';

const NO_FRAME: Found = {
  ok: false,
  says: 'The film has no frame at the cursor: move the cursor into the film, or mark on the trace.',
};
const NO_FILM: Found = { ok: false, says: 'This trial has no film that can be shown: mark on the trace.' };

/** The frame or sample that a mark would go on now, or why there is none. */
export function spotAtCursor({ playback, view, cursorS }: UnderReview, clock: 'video' | 'trace'): Found {
  if (clock === 'trace') return sampleSpot(view, cursorS);
  const { player, camera } = playback;
  if (player === null || camera === null || player.fault !== null) return NO_FILM;
  // While it plays, the frame that is on the screen; at rest, the one that the cursor asks for.
  const frame = playback.tied || playback.apart ? playback.frame : player.shown;
  return frame === null ? NO_FRAME : frameSpot(view, camera, frame);
}
