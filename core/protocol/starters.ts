/**
 * Protocols to start from. The lab changes them to its pool, its cameras and its swimmers; expected velocities, stroke
 * lengths and spreads are typical of trained adults in the sprint (common practice, no source).
 */
import { MAIN_CAMERA } from '../clock/clock.ts';
import type { ProtocolContent } from './content.ts';
import { DEFAULT_MARKING_U_S, DEFAULT_TAP_OFFSET_MM } from './protocol.ts';

export interface ProtocolStarter {
  readonly code: string;
  readonly name: string;
  /** What it is good for, one sentence. */
  readonly purpose: string;
  readonly content: ProtocolContent;
}

const CHECKLISTS: ProtocolContent['checklists'] = {
  before: [
    'A lifeguard is present and watches this lane',
    'Everything within reach of water is battery-powered and isolated; mains stay out of reach (local electrical code)',
    'Consent forms seen: measuring, filming and sharing film apart; assent and guardian for minors',
    'Skin under straps and sensors looked at; sensors and straps disinfected; nothing cuts in',
    'Each swimmer knows: stop on shoulder pain, and say so',
    'The lane is clear up to the wall, and stays so while somebody swims',
    'Section ends marked and measured with a tape; cameras stand square to them',
    'Sensors read zero in the water with both taps level',
  ],
  close: [
    'Everybody is out of the water and has said how the shoulders are',
    'Sensors rinsed in fresh water, disinfected and dried',
    'Batteries off, and charged away from the water',
    'Zeros read and a known pressure checked on each sensor',
    'Notes and incidents written down; who did not finish, and why',
    'Lane marks, cameras and cables taken from the deck',
  ],
};

const SPRINT: ProtocolContent = {
  name: '25 m sprint, middle 10 m',
  stroke: 'front crawl',
  start: 'push',
  poolLengthM: 25,
  runM: 25,
  sectionFromWallM: [15, 5],
  sectionUM: 0.02,
  sectionPoints: { start: 'head', end: 'head' },
  timing: {
    method: 'video',
    who: 'whoever marks the film',
    camera: MAIN_CAMERA,
    gateUS: 0.005,
    stopwatchUS: 0.07,
    views: { start: null, end: null },
  },
  attempts: 2,
  restMinS: 180,
  rateHz: 500,
  cameras: [{ camera: MAIN_CAMERA, frameRateHz: 50, sees: 'the whole section from the side' }],
  conditions: [],
  order: 'listed',
  accept: {
    minStrokesPerHand: 3,
    maxGapMs: 20,
    maxSaturatedFraction: 0.001,
    maxZeroShiftKpa: 0.15,
    maxCheckDeviationKpa: 0.3,
  },
  filter: { kind: 'butterworth', order: 2, cutoffHz: 12 },
  markingUS: DEFAULT_MARKING_U_S,
  tapOffsetMm: DEFAULT_TAP_OFFSET_MM,
  speedVariationPct: null,
  measures: [
    'hand_force',
    'stroke_rate',
    'stroke_length',
    'velocity',
    'index_of_coordination',
    'high_hand',
    'entry_position',
  ],
  checklists: CHECKLISTS,
  consentTextVersion: '',
  expected: { velocityMS: 1.75, strokeLengthM: 2, glideM: 7 },
  files: {
    time: { column: 'time', unit: 's' },
    left: 'left',
    right: 'right',
    leftHolds: null,
    rightHolds: null,
    names: ['{trial}', '{trial}_{camera}'],
  },
  comparison: null,
};

export const PROTOCOL_STARTERS: readonly ProtocolStarter[] = [
  {
    code: 'mid-pool-10',
    name: SPRINT.name,
    purpose:
      'Hand force, coordination and high-hand time of free swimming at full speed: the head is timed at both ends of 10 m in mid-pool, after the push-off and before anybody reaches for the wall.',
    content: SPRINT,
  },
  {
    code: 'sprint-to-wall',
    name: '20 m sprint to the wall, last 10 m',
    purpose:
      'The same up to the finish, from a start in the water. An arm’s reach hides in the velocity, the last stroke is cut short, and hands meet a hard wall at full speed.',
    content: {
      ...SPRINT,
      name: '20 m sprint to the wall, last 10 m',
      start: 'in_water',
      runM: 20,
      sectionFromWallM: [10, 0],
      sectionPoints: { start: 'head', end: 'hand' },
      expected: { velocityMS: 1.8, strokeLengthM: 2, glideM: 3 },
      checklists: {
        ...CHECKLISTS,
        before: [
          ...CHECKLISTS.before,
          'The wall is free and padded or smooth where hands touch at full speed; nobody stands or hangs on there',
        ],
      },
    },
  },
  {
    code: 'two-conditions',
    name: 'Two conditions, each swimmer in both',
    purpose:
      'What a change does to the same swimmer: two conditions (rename them to yours) in balanced order, planned for the paired difference.',
    content: {
      ...SPRINT,
      name: 'Two conditions, each swimmer in both',
      restMinS: 300,
      conditions: ['usual', 'changed'],
      order: 'balanced',
      comparison: {
        kind: 'paired',
        quantity: 'velocity, m/s',
        first: 12,
        second: 12,
        difference: 0.05,
        sd: 0.05,
        alpha: 0.05,
        sides: 'two',
      },
    },
  },
  {
    code: 'slow-technique',
    name: 'Technique check at slow pace',
    purpose:
      'Phases, entry and breathing at a pace that can be held and talked about, with long cycles and little load on the shoulder.',
    content: {
      ...SPRINT,
      name: 'Technique check at slow pace',
      sectionFromWallM: [17, 3],
      attempts: 2,
      restMinS: 60,
      filter: { kind: 'butterworth', order: 2, cutoffHz: 8 },
      measures: [
        'hand_force',
        'stroke_rate',
        'stroke_length',
        'velocity',
        'index_of_coordination',
        'high_hand',
        'entry_position',
        'breathing',
      ],
      expected: { velocityMS: 1.1, strokeLengthM: 2.3, glideM: 6 },
    },
  },
];
