/**
 * A day's parameters in the words of day.json: what was read of it, and nothing else that the file may hold.
 * Contract: formats.md section 1.
 */
import { type Day, DAY_FORMAT, type HandColumn } from '../day/day.ts';
import type { FilterChoice } from '../force/filter.ts';

/** The day as a value to print as JSON; what was not given is null. */
export function dayParameters(day: Day): object {
  const { pool, protocol, traceColumns } = day;
  const { accept } = protocol;
  return {
    format: DAY_FORMAT,
    day: day.day,
    date: day.date,
    venue: day.venue,
    pool: {
      length_m: pool.lengthM,
      water_temperature_c: pool.waterTemperatureC,
      latitude_deg: pool.latitudeDeg,
      altitude_m: pool.altitudeM,
    },
    protocol: {
      name: protocol.name,
      stroke: protocol.stroke,
      run_m: protocol.runM,
      section_from_wall_m: protocol.sectionFromWallM,
      section_u_m: protocol.sectionUM,
      section_points: protocol.sectionPoints,
      attempts: protocol.attempts,
      rest_min_s: protocol.restMinS,
      marking_u_s: protocol.markingUS,
      tap_offset_mm: protocol.tapOffsetMm,
      speed_variation_pct: protocol.speedVariationPct,
      filter: filterParameters(protocol.filter),
      accept: {
        min_strokes_per_hand: accept.minStrokesPerHand,
        max_gap_ms: accept.maxGapMs,
        max_saturated_fraction: accept.maxSaturatedFraction,
        max_zero_shift_kpa: accept.maxZeroShiftKpa,
        max_check_deviation_kpa: accept.maxCheckDeviationKpa,
      },
    },
    cameras: day.cameras.map(({ camera, frameRateHz }) => ({ camera, frame_rate_hz: frameRateHz })),
    sensors: day.sensors.map((sensor) => ({
      sensor: sensor.sensor,
      hand: sensor.hand,
      range_kpa: sensor.rangeKpa,
      raw_unit: sensor.rawUnit,
      raw_min: sensor.rawMin,
      raw_max: sensor.rawMax,
    })),
    trace_columns: {
      time: timeParameters(day),
      left: columnParameters(traceColumns.left),
      right: columnParameters(traceColumns.right),
    },
  };
}

function filterParameters(filter: FilterChoice): object | null {
  if (filter.kind === 'butterworth')
    return { kind: filter.kind, order: filter.order, cutoff_hz: filter.cutoffHz };
  return filter.kind === 'none' ? { kind: 'none' } : null;
}

function timeParameters({ traceColumns: { time } }: Day): object | null {
  if (time === null) return null;
  return time.kind === 'rate' ? { rate_hz: time.rateHz } : { column: time.column, unit: time.unit };
}

function columnParameters(column: HandColumn | null): object | null {
  if (column === null) return null;
  const { sensor, elsewhere } = column;
  if (elsewhere === null) return { column: column.column, sensor };
  const { quantity, unit, filter, scaleUPct } = elsewhere;
  return { column: column.column, sensor, quantity, unit, filter, scale_u_pct: scaleUPct };
}
