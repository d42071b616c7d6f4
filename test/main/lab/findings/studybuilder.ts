/** An invented study as a pool of three days: swimmers with known group differences, some of it missing or excluded. */
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { DATASET_FIELDS } from '../../../../core/dataset/dataset.ts';
import { printCell } from '../../../../core/base/csv.ts';

/** Numbers that look drawn and are the same every time (a linear congruential generator, Numerical Recipes). */
export function drawing(seed: number): { uniform: () => number; normal: () => number } {
  let state = seed >>> 0;
  const uniform = () => {
    state = (Math.imul(1664525, state) + 1013904223) >>> 0;
    return (state + 0.5) / 2 ** 32;
  };
  const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

export type Row = Readonly<Record<string, string | number>>;

export type TableName = keyof typeof DATASET_FIELDS;

/** A table as CSV with the columns given; what a row does not name is blank. */
function tableText(columns: readonly string[], rows: readonly Row[]): string {
  const line = (cells: readonly (string | number)[]) => `${cells.map((cell) => printCell(cell)).join(',')}\n`;
  return line(columns) + rows.map((row) => line(columns.map((column) => row[column] ?? ''))).join('');
}

const columnsOf = (name: TableName) => DATASET_FIELDS[name].map((field) => field.name);

/** A pool may carry columns that this version does not know; a comparison reads them all the same. */
const poolColumns = (name: TableName, rows: readonly Row[]) => [
  ...new Set(['day', ...columnsOf(name), ...rows.flatMap((row) => Object.keys(row))]),
];

export const DAYS = ['2026-03-14', '2026-03-15', '2026-03-16'] as const;

/** Three trials each: sprint, paddles, sprint. */
export function inventStudy(swimmers: number, seed: number): Readonly<Record<TableName, readonly Row[]>> {
  const { uniform, normal } = drawing(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(uniform() * list.length)]!;
  const participants: Row[] = [];
  const trials: Row[] = [];
  const strokes: Row[] = [];
  for (let i = 0; i < swimmers; i++) {
    const day = DAYS[i % 3]!;
    const participant = `P${String(i + 1).padStart(3, '0')}`;
    const sex = pick(['female', 'male', 'male']);
    const usual = pick(['above', 'level', 'below'] as const);
    const ability = normal();
    participants.push({
      day,
      participant,
      sex,
      height_cm: (170 + 8 * normal()).toFixed(1),
      left_hand_area_cm2: 150,
      left_hand_area_u_cm2: 3,
      left_hand_area_method: 'traced',
      consent: 'given',
    });
    for (let attempt = 1; attempt <= 3; attempt++) {
      const trial = `${participant}-${attempt}`;
      const isPaddles = attempt === 2;
      const entry = uniform() < 0.8 ? usual : pick(['above', 'level', 'below', 'mixed', '']);
      const idc =
        { above: -8, level: -5, below: -3 }[usual] + 2 * ability + 1.2 * normal() + (isPaddles ? 1 : 0);
      const force = 80 + (sex === 'male' ? 15 : 0) + 8 * ability + 5 * normal();
      trials.push({
        day,
        trial,
        participant,
        attempt,
        condition: isPaddles ? 'paddles' : 'sprint',
        status: uniform() < 0.05 ? 'excluded' : pick(['recorded', 'accepted']),
        check: uniform() < 0.9 ? 'good' : 'swim_again',
        section_m: 10,
        velocity_m_s: 1.6 + (sex === 'male' ? 0.1 : 0) + 0.05 * ability + 0.03 * normal(),
        idc_pct: uniform() < 0.04 ? '' : idc,
        idc_left_pct: Math.round(idc),
        entry_position: entry,
        mean_force_left_n: force,
        left_sensor: day === DAYS[2] ? 'S-03' : 'S-01',
        right_sensor: 'S-02',
      });
      for (let stroke = 1; stroke <= 4; stroke++)
        strokes.push({
          day,
          trial,
          participant,
          hand: stroke % 2 === 0 ? 'left' : 'right',
          stroke: Math.ceil(stroke / 2),
          in_section: String(stroke > 1),
          exclusion_reason: uniform() < 0.05 ? 'lane rope' : '',
          peak_force_n: force + 40 + 4 * normal(),
        });
    }
  }
  const byDay = (rows: readonly Row[]) =>
    rows.toSorted((a, b) => (a['day']! < b['day']! ? -1 : a['day']! > b['day']! ? 1 : 0));
  const calibrations = DAYS.map((day) => ({
    day,
    sensor: day === DAYS[2] ? 'S-03' : 'S-01',
    hand: 'left',
    sensitivity_raw_per_kpa: 2000,
    sensitivity_u: 20,
  }));
  return {
    participants: byDay(participants),
    trials: byDay(trials),
    strokes: byDay(strokes),
    calibrations,
    refused: [],
  };
}

/** Writes tables as a pool; every day's section has a standard uncertainty of 0.02 m. */
export async function writePool(
  folder: string,
  tables: Readonly<Record<TableName, readonly Row[]>>,
): Promise<void> {
  await mkdir(folder, { recursive: true });
  for (const [name, rows] of Object.entries(tables))
    await writeFile(join(folder, `${name}.csv`), tableText(poolColumns(name as TableName, rows), rows));
  const days = Object.fromEntries(
    DAYS.map((day) => [day, { parameters: { day: { protocol: { section_u_m: 0.02 } } } }]),
  );
  await writeFile(join(folder, 'provenance.json'), JSON.stringify({ days }));
}

/** Writes one day of tables as a dataset. */
export async function writeDataset(
  folder: string,
  day: string,
  tables: Readonly<Record<TableName, readonly Row[]>>,
): Promise<void> {
  await mkdir(folder, { recursive: true });
  for (const [name, rows] of Object.entries(tables)) {
    const own = rows.filter((row) => row['day'] === day).map(({ day: _, ...rest }) => rest);
    await writeFile(join(folder, `${name}.csv`), tableText(columnsOf(name as TableName), own));
  }
  await writeFile(
    join(folder, 'datapackage.json'),
    JSON.stringify({ name: 'lanebench-day', day, resources: [] }),
  );
  const provenance = { parameters: { day: { protocol: { section_u_m: 0.02 } } } };
  await writeFile(join(folder, 'provenance.json'), JSON.stringify(provenance));
}
