/** A calibration before its first point: what need not be typed again is taken from the one made last. */
import type { BenchDraft } from '../../../core/sensor/draft.ts';
import type { SensorView } from '../../../core/contract/bench.ts';
import { newestFirst } from '../latest.ts';

const NO_REFERENCE: BenchDraft['reference'] = { name: '', sharedKpa: 0, scale: 0, perPointKpa: 0 };

/** What pressures were read from last time by a method: a gauge does not take on a tape's name and uncertainty. */
export function lastReference(
  method: BenchDraft['method'],
  sensors: readonly SensorView[],
): BenchDraft['reference'] {
  const made = newestFirst(sensors.flatMap(({ calibrations }) => calibrations));
  return (
    made.find(({ origin, draft }) => origin.kind === 'bench' && draft.method === method)?.draft.reference ??
    NO_REFERENCE
  );
}

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
    reference: last?.reference ?? NO_REFERENCE,
    notes: '',
    points: [],
  };
}
