/**
 * The sample day as three labs might have it in a folder of their own: names, folders, separators, decimal signs,
 * encodings, columns and words of each its own. Made by this script from the day's files alone, so that what comes back
 * can be held against the day. Invented data.
 */
import { copyFile, mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, extname, join } from 'node:path';
import { records, type CsvRow } from '../../files/day-builder.ts';
import { SAMPLE } from '../../cli/run.ts';

export const LAYOUTS = ['flat', 'by swimmer', 'by trial'] as const;
export type Layout = (typeof LAYOUTS)[number];

/** A table as a lab writes it: heading and the cell of a row. */
type Columns = readonly (readonly [string, (row: CsvRow) => string])[];

interface Style {
  readonly separator: string;
  readonly decimal: '.' | ',';
  readonly encoding: 'utf-8' | 'latin1' | 'utf-16';
}

const FURTHER = ['calibration', 'zeros', 'checks', 'sync', 'events', 'strokes'];

/** Bytes of a text in an encoding; ISO 8859-1 is the first 256 characters of Unicode. */
function encode(text: string, encoding: Style['encoding']): Buffer {
  if (encoding === 'utf-16') return Buffer.from(`\uFEFF${text}`, 'utf16le');
  return Buffer.from(text, encoding === 'latin1' ? 'latin1' : 'utf8');
}

/** A number in a lab's way; text stays. */
const told = (cell: string, { decimal }: Style) =>
  /^-?\d+\.\d+$/.test(cell) ? cell.replace('.', decimal) : cell;

function tableText(rows: readonly CsvRow[], columns: Columns, style: Style): Buffer {
  const quoted = (cell: string) => (cell.includes(style.separator) ? `"${cell}"` : cell);
  const line = (cells: readonly string[]) => `${cells.map(quoted).join(style.separator)}\r\n`;
  const body = rows.map((row) => line(columns.map(([, cell]) => told(cell(row), style))));
  return encode(line(columns.map(([heading]) => heading)) + body.join(''), style.encoding);
}

const same = (...names: readonly string[]): Columns => names.map((name) => [name, (row) => row[name] ?? '']);
const renamed = (headings: Readonly<Record<string, string>>): Columns =>
  Object.entries(headings).map(([column, heading]) => [heading, (row) => row[column] ?? '']);
const swapped = (
  headings: Readonly<Record<string, string>>,
  words: Readonly<Record<string, string>>,
): Columns => renamed(headings).map(([heading, cell]) => [heading, (row) => words[cell(row)] ?? cell(row)]);

interface Plan {
  readonly style: Style;
  readonly trace: (row: CsvRow) => string;
  readonly film: (row: CsvRow, camera: string, ending: string) => string;
  readonly samples: (time: string, left: string, right: string) => string;
  readonly sampleHeader: string;
  readonly files: readonly object[];
  readonly traceColumns: object;
  readonly roster: { readonly file: string; readonly columns: Columns; readonly rule: object };
  readonly trials: { readonly file: string; readonly columns: Columns; readonly rule: object };
}

const AREAS = {
  left_hand_area_cm2: 'Area left hand cm2',
  right_hand_area_cm2: 'Area right hand cm2',
  hand_area_u_cm2: 'Area uncertainty cm2',
};
const SECTION = {
  section_start_s: 'from',
  section_end_s: 'end',
  timing_method: 'how',
  timing_u_s: 'plus minus',
  status: 'state',
  exclusion_reason: 'why not',
};
const GERMAN_ROSTER = {
  participant: 'Kürzel',
  consent: 'Einverständnis',
  sex: 'Geschlecht',
  birth_year: 'Jahrgang',
  height_cm: 'Größe',
  mass_kg: 'Masse',
  left_hand_area_cm2: 'Fläche links',
  right_hand_area_cm2: 'Fläche rechts',
  hand_area_u_cm2: 'Unsicherheit',
};
const GERMAN_TRIALS = {
  attempt: 'Lauf',
  participant: 'Wer',
  section_end_s: 'Ende',
  section_start_s: 'Anfang',
  timing_method: 'Art',
  timing_u_s: 'u',
  left_sensor: 'Sensor links',
  right_sensor: 'Sensor rechts',
  status: 'Stand',
  exclusion_reason: 'Grund',
};
const GERMAN = {
  given: 'ja',
  assent_and_guardian: 'assent and guardian',
  withdrawn: 'zurückgezogen',
  female: 'weiblich',
  male: 'männlich',
};
const back = (words: Readonly<Record<string, string>>) =>
  Object.fromEntries(Object.entries(words).map(([ours, theirs]) => [theirs, ours]));

const FLAT: Plan = {
  style: { separator: ';', decimal: '.', encoding: 'utf-8' },
  trace: (row) => `${row['participant']!}_${row['attempt']!}.csv`,
  film: (row, camera, ending) => `${row['participant']!}_${row['attempt']!}_${camera}${ending}`,
  samples: (time, left, right) => `${right};${left};${time}\n`,
  sampleHeader: 'R;L;t\n',
  files: [
    { kind: 'trace', name: '{participant}_{attempt}.csv' },
    { kind: 'film', name: '{participant}_{attempt}_{camera}.mp4' },
    { kind: 'film', name: '{participant}_{attempt}_{camera}.webm' },
  ],
  traceColumns: {
    time: { column: 't', unit: 's' },
    left: { column: 'L', sensor: 'S-01' },
    right: { column: 'R', sensor: 'S-02' },
  },
  roster: {
    file: 'people.csv',
    columns: renamed({
      participant: 'Code',
      sex: 'Sex',
      birth_year: 'Born',
      height_cm: 'Height cm',
      mass_kg: 'Mass kg',
      ...AREAS,
      consent: 'Consent',
    }),
    rule: {
      columns: {
        participant: 'Code',
        sex: 'Sex',
        birth_year: 'Born',
        height_cm: 'Height cm',
        mass_kg: 'Mass kg',
        ...AREAS,
        consent: 'Consent',
      },
    },
  },
  trials: {
    file: 'times.csv',
    columns: renamed({
      participant: 'Code',
      attempt: 'No',
      condition: 'Kind',
      left_sensor: 'Sensor left',
      right_sensor: 'Sensor right',
      ...SECTION,
    }),
    rule: {
      columns: {
        participant: 'Code',
        attempt: 'No',
        condition: 'Kind',
        left_sensor: 'Sensor left',
        right_sensor: 'Sensor right',
        ...SECTION,
      },
    },
  },
};

const BY_SWIMMER: Plan = {
  style: { separator: '\t', decimal: ',', encoding: 'latin1' },
  trace: (row) => `März/${row['participant']!}/lauf${row['attempt']!} ${row['condition']!}.TXT`,
  film: (row, camera, ending) =>
    `März/${row['participant']!.toLowerCase()}-film/k${camera} lauf${row['attempt']!} ${row['condition']!}${ending.toUpperCase()}`,
  samples: (time, left, right) => `${left}\t${String(Math.round(1000 * Number(time)))}\t0,5\t${right}\n`,
  sampleHeader: '# Aufnahme\nlinks\tZeit\tTemperatur\trechts\n\tms\t\t\n',
  files: [
    { kind: 'trace', name: '{any}/{participant}/lauf{attempt} {condition}.txt' },
    { kind: 'film', name: '{any}/{participant}-film/k{camera} lauf{attempt} {condition}.mp4' },
    { kind: 'film', name: '{any}/{participant}-film/k{camera} lauf{attempt} {condition}.webm' },
  ],
  traceColumns: {
    time: { column: 'Zeit', unit: 'ms' },
    left: { column: 'links', sensor: 'S-01' },
    right: { column: 'rechts', sensor: 'S-02' },
  },
  roster: {
    file: 'Liste.txt',
    columns: swapped(GERMAN_ROSTER, GERMAN),
    rule: {
      columns: GERMAN_ROSTER,
      values: {
        sex: { weiblich: 'female', männlich: 'male' },
        consent: back({
          given: 'ja',
          assent_and_guardian: 'assent and guardian',
          withdrawn: 'zurückgezogen',
        }),
      },
      encoding: 'iso-8859-1',
    },
  },
  trials: {
    file: 'Zeiten.txt',
    columns: renamed(GERMAN_TRIALS),
    rule: { columns: GERMAN_TRIALS, encoding: 'windows-1252' },
  },
};

const ONE_TABLE: Columns = [
  ...same(
    'trial',
    'participant',
    'condition',
    ...Object.keys(SECTION),
    'left_sensor',
    'right_sensor',
    'attempt',
  ),
  ...renamed({
    sex: 'sex',
    birth_year: 'birth year',
    height_cm: 'height (cm)',
    mass_kg: 'mass (kg)',
    ...AREAS,
    consent: 'consent',
  }),
];
const identity = (...names: readonly string[]) => Object.fromEntries(names.map((name) => [name, name]));

const BY_TRIAL: Plan = {
  style: { separator: ',', decimal: '.', encoding: 'utf-16' },
  trace: (row) => `2026/rec 14-03 ${row['trial']!.toLowerCase()}.csv`,
  film: (row, camera, ending) => `2026/${camera.toLowerCase()}/clip ${row['trial']!}${ending}`,
  samples: (time, left, right) => `"${right}",${time},${left}\r\n`,
  sampleHeader: '\uFEFFright raw,time,left raw\r\n',
  files: [
    { kind: 'trace', name: 'rec {any} {trial}.csv' },
    { kind: 'film', name: '{any}/{camera}/clip {trial}.mp4' },
    { kind: 'film', name: '{any}/{camera}/clip {trial}.webm' },
  ],
  traceColumns: {
    time: { column: 'time', unit: 's' },
    left: { column: 'left raw', sensor: 'S-01' },
    right: { column: 'right raw', sensor: 'S-02' },
  },
  roster: {
    file: 'Everything.csv',
    columns: ONE_TABLE,
    rule: {
      columns: {
        ...identity('participant', 'sex', 'consent'),
        birth_year: 'birth year',
        height_cm: 'height (cm)',
        mass_kg: 'mass (kg)',
        ...AREAS,
      },
    },
  },
  trials: {
    file: 'Everything.csv',
    columns: ONE_TABLE,
    rule: {
      columns: identity(
        'trial',
        'participant',
        'condition',
        'attempt',
        ...Object.keys(SECTION),
        'left_sensor',
        'right_sensor',
      ),
    },
  },
};

const PLANS: Readonly<Record<Layout, Plan>> = { flat: FLAT, 'by swimmer': BY_SWIMMER, 'by trial': BY_TRIAL };

const sampleTable = async (name: string) => records(await readFile(join(SAMPLE, `${name}.csv`), 'utf8'));

/** Writes the archive of a layout below `folder` and gives the map that brings it in. */
export async function buildArchive(layout: Layout, folder: string): Promise<object> {
  const plan = PLANS[layout];
  const write = async (path: string, bytes: Buffer | string) => {
    await mkdir(dirname(join(folder, path)), { recursive: true });
    await writeFile(join(folder, path), bytes);
  };
  const [roster, trials, videos] = [
    await sampleTable('roster'),
    await sampleTable('trials'),
    await sampleTable('videos'),
  ];
  const people = new Map(roster.map((row) => [row['participant']!, row]));
  const rowsOf = (columns: Columns) =>
    columns === ONE_TABLE ? trials.map((row) => ({ ...people.get(row['participant']!), ...row })) : null;
  await write(
    plan.roster.file,
    tableText(rowsOf(plan.roster.columns) ?? roster, plan.roster.columns, plan.style),
  );
  await write(
    plan.trials.file,
    tableText(rowsOf(plan.trials.columns) ?? trials, plan.trials.columns, plan.style),
  );
  for (const row of trials) {
    if (row['trace'] !== '')
      await write(plan.trace(row), traceIn(await readFile(join(SAMPLE, row['trace']!), 'utf8'), plan));
    const films = videos.filter(({ trial }) => trial === row['trial']);
    for (const [camera, file] of [
      ['A', row['video']!] as const,
      ...films.map((film) => [film['camera']!, film['file']!] as const),
    ]) {
      if (file === '') continue;
      const to = join(folder, plan.film(row, camera, extname(file)));
      await mkdir(dirname(to), { recursive: true });
      await copyFile(join(SAMPLE, file), to);
    }
  }
  const further: Record<string, object> = {};
  for (const name of FURTHER) {
    const text = await readFile(join(SAMPLE, `${name}.csv`), 'utf8');
    await write(`rest/${name} of the day.csv`, text);
    further[name] = {
      file: `${name} of the day.csv`,
      columns: identity(...text.slice(0, text.indexOf('\n')).trim().split(',')),
    };
  }
  await write('read me.txt', 'Invented.\n');
  const day = JSON.parse(await readFile(join(SAMPLE, 'day.json'), 'utf8')) as object;
  return {
    format: 'lanebench-map/1',
    name: layout,
    day: { ...day, trace_columns: plan.traceColumns },
    files: plan.files,
    roster: { file: plan.roster.file, ...plan.roster.rule },
    trials: { file: plan.trials.file, ...plan.trials.rule },
    ...further,
  };
}

/** A trace of the sample day, in whatever dialect it stands there, in that of a lab. */
function traceIn(text: string, plan: Plan): string {
  const lines = text
    .replaceAll(/\uFEFF|\r/g, '')
    .trim()
    .split('\n');
  const separator = [';', '\t', ','].find((one) =>
    lines.some((line) => line === ['time', 'L', 'R'].join(one)),
  )!;
  const samples = lines
    .filter((line) => /^\d/.test(line))
    .map((line) => line.split(separator).map((cell) => cell.replace(',', '.')));
  return (
    plan.sampleHeader + samples.map(([time, left, right]) => plan.samples(time!, left!, right!)).join('')
  );
}

/** Every file below a folder, by path with forward slashes. */
export async function pathsBelow(folder: string): Promise<readonly string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1))
    .toSorted();
}
