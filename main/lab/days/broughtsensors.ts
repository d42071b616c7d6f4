/** A day's sensors and their calibrations join the register when the day is opened. */
import { isDeepStrictEqual } from 'node:util';
import {
  sensorCard,
  type BenchDraft,
  type BenchPointEntry,
  type SensorCard,
} from '../../../core/sensor/draft.ts';
import { largest } from '../../../core/base/extent.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { Day, Sensor } from '../../../core/day/day.ts';
import type { Daybook } from '../../../core/day/book.ts';
import type { CalibrationEntry } from '../../../core/day/sensors.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import { readRegister, type CalibrationContent } from '../kept/register.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';

/**
 * Adds the sensors of a day that the register does not have, and the calibrations of its calibration.csv. A day that
 * is opened again as it was adds nothing.
 * @param sha256 of the day's calibration.csv; null where it has none
 */
export function bringSensors(
  session: Session,
  { day, calibrations }: Pick<Daybook, 'day' | 'calibrations'>,
  sha256: string | null,
): Outcome<null, LabError> {
  const { store, version } = session;
  const { cards, limits } = readRegister(session);
  const [who, at] = [operatorOf(session), now()];
  for (const { sensor, entries, calibration } of calibrations.values()) {
    const code = sensor.sensor;
    if (!cards.has(code)) {
      const brought = store.bringSensor(code, toCard(sensor), day.day, who, at);
      if (!brought.ok) return storeFault(brought.error);
    }
    if (sha256 === null || entries.length === 0) continue;
    const { rangeKpa, rawMin, rawMax } = sensor;
    const draft = toDraft(day, code, entries, calibration?.referenceZeroUKpa ?? 0);
    const content: CalibrationContent = { draft, limits, sensor: { rangeKpa, rawMin, rawMax } };
    const moment = day.date === null ? null : `${day.date}T12:00:00.000Z`;
    const last = store.calibrations().findLast((row) => row.sensor === code && row.day === day.day);
    if (
      last?.sha256 === sha256 &&
      (moment === null || last.at === moment) &&
      isSameContent(last.content, content, limits)
    )
      continue;
    const added = store.addCalibration({
      sensor: code,
      at: moment ?? at,
      who,
      version,
      day: day.day,
      sha256,
      content,
    });
    if (!added.ok) return storeFault(added.error);
  }
  return done(null);
}

/** True where the readings and the sensor are the same, whatever the limits were then. */
function isSameContent(
  kept: unknown,
  content: CalibrationContent,
  limits: CalibrationContent['limits'],
): boolean {
  return typeof kept === 'object' && isDeepStrictEqual({ ...kept, limits }, content);
}

/** A day's file may say more than the register takes; what it does not take is left empty there. */
function toCard({ sensor, hand, rangeKpa, rawUnit, rawMin, rawMax }: Sensor): SensorCard {
  return sensorCard.parse({
    sensor,
    hand,
    rangeKpa,
    rawUnit: rawUnit?.trim().slice(0, 40) ?? null,
    rawMin,
    rawMax,
    state: 'in_service',
    notes: '',
  } satisfies SensorCard);
}

/** @param sharedKpa standard uncertainty of the reference's zero, the largest that the file states, kPa */
function toDraft(
  { pool }: Day,
  sensor: string,
  entries: readonly CalibrationEntry[],
  sharedKpa: number,
): BenchDraft {
  const scalePct = Math.max(0, largest(entries.map(({ referenceScaleUPct }) => referenceScaleUPct ?? 0)));
  const byDepth = entries.some(({ appliedUnit }) => appliedUnit === 'm_water');
  return {
    sensor,
    method: byDepth ? 'water_column' : 'reference_gauge',
    waterTemperatureC: pool.waterTemperatureC,
    latitudeDeg: pool.latitudeDeg,
    altitudeM: pool.altitudeM,
    columnHeightM: null,
    reference: { name: '', sharedKpa, scale: scalePct / 100, perPointKpa: 0 },
    notes: '',
    points: toPoints(entries),
  };
}

/** A file of a day does not number its runs: one ends where, after going down, the pressure goes up again. */
function toPoints(entries: readonly CalibrationEntry[]): BenchPointEntry[] {
  let run = 1;
  let before: CalibrationEntry['direction'] = null;
  return entries.map((entry) => {
    if (before === 'down' && entry.direction === 'up') run++;
    before = entry.direction ?? before;
    return { ...entry, run, setAside: null, source: { kind: 'typed' } };
  });
}
