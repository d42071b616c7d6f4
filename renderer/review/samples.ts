/** A hand's force samples from the lab: little-endian float64, N, as every machine this runs on keeps them. */
import type { NewtonSeries } from '../../core/base/units.ts';
import type { Hand } from '../../core/base/hand.ts';
import type { TrialView } from '../../core/contract/views.ts';
import { samplesUrl } from '../client.ts';
import { withGaps } from '../plot/downsample.ts';

export type Samples = Readonly<Record<Hand, NewtonSeries | null>>;

export const NO_SAMPLES: Samples = { left: null, right: null };

/** What came of fetching: the samples with filled gaps as NaN, and a sentence where some could not be had. */
export interface Fetched {
  readonly samples: Samples;
  readonly fault: string | null;
}

/** Fetches the forces a trial has. */
export async function fetchSamples(view: TrialView, signal: AbortSignal): Promise<Fetched> {
  const [left, right] = await Promise.all([
    fetchHand(view, 'left', signal),
    fetchHand(view, 'right', signal),
  ]);
  return { samples: { left: left.values, right: right.values }, fault: left.fault ?? right.fault };
}

interface HandFetched {
  readonly values: NewtonSeries | null;
  readonly fault: string | null;
}

async function fetchHand(view: TrialView, hand: Hand, signal: AbortSignal): Promise<HandFetched> {
  const { trace } = view;
  if (trace === null || !trace.hasForce[hand]) return { values: null, fault: null };
  const failed = (why: string): HandFetched => ({
    values: null,
    fault: `The ${hand} hand’s force samples could not be read (${why}). Open the day again from its folder.`,
  });
  try {
    const response = await fetch(samplesUrl(view.dayId, view.trial, hand), { signal });
    if (!response.ok) return failed(`status ${response.status}`);
    const bytes = await response.arrayBuffer();
    if (bytes.byteLength !== 8 * trace.count)
      return failed(`${bytes.byteLength} bytes came for ${trace.count} samples`);
    return { values: withGaps(new Float64Array(bytes), trace, trace.gaps[hand]), fault: null };
  } catch (error) {
    if (signal.aborted) throw error;
    return failed('the program does not answer');
  }
}
