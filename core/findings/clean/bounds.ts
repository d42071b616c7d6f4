/**
 * What a swimmer and the water allow, in the unit of trials.csv: beyond it a value is a mistake of timing, marking or
 * measuring until someone has looked. Wide on purpose. Velocity: the fastest 50 m freestyle, 20.91 s (long course,
 * 2009; from memory), is 2.39 m/s with its start. The others are common practice, no source.
 */

export interface Bound {
  readonly column: string;
  readonly low: number;
  readonly high: number;
}

export const BOUNDS: readonly Bound[] = [
  { column: 'velocity_m_s', low: 0.4, high: 2.5 },
  { column: 'stroke_rate_cpm', low: 20, high: 90 },
  { column: 'stroke_length_m', low: 0.6, high: 4 },
  { column: 'idc_pct', low: -50, high: 50 },
  { column: 'high_hand_s', low: 0, high: 1.5 },
  { column: 'peak_force_left_n', low: 5, high: 500 },
  { column: 'peak_force_right_n', low: 5, high: 500 },
  { column: 'mean_force_left_n', low: 0, high: 250 },
  { column: 'mean_force_right_n', low: 0, high: 250 },
  { column: 'impulse_left_ns', low: 0, high: 200 },
  { column: 'impulse_right_ns', low: 0, high: 200 },
  { column: 'zero_shift_left_kpa', low: -1, high: 1 },
  { column: 'zero_shift_right_kpa', low: -1, high: 1 },
];

/** Quantities that both hands have. */
export const HAND_PAIRS = [
  { left: 'peak_force_left_n', right: 'peak_force_right_n', what: 'Peak force' },
  { left: 'mean_force_left_n', right: 'mean_force_right_n', what: 'Mean force' },
  { left: 'impulse_left_ns', right: 'impulse_right_ns', what: 'Impulse' },
] as const;
