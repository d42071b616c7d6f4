/**
 * A trace column that was calibrated elsewhere: it holds a pressure difference or a force instead of raw readings.
 * Contract: formats.md section 1 (`trace_columns`, `quantity`). The pound-force is 4.4482216152605 N (NIST SP 811
 * appendix B).
 */
import { type Outcome, done, failed } from '../base/refusal.ts';
import { FORCE_UNITS } from '../protocol/protocol.ts';
import { PRESSURE_UNITS, type PressureUnit, toKpa, waterOf } from '../sensor/hydrostatics.ts';

export type ForceUnit = (typeof FORCE_UNITS)[number];

const NEWTONS: Readonly<Record<ForceUnit, number>> = { N: 1, lbf: 4.4482216152605 };

interface Shared {
  /** True where the protocol's filter is applied. */
  readonly filter: boolean;
  /** Stated standard uncertainty of the scale, %; null where none was stated, and then nothing has one. */
  readonly scaleUPct: number | null;
}

export type Elsewhere = Shared &
  (
    | { readonly quantity: 'pressure'; readonly unit: PressureUnit; readonly kpaPerUnit: number }
    | { readonly quantity: 'force'; readonly unit: ForceUnit; readonly newtonsPerUnit: number }
  );

/** A field of the column that breaks a rule, and the end of a sentence that begins with its name. */
export interface ElsewhereFault {
  readonly field: 'quantity' | 'unit' | 'filter' | 'scale_u_pct';
  readonly says: string;
}

/**
 * What a hand's column of day.json holds; null for raw readings. A pressure goes through the protocol's filter as any
 * pressure difference does, a force only where `filter` asks for it.
 */
export function toElsewhere(
  column: Readonly<Record<string, unknown>>,
  pool: Parameters<typeof waterOf>[0],
): Outcome<Elsewhere | null, ElsewhereFault> {
  const { quantity = null, unit, filter = null, scale_u_pct: scale = null } = column;
  const fault = (field: ElsewhereFault['field'], says: string) => failed({ field, says });
  if (quantity === null || quantity === 'raw') return done(null);
  if (quantity !== 'pressure' && quantity !== 'force')
    return fault('quantity', `is ${quoted(quantity)}; it takes raw, pressure or force`);
  if (filter !== null && typeof filter !== 'boolean')
    return fault('filter', `is ${quoted(filter)}; it takes true or false`);
  if (scale !== null && !(typeof scale === 'number' && scale >= 0))
    return fault('scale_u_pct', `is ${quoted(scale)}; it takes a number that is not below 0`);
  if (quantity === 'force') {
    const known = FORCE_UNITS.find((name) => name === unit);
    if (known === undefined) return fault('unit', `is ${quoted(unit)}; a force takes N or lbf`);
    const shared = { filter: filter === true, scaleUPct: scale };
    return done({ quantity, unit: known, newtonsPerUnit: NEWTONS[known], ...shared });
  }
  const known = PRESSURE_UNITS.find((name) => name === unit);
  if (known === undefined)
    return fault('unit', `is ${quoted(unit)}; a pressure takes one of ${PRESSURE_UNITS.join(', ')}`);
  const kpaPerUnit = toKpa(1, known, waterOf(pool));
  if (kpaPerUnit === null)
    return fault('unit', 'm_water needs pool.water_temperature_c (0 to 40) and pool.latitude_deg');
  return done({ quantity, unit: known, kpaPerUnit, filter: filter !== false, scaleUPct: scale });
}

function quoted(value: unknown): string {
  return value === undefined ? 'not given' : JSON.stringify(value);
}
