/** What is typed for a sensor at the start or the end of a day: its zeros, and known pressures with what it read. */
import type { DeckAct, DeckSetup } from '../../../core/deck/deck.ts';
import {
  depthToKpa,
  localGravity,
  waterDensity,
  type WaterColumn,
} from '../../../core/sensor/hydrostatics.ts';
import { typedNumber } from '../../fields/numberfield.ts';

/** The pool as a water column; null while its temperature or its latitude is not given. */
export function poolWater({ waterTemperatureC, latitudeDeg, altitudeM }: DeckSetup): WaterColumn | null {
  if (waterTemperatureC === null || latitudeDeg === null) return null;
  const densityKgM3 = waterDensity(waterTemperatureC);
  const gravityMS2 = localGravity(latitudeDeg, altitudeM ?? 0);
  return densityKgM3 === null || gravityMS2 === null ? null : { densityKgM3, gravityMS2 };
}

/** Takes an act on a sensor to the lab, and what to say once it is kept. True where the lab took it. */
export type SensorAct = (
  act: Extract<DeckAct, { act: 'day.zero' | 'day.pressure' }>,
  says: string,
) => Promise<boolean>;

export class PressureEntry {
  by = $state<'kpa' | 'depth'>('kpa');
  applied = $state('');
  raw = $state('');

  /** The pressure put on, kPa, from what is typed; null while it is no number. */
  appliedKpa(water: WaterColumn | null): number | null {
    const value = typedNumber(this.applied);
    if (value === null || this.by === 'kpa') return value;
    return water === null || value <= 0 ? null : depthToKpa(value, water);
  }

  /** The reading as typed; null while something is missing. */
  reading(water: WaterColumn | null): { readonly appliedKpa: number; readonly raw: number } | null {
    const appliedKpa = this.appliedKpa(water);
    const raw = typedNumber(this.raw);
    // Nothing applied is the zero, which has a field of its own.
    return appliedKpa === null || appliedKpa === 0 || raw === null ? null : { appliedKpa, raw };
  }

  clear(): void {
    this.applied = '';
    this.raw = '';
  }
}
