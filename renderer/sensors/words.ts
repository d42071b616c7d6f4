/** What the register and the bench call things. */
import type { BenchMethod, KeptCalibration, SensorCard } from '../../core/sensor/draft.ts';
import type { BenchVerdict } from '../../core/sensor/verdict.ts';
import { CALIBRATION_WORDS, type VerdictWords } from '../../core/sensor/words.ts';
import type { PressureUnit } from '../../core/sensor/hydrostatics.ts';

export const STATE_WORDS: Readonly<Record<SensorCard['state'], string>> = {
  in_service: 'in service',
  resting: 'resting',
  retired: 'retired',
};

/** A verdict's sign and words; null is a calibration through which no line could be laid. */
export function verdictWords(verdict: BenchVerdict['verdict'] | null): VerdictWords {
  return CALIBRATION_WORDS[verdict ?? 'not_fitted'];
}

export const METHOD_WORDS: Readonly<Record<BenchMethod, string>> = {
  water_column: 'Water column',
  reference_gauge: 'Reference gauge',
  two_points: 'Two pressures',
};

export const METHOD_GUIDE: Readonly<Record<BenchMethod, string>> = {
  water_column:
    'Lower the open tap to known depths in still water, going down in steps (pressure up) and back (pressure down). The pressure follows from the depth, the water’s density and the local gravity.',
  reference_gauge:
    'Put sensor and gauge on one line, raise the pressure in steps and let it down again. Type what the gauge shows, in its own unit.',
  two_points:
    'Read two known pressures far apart. It shows whether the sensitivity has changed; curve, hysteresis and scatter are not seen, so it is accepted with a remark at best.',
};

export const UNIT_WORDS: Readonly<Record<PressureUnit, string>> = {
  kPa: 'kPa',
  Pa: 'Pa',
  mbar: 'mbar',
  cmH2O: 'cmH₂O',
  mmHg: 'mmHg',
  psi: 'psi',
  m_water: 'm',
};

/** A unit as a person chooses it. */
export function unitChoice(unit: PressureUnit): string {
  return unit === 'm_water' ? 'm below the surface' : UNIT_WORDS[unit];
}

/** The sensor's raw unit, for heads and values. */
export function rawUnitOf(card: SensorCard): string {
  return card.rawUnit === null || card.rawUnit === '' ? 'raw' : card.rawUnit;
}

/** Where a calibration was made. */
export function originWords({ origin }: KeptCalibration): string {
  return origin.kind === 'bench' ? 'at the bench' : `with day ${origin.day}`;
}
