/** A small whole day of invented numbers: what the attacks damage. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { EVENTS } from '../../core/stroke/stroke.ts';

const FROM_START_S = [-0.4, -0.3, -0.1, 0, 0.25, 0.5, 0.6];

const DAY = {
  format: 'lanebench-day/1',
  day: 'attacked',
  date: '2026-03-14',
  venue: 'invented',
  pool: { length_m: 25, water_temperature_c: 27, latitude_deg: 54.3, altitude_m: 40 },
  protocol: {
    name: '20 m sprint',
    stroke: 'front crawl',
    run_m: 20,
    section_from_wall_m: [10, 0],
    section_u_m: 0.02,
    section_points: { start: 'head', end: 'head' },
    marking_u_s: 0.008,
    filter: { kind: 'butterworth', order: 2, cutoff_hz: 12 },
    accept: { min_strokes_per_hand: 3, max_gap_ms: 20, max_zero_shift_kpa: 0.15 },
  },
  cameras: [{ camera: 'A', frame_rate_hz: 50 }],
  sensors: [
    { sensor: 'S-01', hand: 'left', range_kpa: 15, raw_min: 0, raw_max: 65535 },
    { sensor: 'S-02', hand: 'right', range_kpa: 15, raw_min: 0, raw_max: 65535 },
  ],
  trace_columns: {
    time: { column: 'time', unit: 's' },
    left: { column: 'L', sensor: 'S-01' },
    right: { column: 'R', sensor: 'S-02' },
  },
};

function events(trial: string, clock: 'trace' | 'video'): string {
  let rows = '';
  for (const [side, hand] of ['left', 'right'].entries())
    for (let stroke = 1; stroke <= 4; stroke++)
      for (const [at, event] of EVENTS.entries()) {
        const time = 1.2 * stroke + 0.6 * side + FROM_START_S[at]! - (clock === 'video' ? 0.5 : 0);
        rows += `${trial},${hand},${stroke},${event},${time.toFixed(2)},${clock},${clock === 'video' ? 'A' : ''},R1\n`;
      }
  return rows;
}

function trace(): string {
  const push = (k: number, shift: number) =>
    Math.round(8000 + 12000 * Math.max(0, Math.sin((2 * Math.PI * (k / 100 - shift)) / 1.2)));
  return `time,L,R\n${Array.from({ length: 800 }, (_, k) => `${(k / 100).toFixed(2)},${push(k, 0)},${push(k, 0.6)}\n`).join('')}`;
}

function calibration(sensor: string): string {
  return [0, 5, 10, 15, 10, 5, 0]
    .map(
      (kpa, k) => `${sensor},${k + 1},${k < 4 ? 'up' : 'down'},${kpa},kPa,${8000 + 3600 * kpa + (k % 2)}\n`,
    )
    .join('');
}

/** The files of the day by their path. */
export function dayTexts(): ReadonlyMap<string, string> {
  const zeros = ['T1', 'T2'].flatMap((trial) =>
    ['S-01', 'S-02'].map((sensor) => `${sensor},${trial},before,8000\n${sensor},${trial},after,8010\n`),
  );
  return new Map([
    ['day.json', JSON.stringify(DAY, null, 2)],
    [
      'roster.csv',
      'participant,sex,birth_year,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,consent,note\n' +
        'P01,female,2003,142,144,2,given,\nP02,male,2001,180,182,2,assent_and_guardian,"a, b"\n',
    ],
    [
      'calibration.csv',
      `sensor,step,direction,applied,applied_unit,raw\n${calibration('S-01')}${calibration('S-02')}`,
    ],
    ['zeros.csv', `sensor,trial,when,raw\n${zeros.join('')}`],
    [
      'trials.csv',
      'trial,participant,attempt,trace,section_start_s,section_end_s,timing_method,timing_u_s,status\n' +
        'T1,P01,1,traces/T1.csv,1,6.5,video,0.006,accepted\nT2,P02,1,traces/T2.csv,1,6.5,video,0.006,recorded\n',
    ],
    ['sync.csv', 'trial,camera,trace_s,video_s,what\nT2,A,0.5,0,lamp\nT2,A,3.5,3,lamp\nT2,A,6.5,6,lamp\n'],
    [
      'events.csv',
      `trial,hand,stroke,event,time_s,clock,camera,rater\n${events('T1', 'trace')}${events('T2', 'video')}`,
    ],
    [
      'strokes.csv',
      'trial,hand,stroke,entry_position,breath,exclusion_reason,rater\nT1,left,1,above,none,,R1\nT2,right,2,below,left,,R1\n',
    ],
    ['traces/T1.csv', trace()],
    ['traces/T2.csv', trace()],
  ]);
}

/** Writes the day below a folder. */
export function writeDay(folder: string, texts = dayTexts()): void {
  for (const [name, text] of texts) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), text);
  }
}
