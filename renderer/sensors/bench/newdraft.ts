/** A calibration before its first point: what need not be typed again is taken from the one made last. */
import type { BenchDraft } from '../../../core/sensor/draft.ts';
import type { SensorView } from '../../../core/contract/bench.ts';
import { newestFirst } from '../latest.ts';

/** @param sensors the whole register: place and reference are mostly those of the sensor calibrated before */
export function newDraft(sensor: string, sensors: readonly SensorView[]): BenchDraft {
  const made = newestFirst(sensors.flatMap(({ calibrations }) => calibrations));
  const last = made.find(({ origin }) => origin.kind === 'bench')?.draft;
  return {
    sensor,
    method: last?.method ?? 'water_column',
    waterTemperatureC: null,
    latitudeDeg: last?.latitudeDeg ?? null,
    altitudeM: last?.altitudeM ?? null,
    columnHeightM: last?.columnHeightM ?? null,
    reference: last?.reference ?? { name: '', sharedKpa: 0, scale: 0, perPointKpa: 0 },
    notes: '',
    points: [],
  };
}
