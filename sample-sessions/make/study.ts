/**
 * Writes the invented study: three days, 24 swimmers, two trials each and day, with group differences that are known
 * because they were put in (`EFFECTS`). Datasets only: there are no recordings behind them.
 * `node sample-sessions/make/study.ts [FOLDER]`; without FOLDER it is sample-sessions/small-study.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Cell } from '../../core/base/csv.ts';
import { DATASET_FIELDS } from '../../core/dataset/dataset.ts';
import { codebook, dataPackage, printTable } from '../../core/dataset/package.ts';
import about from '../../package.json' with { type: 'json' };
import { randomFor } from './random.ts';

const DAYS = ['2026-05-09', '2026-05-16', '2026-05-23'] as const;
const POSITIONS = ['above', 'level', 'below'] as const;

/** What was put in; means over many such swimmers come to these. */
const EFFECTS = {
  idc_pct: {
    mean: { above: -9, level: -5.5, below: -3 },
    paddles: 1.5,
    between_swimmers_sd: 1.8,
    within_swimmer_sd: 1.1,
  },
  velocity_m_s: {
    mean: { female: 1.58, male: 1.74 },
    paddles: 0.05,
    between_swimmers_sd: 0.05,
    within_swimmer_sd: 0.02,
  },
  mean_force_n: {
    mean: { female: 62, male: 84 },
    paddles: 12,
    between_swimmers_sd: 8,
    within_swimmer_sd: 3,
  },
} as const;

type Row = Readonly<Record<string, Cell>>;
type Tables = Readonly<Record<keyof typeof DATASET_FIELDS, readonly Row[]>>;

const round = (value: number, decimals: number) => Number(value.toFixed(decimals));

interface Swimmer {
  readonly participant: string;
  readonly sex: 'female' | 'male';
  readonly entry: (typeof POSITIONS)[number];
  readonly row: Row;
  readonly idcPct: number;
  readonly velocity: number;
  readonly forceN: number;
}

function swimmers(): readonly Swimmer[] {
  return Array.from({ length: 24 }, (_, k) => {
    const { normal, uniform } = randomFor(`study swimmer ${k}`);
    const sex = k % 2 === 0 ? 'female' : 'male';
    const entry = POSITIONS[Math.floor(k / 2) % 3]!;
    const participant = `W${String(k + 1).padStart(2, '0')}`;
    const tall = normal(sex === 'female' ? 171 : 184, 6);
    const areaCm2 = round(0.75 * tall + (sex === 'female' ? 12 : 38) + normal(0, 5), 0);
    return {
      participant,
      sex,
      entry,
      row: {
        participant,
        sex,
        birth_year: 2000 + Math.floor(7 * uniform()),
        height_cm: round(tall, 1),
        mass_kg: round(0.9 * (tall - 100) + normal(0, 4), 1),
        left_hand_area_cm2: areaCm2,
        right_hand_area_cm2: areaCm2 + 1,
        hand_area_u_cm2: 2,
        left_hand_area_method: 'traced',
        right_hand_area_method: 'traced',
        consent: 'given',
        film_consent: 'not_asked',
        film_sharing_consent: 'not_asked',
      },
      idcPct: EFFECTS.idc_pct.mean[entry] + normal(0, EFFECTS.idc_pct.between_swimmers_sd),
      velocity: EFFECTS.velocity_m_s.mean[sex] + normal(0, EFFECTS.velocity_m_s.between_swimmers_sd),
      forceN: EFFECTS.mean_force_n.mean[sex] + normal(0, EFFECTS.mean_force_n.between_swimmers_sd),
    };
  });
}

function trialsOf(
  swimmer: Swimmer,
  day: string,
): { readonly trials: readonly Row[]; readonly strokes: readonly Row[] } {
  const { normal, uniform } = randomFor(`study ${day} ${swimmer.participant}`);
  const trials: Row[] = [];
  const strokes: Row[] = [];
  for (const [k, condition] of (['sprint', 'paddles'] as const).entries()) {
    const paddles = (effect: { readonly paddles: number }) => (condition === 'paddles' ? effect.paddles : 0);
    const own = (effect: { readonly paddles: number; readonly within_swimmer_sd: number }) =>
      paddles(effect) + normal(0, effect.within_swimmer_sd);
    const trial = `${swimmer.participant}-${k + 1}`;
    const velocity = round(swimmer.velocity + own(EFFECTS.velocity_m_s), 4);
    const idc = round(swimmer.idcPct + own(EFFECTS.idc_pct), 3);
    const cycleS = round(1.18 - 0.25 * (velocity - 1.65) + normal(0, 0.02), 4);
    const force = swimmer.forceN + own(EFFECTS.mean_force_n);
    const hands = { left: round(force - 2, 2), right: round(force + 2, 2) };
    const highS = round(
      Math.max(0, { above: 0.16, level: 0.06, below: 0 }[swimmer.entry] + normal(0, 0.015)),
      3,
    );
    const position = uniform() < 0.9 ? swimmer.entry : POSITIONS[Math.floor(3 * uniform())]!;
    const isLost = uniform() < 0.03;
    const base = { trial, participant: swimmer.participant };
    trials.push({
      ...base,
      attempt: k + 1,
      condition,
      status: isLost ? 'excluded' : 'accepted',
      exclusion_reason: isLost ? 'A sensor came loose' : null,
      check: isLost ? 'swim_again' : 'good',
      section_m: 10,
      section_time_s: round(10 / velocity, 4),
      velocity_m_s: velocity,
      velocity_m_s_u: 0.012,
      cycle_time_s: cycleS,
      cycle_time_s_u: 0.004,
      stroke_rate_cpm: round(60 / cycleS, 3),
      stroke_length_m: round(velocity * cycleS, 4),
      idc_pct: idc,
      idc_pct_u: 0.6,
      idc_left_pct: round(idc - 0.5, 3),
      idc_right_pct: round(idc + 0.5, 3),
      high_hand_s: highS,
      high_hand_s_u: 0.008,
      entry_position: position,
      ...Object.fromEntries(
        (['left', 'right'] as const).flatMap((hand) => [
          [`mean_force_${hand}_n`, hands[hand]],
          [`mean_force_${hand}_n_u`, round(0.03 * hands[hand], 2)],
          [`peak_force_${hand}_n`, round(1.9 * hands[hand], 2)],
          [`peak_force_${hand}_n_u`, round(0.055 * hands[hand], 2)],
          [`impulse_${hand}_ns`, round(0.48 * hands[hand], 2)],
          [`impulse_${hand}_ns_u`, round(0.015 * hands[hand], 2)],
        ]),
      ),
      force_symmetry_pct: round((100 * (hands.right - hands.left)) / ((hands.right + hands.left) / 2), 3),
      force_symmetry_pct_u: 4.2,
      strokes_left: 4,
      strokes_right: 4,
      strokes_measured: 0,
      strokes_judged: 8,
      propulsion_basis: 'video',
      rater: 'R1',
      left_sensor: 'S-01',
      right_sensor: 'S-02',
    });
    for (const hand of ['left', 'right'] as const)
      for (let stroke = 1; stroke <= 4; stroke++) {
        const startS = round(0.8 + cycleS * (stroke - 1) + (hand === 'left' ? 0 : cycleS / 2), 3);
        const strength = hands[hand] * (1 + normal(0, 0.04));
        strokes.push({
          ...base,
          hand,
          stroke,
          in_section: true,
          entry_position: position,
          breath: 'none',
          propulsion_start_s: startS,
          propulsion_end_s: round(startS + 0.5 * cycleS + (idc / 100) * cycleS, 3),
          idc_pct: stroke === 1 && hand === 'left' ? null : round(idc + normal(0, 1), 3),
          peak_force_n: round(1.9 * strength, 2),
          mean_force_n: round(strength, 2),
          impulse_ns: round(0.48 * strength, 2),
        });
      }
  }
  return { trials, strokes };
}

function tablesOf(day: string, who: readonly Swimmer[]): Tables {
  const swum = who.map((swimmer) => trialsOf(swimmer, day));
  const calibrations = (['left', 'right'] as const).map((hand, k) => ({
    sensor: `S-0${k + 1}`,
    hand,
    intercept_raw: 8000 + 40 * k,
    sensitivity_raw_per_kpa: 3600 - 25 * k,
    sensitivity_u: 18,
    residual_sd_kpa: 0.02,
    nonlinearity_pct_fs: 0.3,
    hysteresis_pct_fs: 0.2,
    verdict: 'accepted',
  }));
  return {
    participants: who.map(({ row }) => row),
    calibrations,
    trials: swum.flatMap(({ trials }) => trials),
    strokes: swum.flatMap(({ strokes }) => strokes),
    refused: [],
  };
}

const TITLES = {
  participants: 'Swimmers',
  calibrations: 'Sensor calibrations',
  trials: 'Trials',
  strokes: 'Arm strokes',
  refused: 'Inputs left out',
} as const;

const json = (value: unknown) => `${JSON.stringify(value, null, 2)}\n`;

function writeDataset(folder: string, day: string, rows: Tables): void {
  mkdirSync(folder, { recursive: true });
  const tables = Object.entries(DATASET_FIELDS).map(([name, fields]) => ({
    name: name as keyof Tables,
    title: TITLES[name as keyof Tables],
    fields,
    key: [],
    rows: rows[name as keyof Tables].map((row) => fields.map((field) => row[field.name] ?? null)),
  }));
  const packaged = new Map(
    tables.map((table) => {
      const [path, text] = [`${table.name}.csv`, printTable(table)];
      writeFileSync(join(folder, path), text);
      const sha256 = createHash('sha256').update(text).digest('hex');
      return [table.name, { path, bytes: Buffer.byteLength(text), sha256 }] as const;
    }),
  );
  writeFileSync(
    join(folder, 'datapackage.json'),
    json(dataPackage(day, about.version, tables as never, packaged)),
  );
  writeFileSync(join(folder, 'README.md'), codebook(day, about.version, tables));
  const parameters = {
    day: { day, venue: 'invented', protocol: { section_u_m: 0.02, section_from_wall_m: [15, 5] } },
  };
  writeFileSync(
    join(folder, 'provenance.json'),
    json({ program: { name: 'lanebench', version: about.version }, invented: true, parameters, inputs: [] }),
  );
}

const PLAN = {
  format: 'lanebench-plan/1',
  name: 'entry-and-coordination',
  stated: '2026-05-01',
  keep: { status: ['accepted', 'recorded'], where: { condition: ['sprint'] } },
  adjust: 'holm',
  questions: [
    {
      id: 'entry',
      kind: 'planned',
      words: 'Do swimmers whose hand enters above the shoulder leave a longer gap in propulsion?',
      why: 'Two groups of different swimmers; one mean each.',
      outcome: 'idc_pct',
      by: 'entry_position',
      groups: ['above', 'level'],
      test: 'welch',
    },
    {
      id: 'paddles',
      kind: 'planned',
      words: 'Is a swimmer’s hand force higher with paddles?',
      why: 'Every swimmer swam with and without: each is held against themselves.',
      outcome: 'mean_force_left_n',
      by: 'condition',
      groups: ['paddles', 'sprint'],
      test: 'paired',
      keep: {},
    },
    {
      id: 'all entries',
      words: 'Does coordination differ between the three entries?',
      why: 'Three groups of different swimmers; spreads need not be equal.',
      outcome: 'idc_pct',
      by: 'entry_position',
      groups: ['above', 'level', 'below'],
      test: 'welch_anova',
    },
    {
      id: 'length and speed',
      words: 'How much faster is a swimmer whose stroke is longer?',
      why: 'Two numbers of each swimmer.',
      outcome: 'velocity_m_s',
      on: 'stroke_length_m',
      test: 'regression',
    },
    {
      id: 'who enters how',
      words: 'Do women and men enter alike?',
      why: 'Counts of swimmers, few in some cells.',
      counts: ['sex', 'entry_position'],
      test: 'fisher',
    },
    {
      id: 'from day to day',
      words: 'How far do a swimmer’s own sprints lie apart?',
      why: 'Swimmers with two sprints or more.',
      outcome: 'idc_pct',
      test: 'repeatability',
    },
  ],
};

const home = process.argv[2] ?? join(dirname(import.meta.dirname), 'small-study');
rmSync(home, { recursive: true, force: true });
const who = swimmers();
for (const day of DAYS) writeDataset(join(home, day), day, tablesOf(day, who));
writeFileSync(join(home, 'plan.json'), json(PLAN));
writeFileSync(join(home, 'effects.json'), json(EFFECTS));
const lanebench = join(import.meta.dirname, '../../main/cli/lanebench.ts');
const folders = DAYS.map((day) => join(home, day));
execFileSync(process.execPath, [lanebench, 'pool', ...folders, '--out', join(home, 'pool')], {
  stdio: 'inherit',
});
