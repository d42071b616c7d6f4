/** What the sensors read: pressure pulses of the strokes, zero drift, noise, the converter, and the calibration rig. */
import { lampMoments } from './cameras.ts';
import { randomFor, type Random } from './random.ts';
import { POOL, RAW_MAX, SAMPLE_RATE_HZ, SENSORS, type Hand, type Sensor } from './scenario.ts';
import { countedStrokes, type Stroke, type Swim } from './swim.ts';

const CM_H2O_KPA = 0.0980665;
const CHECK_KPA = 5;
const DAY_SENSORS: Record<Hand, string> = { left: 'S-01', right: 'S-02' };

export function sensorFor(swim: Swim, hand: Hand): Sensor {
  const code = swim.trial.sensors[hand] ?? DAY_SENSORS[hand];
  const found = SENSORS.find((s) => s.sensor === code);
  if (!found) throw new Error(`no sensor ${code}`);
  return found;
}

const bell = (x: number, centre: number, width: number): number => Math.exp(-(((x - centre) / width) ** 2));

function smoothStep(x: number, from: number, to: number): number {
  const u = Math.min(1, Math.max(0, (x - from) / (to - from)));
  return u * u * (3 - 2 * u);
}

/** Share of the stroke's peak at time t: slap at entry, light load while gliding, pull hump, higher push hump. */
function pulseShape(stroke: Stroke, t: number): number {
  const { water_entry, full_reach, propulsion_start, shoulder_plane, propulsion_end, water_exit } = stroke.at;
  const slap = 0.26 * bell(t, water_entry + 0.012, 0.012) - 0.07 * bell(t, water_entry + 0.045, 0.02);
  const glide =
    0.05 * smoothStep(t, water_entry, full_reach) * (1 - smoothStep(t, propulsion_start, shoulder_plane));
  const u =
    t < shoulder_plane
      ? (0.52 * (t - propulsion_start)) / (shoulder_plane - propulsion_start)
      : 0.52 + (0.48 * (t - shoulder_plane)) / (propulsion_end - shoulder_plane);
  const push =
    (0.62 * bell(u, 0.3, 0.17) + 0.98 * bell(u, 0.71, 0.19)) *
    smoothStep(u, -0.05, 0.14) *
    (1 - smoothStep(u, 0.86, 1.04));
  return slap + glide + push - 0.05 * bell(t, water_exit + 0.02, 0.025);
}

/** Pressure difference over one hand at each sample, in kPa, without zero error or noise. */
function pressureKpa(swim: Swim, hand: Hand, times: readonly number[]): number[] {
  const { swimmer, trial } = swim;
  const peakKpa = (swimmer.peakN[hand] * trial.forceFactor) / (0.1 * swimmer.areaCm2[hand]);
  const tapS = lampMoments(swim)[0] ?? swim.lampS[0] ?? 0;
  return times.map((t) => {
    let kpa = hand === 'left' ? 2.6 * bell(t, tapS, 0.006) : 0;
    for (const stroke of swim.strokes[hand]) {
      if (t < stroke.at.water_entry - 0.1 || t > stroke.at.water_exit + 0.15) continue;
      const settling = stroke.stroke === 1 ? 0.85 : 1;
      kpa += peakKpa * stroke.strength * settling * pulseShape(stroke, t);
    }
    return kpa;
  });
}

function toRaw(sensor: Sensor, kpa: number): number {
  const q = kpa / sensor.rangeKpa;
  const bent = kpa + sensor.bend * sensor.rangeKpa * 4 * q * (1 - q);
  return sensor.interceptRaw + sensor.rawPerKpa * bent;
}

type ZeroTruth = { beforeKpa: number; afterKpa: number; beforeRaw: number; afterRaw: number };

/** The zero of one sensor at the first and last sample of a trial: true, and as read at rest over a few seconds. */
export function zeroOf(swim: Swim, hand: Hand): ZeroTruth {
  const random = randomFor(`zero ${swim.trial.trial} ${hand}`);
  const sensor = sensorFor(swim, hand);
  const beforeKpa = random.normal(0, 0.022);
  const drift = Math.max(-0.05, Math.min(0.05, random.normal(0, 0.018)));
  const afterKpa = beforeKpa + drift + (hand === 'left' ? swim.trial.leftShiftKpa : 0);
  const read = (kpa: number): number => Math.round((toRaw(sensor, kpa) + random.normal(0, 4)) * 10) / 10;
  return { beforeKpa, afterKpa, beforeRaw: read(beforeKpa), afterRaw: read(afterKpa) };
}

type Channel = { raw: number[]; missing: Map<number, '' | 'NaN'> };

export function sampleTimes(swim: Swim): number[] {
  const n = Math.round(swim.endS * SAMPLE_RATE_HZ) + 1;
  return Array.from({ length: n }, (_, i) => i / SAMPLE_RATE_HZ);
}

function eddies(random: Random, n: number): number[] {
  let state = 0;
  return Array.from({ length: n }, () => (state = 0.97 * state + random.normal(0, 0.243)));
}

/** One hand's converter counts through a trial. */
export function channelOf(swim: Swim, hand: Hand): Channel {
  const random = randomFor(`noise ${swim.trial.trial} ${hand}`);
  const sensor = sensorFor(swim, hand);
  const times = sampleTimes(swim);
  const zero = zeroOf(swim, hand);
  const rough = eddies(random, times.length);
  const pressure = pressureKpa(swim, hand, times);
  const raw = pressure.map((kpa, i) => {
    const t = times[i] ?? 0;
    const drift = zero.beforeKpa + ((zero.afterKpa - zero.beforeKpa) * t) / swim.endS;
    const wander = 0.004 * Math.sin((2 * Math.PI * t) / 7.3);
    const turbulence = (0.012 + 0.022 * Math.abs(kpa)) * (rough[i] ?? 0);
    const read = toRaw(sensor, kpa + drift + wander + turbulence) + random.normal(0, 28);
    return Math.min(RAW_MAX, Math.max(0, Math.round(read)));
  });
  const missing = new Map<number, '' | 'NaN'>();
  for (const gap of swim.trial.gaps) {
    const stroke = gap.hand === hand ? countedStrokes(swim, hand)[gap.strokeInSection - 1] : undefined;
    if (!stroke) continue;
    const first = Math.round((stroke.at.shoulder_plane + 0.04) * SAMPLE_RATE_HZ);
    for (let i = 0; i < gap.samples; i++) missing.set(first + i, gap.write);
  }
  return { raw, missing };
}

/** Pa per metre of depth in the day's pool: density after Tanaka et al. 2001, GRS80 normal gravity with height. */
function pascalPerMetre(): number {
  const t = POOL.water_temperature_c;
  const density = 999.97495 * (1 - ((t - 3.983035) ** 2 * (t + 301.797)) / (522528.9 * (t + 69.34881)));
  const sin2 = Math.sin((POOL.latitude_deg * Math.PI) / 180) ** 2;
  const gravity = (9.7803267715 * (1 + 0.001931851353 * sin2)) / Math.sqrt(1 - 0.0066943800229 * sin2);
  return density * (gravity - 3.086e-6 * POOL.altitude_m);
}

/** Known pressures read at one end of the day: the zero first, then a pressure, kPa. */
export function checkOf(sensor: Sensor, when: 'start' | 'end'): { applied: number; raw: number }[] {
  const random = randomFor(`check ${sensor.sensor} ${when}`);
  const off = when === 'end' ? sensor.endDeviationKpa : 0;
  return [0, CHECK_KPA].map((applied) => {
    const raw = toRaw(sensor, applied + (applied === 0 ? 0 : off)) + random.normal(0, 9);
    return { applied, raw: Math.round(raw) };
  });
}

type CalibrationStep = { direction: 'up' | 'down'; applied: number; raw: number };

export function calibrationOf(sensor: Sensor): CalibrationStep[] {
  const random = randomFor(`calibration ${sensor.sensor}`);
  const kpaPer = { kPa: 1, cmH2O: CM_H2O_KPA, m_water: pascalPerMetre() / 1000 }[sensor.applied.unit];
  const steps = sensor.applied.steps;
  const read = (applied: number, direction: 'up' | 'down'): CalibrationStep => {
    const kpa = applied * kpaPer;
    const q = kpa / sensor.rangeKpa;
    const half = (direction === 'down' ? 0.5 : -0.5) * sensor.loop * 4 * q * (1 - q);
    const raw = toRaw(sensor, kpa) + half * sensor.rawPerKpa * sensor.rangeKpa + random.normal(0, 9);
    return { direction, applied, raw: Math.round(raw) };
  };
  return [...steps.map((s) => read(s, 'up')), ...steps.toReversed().map((s) => read(s, 'down'))];
}
