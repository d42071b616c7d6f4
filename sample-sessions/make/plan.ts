/** The running order: one entry per trial, with its files, clocks and planned fault. */
import type { Hand } from './scenario.ts';

export type FilmKind = 'mp4-50' | 'mp4-5994' | 'mp4-vfr' | 'webm-50' | 'webm-5994';
export type Dialect = 'comma' | 'semicolon' | 'tab';

export type Film = {
  camera: 'A' | 'B';
  kind: FilmKind;
  /** True clock: trace = offset + rate × video. */
  offsetS: number;
  rate: number;
  /** Which of the trial's lamp moments (0 = the tap at the start) a person noted for this camera. */
  syncWith: readonly number[];
};

type Gap = { hand: Hand; strokeInSection: number; samples: number; write: '' | 'NaN' };

export type Trial = {
  trial: string;
  participant: string;
  attempt: 1 | 2;
  speedFactor: number;
  forceFactor: number;
  dialect: Dialect | null;
  films: readonly Film[];
  marked: boolean;
  propulsionOn: 'video' | 'trace';
  secondRater: boolean;
  status: 'recorded' | 'accepted' | 'excluded';
  exclusionReason: string;
  sensors: Partial<Record<Hand, string>>;
  zeros: 'both' | 'before' | 'none';
  /** Zero shift put on the left sensor, in kPa, beyond the ordinary drift. */
  leftShiftKpa: number;
  gaps: readonly Gap[];
  /** A stroke that no rater could see. */
  unseen: { hand: Hand; stroke: number } | null;
  laneRope: { hand: Hand; strokeInSection: number } | null;
  lastHand: Hand;
  /** What is wrong on purpose; empty for a sound trial. */
  fault: string;
};

function filmA(kind: FilmKind, offsetS: number, rate: number, syncWith: readonly number[] = [0, 1, 2]): Film {
  return { camera: 'A', kind, offsetS, rate, syncWith };
}

function trial(code: string, speedFactor: number, film: Film | null, other: Partial<Trial> = {}): Trial {
  return {
    trial: code,
    participant: code.slice(0, 3),
    attempt: code.endsWith('1') ? 1 : 2,
    speedFactor,
    forceFactor: 1,
    dialect: 'comma',
    films: film ? [film] : [],
    marked: true,
    propulsionOn: 'video',
    secondRater: false,
    status: 'recorded',
    exclusionReason: '',
    sensors: {},
    zeros: 'both',
    leftShiftKpa: 0,
    gaps: [],
    unseen: null,
    laneRope: null,
    lastHand: code.charCodeAt(2) % 2 === 0 ? 'left' : 'right',
    fault: '',
    ...other,
  };
}

export const TRIALS: readonly Trial[] = [
  trial('P01-1', 1, filmA('mp4-50', -1.4372, 1.00002, [0, 1, 2, 3]), {
    status: 'accepted',
    propulsionOn: 'trace',
    films: [
      filmA('mp4-50', -1.4372, 1.00002, [0, 1, 2, 3]),
      { camera: 'B', kind: 'webm-5994', offsetS: 6.2817, rate: 0.99997, syncWith: [1, 2, 3] },
    ],
  }),
  trial('P02-1', 1, filmA('mp4-50', -0.8126, 1.00002), {
    status: 'accepted',
    dialect: 'semicolon',
    fault: 'none in the swim; the trace has semicolons, decimal commas, CRLF and a byte-order mark',
  }),
  trial('P03-1', 1, filmA('mp4-50', -1.1059, 1.00002, [0]), {
    status: 'accepted',
    dialect: 'tab',
    gaps: [{ hand: 'right', strokeInSection: 1, samples: 4, write: 'NaN' }],
    fault:
      'one synchronization pair only; the trace has tabs, a units row, comment lines and a harmless gap of 4 samples',
  }),
  trial('P04-1', 1, filmA('mp4-5994', -2.0413, 0.99998), {
    status: 'accepted',
    sensors: { left: 'S-03' },
    fault: 'spare left sensor S-03 worn; film at 59.94 frames per second',
  }),
  trial('P05-1', 1, filmA('webm-50', -0.6891, 1.00002, [0, 2]), {
    status: 'accepted',
    unseen: { hand: 'right', stroke: 3 },
    fault:
      'right stroke 3 (before the section) hidden by bubbles and not marked; two synchronization pairs; VP9 film',
  }),
  trial('P06-1', 1, filmA('mp4-50', -1.7744, 1.00002), {
    propulsionOn: 'trace',
    zeros: 'before',
    fault: 'zero read before the trial only',
  }),
  trial('P07-1', 1, filmA('mp4-50', 0.1538, 1.00002), {
    leftShiftKpa: 0.31,
    fault: 'left zero shifts by about 0.3 kPa, beyond max_zero_shift_kpa',
  }),
  trial('P08-1', 1, null, { fault: 'consent withdrawn: never processed, exported, hashed or named' }),
  trial('P01-2', 1.012, filmA('mp4-50', -0.5483, 1.00002), {
    secondRater: true,
    fault: 'none; marked by a second rater too',
  }),
  trial('P02-2', 0.991, filmA('mp4-50', -1.2665, 1.00002), {
    gaps: [{ hand: 'left', strokeInSection: 2, samples: 44, write: '' }],
    fault:
      'dropout: the left channel is empty for 44 samples (88 ms) in the propulsion of its second counted stroke',
  }),
  trial('P03-2', 0.985, filmA('mp4-50', 0, 1, []), {
    dialect: null,
    fault: 'film but no trace: timing and coordination only, forces empty',
  }),
  trial('P04-2', 1.008, filmA('mp4-vfr', -0.937, 1.00004), {
    zeros: 'none',
    fault: 'no zero reading; film with a variable frame rate',
  }),
  trial('P05-2', 1.01, filmA('mp4-50', -1.5218, 1.00002), {
    sensors: { right: 'S-04' },
    forceFactor: 1.1,
    fault:
      'saturated: spare right sensor S-04 (10 kPa) clips at the top of every strong right stroke, and is off at the end of the day',
  }),
  trial('P06-2', 1.006, filmA('mp4-50', -0.7307, 1.00002), {
    marked: false,
    fault: 'not marked yet: trace and film, no events',
  }),
  trial('P07-2', 0.97, filmA('mp4-50', -1.0194, 1.00002), {
    status: 'excluded',
    exclusionReason: 'hit the lane rope inside the section',
    laneRope: { hand: 'left', strokeInSection: 2 },
    fault: 'excluded by the lab; one stroke excluded for the lane rope',
  }),
  trial('P08-2', 1, null, { fault: 'consent withdrawn: never processed, exported, hashed or named' }),
];
