/** One trial as a recording: its samples with their units, and its marked events. What files for other programs are made of. */
import type { Hand } from '../base/hand.ts';
import type { Gap } from '../force/trace.ts';

export interface RecordingChannel {
  /** As in formats.md section 4: `left_force_n`. */
  readonly name: 'left_raw' | 'right_raw' | 'left_force_n' | 'right_force_n';
  /** Unit of the values; empty where it is not stated. */
  readonly unit: string;
  /** One per sample; NaN where a sample is missing. */
  readonly values: Float64Array;
}

export interface RecordingEvent {
  /** s, on the trial's clock. */
  readonly timeS: number;
  readonly hand: Hand;
  readonly stroke: number;
  readonly event: string;
}

export interface TrialRecording {
  readonly day: string;
  /** ISO 8601 date of the day; null where it is not known. */
  readonly date: string | null;
  readonly trial: string;
  readonly participant: string;
  /** Sample k lies at startS + k / rateHz on the trial's clock, s and Hz. */
  readonly startS: number;
  readonly rateHz: number;
  /** Those that hold anything. */
  readonly channels: readonly RecordingChannel[];
  /** By time. */
  readonly events: readonly RecordingEvent[];
  /** Version of the program that computed the forces. */
  readonly version: string;
}

/** Returns the stretches of missing samples (NaN) of a channel. */
export function missingStretches(values: Float64Array): readonly Gap[] {
  const found: { -readonly [K in keyof Gap]: Gap[K] }[] = [];
  for (let k = 0; k < values.length; k++) {
    if (!Number.isNaN(values[k]!)) continue;
    const open = found.at(-1);
    if (open?.last === k - 1) open.last = k;
    else found.push({ first: k, last: k });
  }
  return found;
}
