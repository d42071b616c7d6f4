/** The conditions and the reference of a calibration, as its certificate tells them. */
import type { BenchMethod, BenchDraft } from '../sensor/draft.ts';
import { minus, figures } from '../base/words.ts';
import { waterOf } from '../sensor/hydrostatics.ts';
import { type Cell, table } from './html.ts';

export const METHOD_WORDS: Readonly<Record<BenchMethod, string>> = {
  water_column: 'Water column: pressure from the depth below the surface, ρ·g·h',
  reference_gauge: 'Comparison with a reference gauge',
  two_points: 'Two pressures',
};

/** Conditions that were given, the density and gravity that follow from them, and the reference's uncertainty. */
export function certificateConditions(draft: BenchDraft): string {
  const given = (value: number | null, unit: string) =>
    value === null ? 'not given' : `${minus(figures(value, 10))} ${unit}`;
  const water = waterOf(draft);
  const { name, sharedKpa, scale, perPointKpa } = draft.reference;
  const exact = sharedKpa === 0 && scale === 0 && perPointKpa === 0;
  const rows: Cell[][] = [
    ['Water temperature', given(draft.waterTemperatureC, '°C')],
    ['Latitude', draft.latitudeDeg === null ? 'not given' : minus(`${draft.latitudeDeg}°`)],
    ['Altitude', given(draft.altitudeM, 'm')],
  ];
  if (draft.method === 'water_column') rows.push(['Height of the column', given(draft.columnHeightM, 'm')]);
  if (water !== null && draft.points.some(({ appliedUnit }) => appliedUnit === 'm_water'))
    rows.push(
      ['Density of the water (Tanaka et al. 2001)', `${water.densityKgM3.toFixed(3)} kg/m³`],
      ['Local gravity (GRS80)', `${water.gravityMS2.toFixed(5)} m/s²`],
    );
  rows.push(
    ['Reference', name === '' ? 'not named' : name],
    [
      'Standard uncertainty of the reference',
      exact
        ? 'not given; the reference was taken as exact'
        : `offset shared by all points ${figures(sharedKpa)} kPa; relative, shared by all points ${figures(100 * scale)} %; each point alone ${figures(perPointKpa)} kPa`,
    ],
  );
  return table(null, rows);
}
