/** The columns of participants.csv and calibrations.csv. Contract: formats.md section 3. */
import { fields } from './field.ts';
import type { RosterRow } from '../day/tables.ts';
import type { SensorCalibration } from '../day/sensors.ts';
import type { SensorOutcome } from '../day/checks.ts';

export const participants = fields<RosterRow>(
  ['participant', 'string', '', 'Code of the swimmer', (row) => row.participant],
  ['sex', 'string', '', 'female, male or unspecified', (row) => row.sex],
  ['birth_year', 'integer', '', 'Year of birth', (row) => row.birth_year],
  ['height_cm', 'number', 'cm', 'Body height', (row) => row.height_cm],
  ['mass_kg', 'number', 'kg', 'Body mass', (row) => row.mass_kg],
  ['left_hand_area_cm2', 'number', 'cm²', 'One-sided area of the left hand', (row) => row.left_hand_area_cm2],
  [
    'right_hand_area_cm2',
    'number',
    'cm²',
    'One-sided area of the right hand',
    (row) => row.right_hand_area_cm2,
  ],
  ['hand_area_u_cm2', 'number', 'cm²', 'Standard uncertainty of a hand area', (row) => row.hand_area_u_cm2],
  [
    'left_hand_area_u_cm2',
    'number',
    'cm²',
    'Standard uncertainty of the left hand’s area, in place of hand_area_u_cm2',
    (row) => row.left_hand_area_u_cm2,
  ],
  [
    'right_hand_area_u_cm2',
    'number',
    'cm²',
    'Standard uncertainty of the right hand’s area, in place of hand_area_u_cm2',
    (row) => row.right_hand_area_u_cm2,
  ],
  [
    'left_hand_area_method',
    'string',
    '',
    'How the left hand’s area was come by: traced, typed or estimated',
    (row) => row.left_hand_area_method,
  ],
  [
    'right_hand_area_method',
    'string',
    '',
    'How the right hand’s area was come by: traced, typed or estimated',
    (row) => row.right_hand_area_method,
  ],
  ['consent', 'string', '', 'given, or assent_and_guardian', (row) => row.consent],
  ['film_consent', 'string', '', 'To be filmed: given, withheld or not_asked', (row) => row.film_consent],
  [
    'film_sharing_consent',
    'string',
    '',
    'To films being shown to others: given, withheld or not_asked',
    (row) => row.film_sharing_consent,
  ],
);

/** A sensor's calibration, and the known pressures that were read with it. */
export interface SensorRow extends SensorCalibration {
  readonly check: SensorOutcome | null;
}

export const calibrations = fields<SensorRow>(
  ['sensor', 'string', '', 'Code of the sensor', (row) => row.sensor.sensor],
  ['hand', 'string', '', 'Hand the sensor is worn on by day.json', (row) => row.sensor.hand],
  [
    'intercept_raw',
    'number',
    'raw',
    'Raw value at no applied pressure, from the line',
    (row) => row.calibration?.interceptRaw ?? null,
  ],
  [
    'sensitivity_raw_per_kpa',
    'number',
    'raw/kPa',
    'Slope of raw on applied pressure',
    (row) => row.calibration?.sensitivityRawPerKpa ?? null,
  ],
  [
    'sensitivity_u',
    'number',
    'raw/kPa',
    'Standard uncertainty of the sensitivity, the scale of the reference in it where that is stated',
    (row) => row.calibration?.sensitivityU ?? null,
  ],
  [
    'residual_sd_kpa',
    'number',
    'kPa',
    'Residual standard deviation, n − 2 degrees of freedom',
    (row) => row.calibration?.residualSdKpa ?? null,
  ],
  [
    'nonlinearity_pct_fs',
    'number',
    '%',
    'Largest mean residual at one pressure, of full scale; empty below three pressures',
    (row) => row.calibration?.nonlinearityPctFs ?? null,
  ],
  [
    'hysteresis_pct_fs',
    'number',
    '%',
    'Largest difference of mean up and mean down at one pressure, of full scale; empty below three pressures',
    (row) => row.calibration?.hysteresisPctFs ?? null,
  ],
  [
    'check_start_kpa',
    'number',
    'kPa',
    'Largest deviation from a known pressure at the start of the day',
    (row) => row.check?.startKpa ?? null,
  ],
  [
    'check_end_kpa',
    'number',
    'kPa',
    'Largest deviation from a known pressure at the end of the day',
    (row) => row.check?.endKpa ?? null,
  ],
  [
    'verdict',
    'string',
    '',
    'accepted, remark (something could not be judged, or the pressures reach less than half the range), rejected (a limit is broken), not_fitted or missing (no calibration was given)',
    (row) => row.verdict,
  ],
);
