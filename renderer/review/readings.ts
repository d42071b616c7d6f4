/** What lies under the cursor, in words with units: one source for the readout and the slider's spoken value. */
import { EMPTY, formatNumber, formatValue } from '../format.ts';
import { HANDS, type Hand } from '../../core/base/hand.ts';
import type { TrialReview } from './trialreview.svelte.ts';

export interface Reading {
  readonly name: string;
  readonly text: string;
  /** Why there is no value; null where there is one. */
  readonly reason: string | null;
}

const HAND_WORDS: Readonly<Record<Hand, string>> = { left: 'Left hand', right: 'Right hand' };

/** Every reading at the cursor. Frames count from 0, as in the film's list of times. */
export function readings(review: TrialReview): readonly Reading[] {
  const { playback, lane } = review;
  const film = playback.player?.film ?? null;
  const rows: Reading[] = [reading('Time', formatValue(review.cursorS, 's', 4), null)];
  if (film !== null) {
    const untied = playback.tied || playback.apart ? null : 'nothing ties the film to the trial';
    rows.push(reading('Film time', formatValue(playback.videoS, 's', 4), untied));
    const outside = untied ?? (playback.frame === null ? 'the cursor lies outside the film' : null);
    rows.push(
      reading(
        'Frame',
        outside === null
          ? `${playback.frame!}${playback.settling ? ', settling' : ''} (last ${film.frameTimesS.length - 1})`
          : EMPTY,
        outside,
      ),
    );
  }
  for (const hand of HANDS) {
    const force = review.forceAt(hand);
    rows.push(
      reading(HAND_WORDS[hand], formatValue(force, 'N'), force === null ? noForce(review, hand) : null),
    );
  }
  rows.push(
    lane === null
      ? reading('Place', EMPTY, 'the section times or distances are not known')
      : reading(
          'To the wall',
          `${lane.beyond ? 'about ' : ''}${formatNumber(lane.fromWallM, 1)}\u00a0m`,
          null,
        ),
  );
  return rows;
}

function reading(name: string, text: string, reason: string | null): Reading {
  return { name, text, reason };
}

function noForce({ view, samples }: TrialReview, hand: Hand): string {
  if (view.trace === null) return 'the trial has no trace';
  if (!view.trace.hasForce[hand]) return 'this hand has no force';
  if (samples[hand] === null) return 'the samples are not there yet';
  return 'a gap, or outside the trace';
}

/** The cursor as a screen reader says it. */
export function spokenCursor(review: TrialReview): string {
  return readings(review)
    .map(({ name, text, reason }) =>
      name === 'Time' ? text : `${name} ${reason === null ? text : `empty: ${reason}`}`,
    )
    .join(', ');
}
