/** From a calibration as entered at the bench to its assessment, its verdict and what is wrong with it. */
import { type CalibrationAssessment, type BenchPoint, assessCalibration } from './metrology.ts';
import { type BenchVerdict, judgeBench } from './verdict.ts';
import { type BenchLimits } from './limits.ts';
import {
  type BenchFault,
  type BenchSetting,
  leftOutBecause,
  settingFaults,
  pointFaults,
  runFaults,
} from './entry.ts';
import type { BenchDraft } from './draft.ts';
import { waterOf, toKpa } from './hydrostatics.ts';

/** What the register says of the sensor: full scale in kPa, raw limits in the raw unit. */
export interface SensorFacts {
  readonly rangeKpa: number | null;
  readonly rawMin: number | null;
  readonly rawMax: number | null;
}

/** Where a calibration was made. */
export type CalibrationOrigin = 'bench' | 'day';

export interface AssessedDraft {
  /** Null where no line can be fitted, or a point that takes part has no pressure. */
  readonly assessment: CalibrationAssessment | null;
  readonly verdict: BenchVerdict;
  /** Faults of the setting, of every point that takes part, and of the points together, each once. */
  readonly faults: readonly BenchFault[];
}

/**
 * Assesses and judges a calibration as entered.
 * @param historyRawPerKpa mean sensitivity of the sensor's earlier accepted calibrations; null without one
 * @param origin `bench`: readings beyond the sensor's limits wait for a word, and the reference is to have a name; `day`:
 * a day folder's calibration, taken as its file gives it
 */
export function assessDraft(
  draft: BenchDraft,
  sensor: SensorFacts,
  limits: BenchLimits,
  historyRawPerKpa: number | null,
  origin: CalibrationOrigin = 'bench',
): AssessedDraft {
  const { columnHeightM, waterTemperatureC, reference } = draft;
  const water = waterOf(draft);
  const { rawMin, rawMax } = sensor;
  const setting: BenchSetting = { columnHeightM, waterTemperatureC, water, rawMin, rawMax, historyRawPerKpa };
  const entered = draft.points.filter(({ setAside }) => setAside === null);
  const judged = draft.points.map((entry) =>
    origin === 'day' ? entry : { ...entry, setAside: leftOutBecause(entry, sensor) },
  );
  const used = judged.filter(({ setAside }) => setAside === null);
  const all = [
    ...settingFaults(setting),
    ...entered.flatMap((entry) => pointFaults(entry, setting)),
    ...runFaults(judged, setting),
  ];
  const faults = [...new Map(all.map((fault) => [fault.says, fault])).values()];
  const points = judged.flatMap((entry): BenchPoint[] => {
    const appliedKpa = toKpa(entry.applied, entry.appliedUnit, water);
    const { raw, direction, run, setAside } = entry;
    return appliedKpa === null ? [] : [{ appliedKpa, raw, direction, run, setAside }];
  });
  const whole = points.filter(({ setAside }) => setAside === null).length === used.length;
  const { sharedKpa, scale, perPointKpa } = reference;
  const assessment = whole
    ? assessCalibration(points, sensor.rangeKpa, { sharedKpa, scale, perPointKpa })
    : null;
  const name = origin === 'bench' ? reference.name : null;
  return { assessment, verdict: judgeBench(assessment, limits, historyRawPerKpa, name), faults };
}
