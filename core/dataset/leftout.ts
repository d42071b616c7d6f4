/** What each uncertainty of the dataset holds and what it leaves out, one by one. Contract: formats.md section 2. */

export interface LeftOut {
  /** The quantity in words. */
  readonly what: string;
  readonly columns: string;
  readonly holds: string;
  readonly leavesOut: string;
}

export const LEFT_OUT: readonly LeftOut[] = [
  {
    what: 'Velocity',
    columns: 'velocity_m_s_u',
    holds:
      'the section’s length, both section times, and where the protocol gives it the speed that varies within a cycle',
    leavesOut:
      'the view of the camera at each end (parallax, lens), the point of the body that is timed and its motion against the body, straying from the straight line, the push-off or glide where the section begins early',
  },
  {
    what: 'Stroke cycle time',
    columns: 'cycle_time_s_u',
    holds: 'reading and placing the first and last propulsion start of each unbroken run',
    leavesOut:
      'what all raters see too early or too late alike, the change of the cycle from stroke to stroke, the clock’s rate',
  },
  {
    what: 'Index of coordination',
    columns: 'idc_pct_u',
    holds:
      'reading and placing the marks, what the marks of one event share, the clock line where film and trace mix, the cycle time',
    leavesOut:
      'that the cycle time and the lags share marks, that propulsion read from force ends before the hand leaves the water, the difference between raters, the change from stroke to stroke, the clock’s rate',
  },
  {
    what: 'High-hand time',
    columns: 'high_hand_s_u',
    holds:
      'reading and placing both marks, what the marks of one event share, the clock line where film and trace mix',
    leavesOut:
      'the view of the camera, water and splash over the shoulder, the difference between raters, the change from stroke to stroke, whether the hand was rightly judged below the shoulder',
  },
  {
    what: 'Entry height',
    columns: 'entry_height_cm_u',
    holds: 'what strokes.csv states',
    leavesOut: 'what strokes.csv leaves out',
  },
  {
    what: 'Hand force and impulse',
    columns:
      'peak_force_*_u, mean_force_*_u, impulse_*_u (peak_force_n_u, mean_force_n_u and impulse_ns_u of a stroke)',
    holds:
      'the hand area, the sensitivity with the reference’s scale where it is stated, the calibration’s scatter, the zero, the depth between the taps; for values calibrated elsewhere the stated scale in place of ours',
    leavesOut:
      'that one pressure stands for the whole hand, the sensor’s non-linearity, hysteresis and drift within a trial, temperature, the fit of the glove, the filter’s effect on the peak, the marks that bound the propulsion, the correlation of zero and sensitivity, forces along the hand, the change from stroke to stroke',
  },
  {
    what: 'Right against left',
    columns: 'force_symmetry_pct_u',
    holds: 'the uncertainties of both mean forces, taken as independent',
    leavesOut:
      'what both hands share (a reference, an area method, the water), and what the mean forces leave out',
  },
  {
    what: 'Sensitivity',
    columns: 'sensitivity_u',
    holds: 'the scatter about the line, and the scale of the reference where it is stated',
    leavesOut: 'non-linearity, hysteresis, drift since the calibration, temperature',
  },
];

/** What has an uncertainty on the screens alone. */
const ON_SCREENS: Readonly<Record<string, string>> = {
  'Stroke rate': leavesOut('Stroke cycle time'),
  'Stroke length': 'what those of the velocity and of the stroke rate leave out',
};

/** What the ± of a quantity leaves out, by name, as a sentence. */
export function leftOutSays(what: string): string {
  return `± leaves out: ${ON_SCREENS[what] ?? leavesOut(what)}.`;
}

function leavesOut(what: string): string {
  return LEFT_OUT.find((one) => one.what === what)!.leavesOut;
}
