/** The day folder's text files, as formats.md section 1 has them. */
import { FILM_KINDS, filmFile, lampsSeen } from './cameras.ts';
import { judgementsOf, marksOf, raters, sectionTimes, WITHDRAWN_KEPT_S } from './marks.ts';
import { calibrationOf, channelOf, checkOf, sampleTimes, sensorFor, zeroOf } from './physics.ts';
import type { Dialect } from './plan.ts';
import {
  DAY,
  HANDS,
  POOL,
  RAW_MAX,
  RUN_M,
  SECTION_FROM_WALL_M,
  SENSORS,
  SWIMMERS,
  type Swimmer,
} from './scenario.ts';
import type { Swim } from './swim.ts';

type Cell = string | number;

function csv(header: string, rows: readonly (readonly Cell[])[]): string {
  return [header, ...rows.map((row) => row.join(','))].join('\n') + '\n';
}

export function dayJson(): string {
  const day = {
    format: 'lanebench-day/1',
    day: DAY,
    date: '2026-03-14',
    venue: 'Harbour Baths (invented)',
    pool: POOL,
    protocol: {
      name: '25 m sprint, middle 10 m',
      stroke: 'front crawl',
      run_m: RUN_M,
      section_from_wall_m: SECTION_FROM_WALL_M,
      section_u_m: 0.02,
      section_points: { start: 'head', end: 'head' },
      attempts: 2,
      rest_min_s: 180,
      marking_u_s: 0.008,
      tap_offset_mm: 10,
      speed_variation_pct: 12,
      filter: { kind: 'butterworth', order: 2, cutoff_hz: 12 },
      accept: {
        min_strokes_per_hand: 3,
        max_gap_ms: 20,
        max_saturated_fraction: 0.001,
        max_zero_shift_kpa: 0.15,
        max_check_deviation_kpa: 0.3,
      },
    },
    cameras: [
      { camera: 'A', frame_rate_hz: 50 },
      { camera: 'B', frame_rate_hz: 59.94 },
    ],
    sensors: SENSORS.map((s) => ({
      sensor: s.sensor,
      hand: s.hand,
      range_kpa: s.rangeKpa,
      raw_unit: 'count',
      raw_min: 0,
      raw_max: RAW_MAX,
    })),
    trace_columns: {
      time: { column: 'time', unit: 's' },
      left: { column: 'L', sensor: 'S-01' },
      right: { column: 'R', sensor: 'S-02' },
    },
  };
  return JSON.stringify(day, null, 2) + '\n';
}

export function rosterCsv(): string {
  const row = (s: Swimmer): Cell[] => [
    s.participant,
    s.sex,
    s.birthYear,
    s.heightCm,
    s.massKg,
    s.areaCm2.left,
    s.areaCm2.right,
    2,
    s.consent,
    s.note,
  ];
  return csv(
    'participant,sex,birth_year,height_cm,mass_kg,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,consent,note',
    SWIMMERS.map(row),
  );
}

export function calibrationCsv(): string {
  return csv(
    'sensor,step,direction,applied,applied_unit,raw,reference_scale_u_pct,reference_zero_u',
    SENSORS.flatMap((s) =>
      calibrationOf(s).map((c, i) => [
        s.sensor,
        i + 1,
        c.direction,
        c.applied,
        s.applied.unit,
        c.raw,
        s.reference.scaleUPct,
        s.reference.zeroU,
      ]),
    ),
  );
}

export function checksCsv(): string {
  return csv(
    'sensor,when,applied,applied_unit,raw',
    SENSORS.flatMap((s) =>
      (['start', 'end'] as const).flatMap((when) =>
        checkOf(s, when).map(({ applied, raw }): Cell[] => [s.sensor, when, applied, 'kPa', raw]),
      ),
    ),
  );
}

export function zerosCsv(swims: readonly Swim[]): string {
  const rows = swims.flatMap((swim) => {
    if (swim.trial.zeros === 'none' || swim.trial.dialect === null) return [];
    return HANDS.flatMap((hand) => {
      const zero = zeroOf(swim, hand);
      const { sensor } = sensorFor(swim, hand);
      const before: Cell[] = [sensor, swim.trial.trial, 'before', zero.beforeRaw];
      const after: Cell[] = [sensor, swim.trial.trial, 'after', zero.afterRaw];
      return swim.trial.zeros === 'before' ? [before] : [before, after];
    });
  });
  return csv('sensor,trial,when,raw', rows);
}

export const traceFile = (swim: Swim): string =>
  swim.trial.dialect === null ? '' : `traces/${swim.trial.trial}.csv`;

export function trialsCsv(swims: readonly Swim[]): string {
  const rows = swims.map((swim): Cell[] => {
    const { trial } = swim;
    const film = trial.films[0];
    const section = sectionTimes(swim);
    const u = film ? Math.round(1e4 / FILM_KINDS[film.kind].nominalHz / Math.sqrt(12)) / 1e4 : 0.12;
    return [
      trial.trial,
      trial.participant,
      trial.attempt,
      'sprint',
      traceFile(swim),
      film ? filmFile(swim, film) : '',
      trial.sensors.left ?? '',
      trial.sensors.right ?? '',
      section.startS,
      section.endS,
      film ? 'video' : 'stopwatch',
      u,
      trial.status,
      trial.exclusionReason,
    ];
  });
  return csv(
    'trial,participant,attempt,condition,trace,video,left_sensor,right_sensor,section_start_s,section_end_s,timing_method,timing_u_s,status,exclusion_reason',
    rows,
  );
}

export function videosCsv(swims: readonly Swim[]): string {
  return csv(
    'trial,camera,file',
    swims.flatMap((swim) =>
      swim.trial.films.slice(1).map((film) => [swim.trial.trial, film.camera, filmFile(swim, film)]),
    ),
  );
}

export function syncCsv(swims: readonly Swim[]): string {
  const rows = swims.flatMap((swim) =>
    swim.trial.films.flatMap((film) =>
      lampsSeen(swim, film)
        .filter((seen) => film.syncWith.includes(seen.lamp))
        .map((seen): Cell[] => [
          swim.trial.trial,
          film.camera,
          seen.traceS,
          Math.round(seen.videoS * 1e6) / 1e6,
          seen.lamp === 0 ? 'tap on the left hand with lamp' : 'lamp',
        ]),
    ),
  );
  return csv('trial,camera,trace_s,video_s,what', rows);
}

export function eventsCsv(swims: readonly Swim[]): string {
  const rows = swims.flatMap((swim) =>
    raters(swim).flatMap((rater) =>
      marksOf(swim, rater).map((m): Cell[] => [
        swim.trial.trial,
        m.hand,
        m.stroke,
        m.event,
        m.timeS,
        m.clock,
        m.camera,
        m.rater,
      ]),
    ),
  );
  return csv('trial,hand,stroke,event,time_s,clock,camera,rater', rows);
}

export function strokesCsv(swims: readonly Swim[]): string {
  const rows = swims.flatMap((swim) =>
    raters(swim).flatMap((rater) =>
      judgementsOf(swim, rater).map((j): Cell[] => [
        swim.trial.trial,
        j.hand,
        j.stroke,
        j.entry,
        j.breath,
        j.exclusionReason,
        j.rater,
      ]),
    ),
  );
  return csv('trial,hand,stroke,entry_position,breath,exclusion_reason,rater', rows);
}

const DIALECTS: Record<
  Dialect,
  { bom: string; comments: string[]; separator: string; units: string[]; eol: string }
> = {
  comma: { bom: '', comments: [], separator: ',', units: [], eol: '\n' },
  semicolon: { bom: '\uFEFF', comments: [], separator: ';', units: [], eol: '\r\n' },
  tab: {
    bom: '',
    comments: ['# hand pressure, 500 samples per second', '# raw converter counts, zero not taken off'],
    separator: '\t',
    units: ['s\tcount\tcount'],
    eol: '\n',
  },
};

export function traceCsv(swim: Swim, dialect: Dialect): string {
  const { bom, comments, separator, units, eol } = DIALECTS[dialect];
  const channels = HANDS.map((hand) => channelOf(swim, hand));
  const kept = swim.swimmer.consent === 'withdrawn' ? WITHDRAWN_KEPT_S : Infinity;
  const rows = sampleTimes(swim).flatMap((t, i) => {
    if (t > kept) return [];
    const time = t.toFixed(3);
    const cells = channels.map((c) => c.missing.get(i) ?? String(c.raw[i]));
    return [[dialect === 'semicolon' ? time.replace('.', ',') : time, ...cells].join(separator)];
  });
  return bom + [...comments, ['time', 'L', 'R'].join(separator), ...units, ...rows].join(eol) + eol;
}
