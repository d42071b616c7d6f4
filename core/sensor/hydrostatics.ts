/**
 * Pressure units, water density, local gravity and the pressure of a water column.
 * Sources: Tanaka et al. 2001, Metrologia 38:301–309 (density, a5 = 999.974950 kg/m³ for SMOW, no term for
 * dissolved air or compressibility); GRS80 normal gravity (Moritz); free-air gradient −3.086·10⁻⁶ s⁻²;
 * cmH2O, mmHg and psi by their conventional values (NIST SP 811 appendix B).
 */

const PASCALS = {
  kPa: 1000,
  Pa: 1,
  mbar: 100,
  cmH2O: 98.0665,
  mmHg: 133.322387415,
  psi: 6894.757293168,
} as const;

export const PRESSURE_UNITS = ['kPa', 'Pa', 'mbar', 'cmH2O', 'mmHg', 'psi', 'm_water'] as const;

export type PressureUnit = (typeof PRESSURE_UNITS)[number];

const DENSITY_RANGE_C = [0, 40] as const;

/**
 * Density of pure, air-free water at 101 325 Pa, in kg/m³.
 * @param temperatureC water temperature, °C; outside 0–40 °C the formula does not hold and null is returned.
 */
export function waterDensity(temperatureC: number): number | null {
  if (!(temperatureC >= DENSITY_RANGE_C[0] && temperatureC <= DENSITY_RANGE_C[1])) return null;
  const t = temperatureC;
  return 999.97495 * (1 - ((t - 3.983035) ** 2 * (t + 301.797)) / (522528.9 * (t + 69.34881)));
}

/**
 * Local gravity, m/s²: GRS80 normal gravity at the latitude less 3.086·10⁻⁶ s⁻² per metre of altitude.
 * @param latitudeDeg geographic latitude, degrees, −90…90; null is returned outside it.
 * @param altitudeM height above the ellipsoid, m.
 */
export function localGravity(latitudeDeg: number, altitudeM: number): number | null {
  if (!(Math.abs(latitudeDeg) <= 90) || !Number.isFinite(altitudeM)) return null;
  const sin2 = Math.sin((latitudeDeg * Math.PI) / 180) ** 2;
  const normal = (9.7803267715 * (1 + 0.001931851353 * sin2)) / Math.sqrt(1 - 0.0066943800229 * sin2);
  return normal - 3.086e-6 * altitudeM;
}

/** Water and place of a depth calibration. */
export interface WaterColumn {
  readonly densityKgM3: number;
  readonly gravityMS2: number;
}

/** Pressure of a water column, kPa, at a depth in m. */
export function depthToKpa(depthM: number, water: WaterColumn): number {
  return (water.densityKgM3 * water.gravityMS2 * depthM) / 1000;
}

/**
 * An applied pressure in kPa. `m_water` is a depth in m and needs the water; without it null is returned.
 */
export function toKpa(applied: number, unit: PressureUnit, water: WaterColumn | null): number | null {
  if (unit === 'm_water') return water === null ? null : depthToKpa(applied, water);
  return unit === 'kPa' ? applied : (applied * PASCALS[unit]) / 1000;
}

/** Water and gravity of a place; null where the temperature or the latitude is not known or unusable. */
export function waterOf(place: {
  readonly waterTemperatureC: number | null;
  readonly latitudeDeg: number | null;
  readonly altitudeM: number | null;
}): WaterColumn | null {
  const { waterTemperatureC, latitudeDeg, altitudeM } = place;
  if (waterTemperatureC === null || latitudeDeg === null) return null;
  const densityKgM3 = waterDensity(waterTemperatureC);
  const gravityMS2 = localGravity(latitudeDeg, altitudeM ?? 0);
  return densityKgM3 === null || gravityMS2 === null ? null : { densityKgM3, gravityMS2 };
}
