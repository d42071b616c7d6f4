/** Who swims on the invented day, with what, and what goes wrong with which trial on purpose. */
export type Hand = 'left' | 'right';
export type EntryPosition = 'above' | 'level' | 'below';

export const HANDS: readonly Hand[] = ['left', 'right'];
export const DAY = 'harbour-morning';
export const SAMPLE_RATE_HZ = 500;
export const RAW_MAX = 65535;

export const RUN_M = 25;
/** Distances from the finishing wall at which the head is timed. */
export const SECTION_FROM_WALL_M = [15, 5] as const;

export const POOL = { length_m: 25, water_temperature_c: 27, latitude_deg: 54.3, altitude_m: 12 };

export type Swimmer = {
  participant: string;
  sex: 'female' | 'male';
  birthYear: number;
  heightCm: number;
  massKg: number;
  areaCm2: Record<Hand, number>;
  consent: 'given' | 'assent_and_guardian' | 'withdrawn';
  note: string;
  /** Section length over section time. */
  speedMS: number;
  cycleS: number;
  idcPct: number;
  /** Added to the index of strokes that start on the left, taken from those on the right. */
  idcSkewPct: number;
  peakN: Record<Hand, number>;
  entry: EntryPosition;
  /** From full_reach to propulsion_start. */
  glideS: number;
  /** From full_reach to hand_below_shoulder, by entry position. */
  highHandS: Record<EntryPosition, number>;
  breath: Hand;
};

const womenHighHand = { above: 0.325, level: 0.17, below: 0 };
const menHighHand = { above: 0.205, level: 0.11, below: 0 };

function swimmer(
  who: [string, 'female' | 'male', number, number, number],
  areaCm2: Record<Hand, number>,
  peakN: Record<Hand, number>,
  swims: Pick<Swimmer, 'speedMS' | 'cycleS' | 'idcPct' | 'idcSkewPct' | 'entry' | 'breath'>,
  other: Partial<Swimmer> = {},
): Swimmer {
  const [participant, sex, birthYear, heightCm, massKg] = who;
  const women = sex === 'female';
  return {
    participant,
    sex,
    birthYear,
    heightCm,
    massKg,
    areaCm2,
    peakN,
    consent: 'given',
    note: '',
    glideS: women ? 0.285 : swims.entry === 'above' ? 0.2 : 0.155,
    highHandS: women ? womenHighHand : menHighHand,
    ...swims,
    ...other,
  };
}

export const SWIMMERS: readonly Swimmer[] = [
  swimmer(
    ['P01', 'female', 2003, 172.5, 63.1],
    { left: 142, right: 144 },
    { left: 92, right: 99 },
    { speedMS: 1.66, cycleS: 1.18, idcPct: -8.9, idcSkewPct: 1.2, entry: 'above', breath: 'right' },
  ),
  swimmer(
    ['P02', 'female', 2001, 168, 60.4],
    { left: 137, right: 136 },
    { left: 83, right: 80 },
    { speedMS: 1.62, cycleS: 1.22, idcPct: -10.2, idcSkewPct: -0.6, entry: 'above', breath: 'left' },
  ),
  swimmer(
    ['P03', 'female', 2010, 165, 55.2],
    { left: 131, right: 132 },
    { left: 70, right: 74 },
    { speedMS: 1.6, cycleS: 1.24, idcPct: -11, idcSkewPct: 0.4, entry: 'above', breath: 'right' },
    { consent: 'assent_and_guardian', note: 'under age: form signed by a guardian' },
  ),
  swimmer(
    ['P04', 'female', 1999, 176, 66.8],
    { left: 149, right: 151 },
    { left: 110, right: 104 },
    { speedMS: 1.72, cycleS: 1.15, idcPct: -6.6, idcSkewPct: 0.8, entry: 'level', breath: 'right' },
  ),
  swimmer(
    ['P05', 'male', 2000, 188, 82.3],
    { left: 180, right: 182 },
    { left: 178, right: 196 },
    { speedMS: 1.86, cycleS: 1.12, idcPct: -5.7, idcSkewPct: -1.4, entry: 'above', breath: 'left' },
  ),
  swimmer(
    ['P06', 'male', 1998, 185.5, 79.5],
    { left: 174, right: 175 },
    { left: 162, right: 157 },
    { speedMS: 1.95, cycleS: 1.06, idcPct: -2.8, idcSkewPct: 0.5, entry: 'level', breath: 'right' },
  ),
  swimmer(
    ['P07', 'male', 2004, 181, 75],
    { left: 166, right: 169 },
    { left: 138, right: 146 },
    { speedMS: 1.9, cycleS: 1.09, idcPct: -3.6, idcSkewPct: 0.9, entry: 'level', breath: 'right' },
  ),
  swimmer(
    ['P08', 'male', 2002, 183, 78.2],
    { left: 171, right: 172 },
    { left: 150, right: 150 },
    { speedMS: 1.84, cycleS: 1.12, idcPct: -5.2, idcSkewPct: 0, entry: 'level', breath: 'left' },
    { consent: 'withdrawn', note: 'withdrew after the session' },
  ),
];

export type Sensor = {
  sensor: string;
  hand: Hand;
  rangeKpa: number;
  interceptRaw: number;
  rawPerKpa: number;
  /** Bend of the response at half range, share of full scale. */
  bend: number;
  /** Full width of the loop between going up and coming down, share of full scale. */
  loop: number;
  applied: { unit: 'kPa' | 'cmH2O' | 'm_water'; steps: readonly number[] };
  /** Standard uncertainty of the reference: of its scale, %, and of its zero, in the unit of `applied`. */
  reference: { scaleUPct: number; zeroU: number };
  /** What a known pressure read at the end of the day is off by, kPa, beyond reading noise. */
  endDeviationKpa: number;
};

const kpaSteps = [0, 2.5, 5, 7.5, 10, 12.5, 15];

export const SENSORS: readonly Sensor[] = [
  {
    sensor: 'S-01',
    hand: 'left',
    rangeKpa: 15,
    interceptRaw: 8214,
    rawPerKpa: 3652,
    bend: 0.0014,
    loop: 0.0011,
    applied: { unit: 'kPa', steps: kpaSteps },
    reference: { scaleUPct: 0.1, zeroU: 0.01 },
    endDeviationKpa: 0.02,
  },
  {
    sensor: 'S-02',
    hand: 'right',
    rangeKpa: 15,
    interceptRaw: 8671,
    rawPerKpa: 3588,
    bend: -0.0018,
    loop: 0.0014,
    applied: { unit: 'kPa', steps: kpaSteps },
    reference: { scaleUPct: 0.1, zeroU: 0.01 },
    endDeviationKpa: 0.02,
  },
  {
    sensor: 'S-03',
    hand: 'left',
    rangeKpa: 10,
    interceptRaw: 7903,
    rawPerKpa: 5449,
    bend: 0.0021,
    loop: 0.0009,
    applied: { unit: 'cmH2O', steps: [0, 15, 30, 45, 60, 80, 100] },
    reference: { scaleUPct: 0.15, zeroU: 0.1 },
    endDeviationKpa: -0.03,
  },
  {
    sensor: 'S-04',
    hand: 'right',
    rangeKpa: 10,
    interceptRaw: 8338,
    rawPerKpa: 5476,
    bend: 0.0012,
    loop: 0.0016,
    applied: { unit: 'm_water', steps: [0, 0.15, 0.3, 0.45, 0.6, 0.8, 1] },
    reference: { scaleUPct: 0.05, zeroU: 0.002 },
    endDeviationKpa: 0.37,
  },
];
