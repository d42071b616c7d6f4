/**
 * The stroke counter on the invented sample day, against the truth it was made from. That it does well here shows that
 * it does what it says; how well it does on a real swim only real swims can show.
 */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { zeroLine } from '../../../core/sensor/calibration.ts';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import { pressureDifference } from '../../../core/force/force.ts';
import { countStrokes } from '../../../core/force/strokecounter.ts';
import { traceEndS, type SampledTrace } from '../../../core/force/trace.ts';
import { trialForces } from '../../../core/trial/trial.ts';
import { type TrialInput } from '../../../core/trial/result.ts';
import { folderSource } from '../../../main/files/source.ts';
import { inputOf, openDay, readTrialFiles } from '../../../main/lab/kept/process.ts';

interface Truth {
  readonly trials: readonly {
    readonly trial: string;
    readonly hands: Readonly<
      Record<
        Hand,
        {
          readonly strokes_in_section: number;
          readonly strokes: readonly {
            readonly events_s: { readonly propulsion_start?: number; readonly propulsion_end?: number };
          }[];
        }
      >
    >;
  }[];
}

/** One hand of one trial: its force, and the propulsion that lies whole in the trace, s. */
interface Swum {
  readonly name: string;
  readonly trace: SampledTrace;
  readonly input: TrialInput;
  readonly hand: Hand;
  readonly forceN: Float64Array;
  readonly propulsion: readonly (readonly [number, number])[];
  readonly inSection: number;
}

let day: readonly Swum[] = [];

beforeAll(async () => {
  const truth = JSON.parse(readFileSync('sample-sessions/truth.json', 'utf8')) as Truth;
  const source = folderSource('sample-sessions/harbour-morning');
  const opened = await openDay(source);
  if (!opened.ok) throw new Error(opened.error.reason);
  const { book } = opened.value;
  const swum: Swum[] = [];
  for (const entry of book.trials) {
    const reading = await readTrialFiles(source, book, { ...entry, films: new Map() });
    const { trace } = reading;
    if (trace === null) continue;
    const { input } = inputOf(book, entry, reading);
    const forces = trialForces(input);
    const { hands } = truth.trials.find(({ trial }) => trial === entry.row.trial)!;
    for (const hand of HANDS) {
      const propulsion = hands[hand].strokes.flatMap(({ events_s: at }) =>
        at.propulsion_start === undefined ||
        at.propulsion_end === undefined ||
        at.propulsion_end > traceEndS(trace)
          ? []
          : [[at.propulsion_start, at.propulsion_end] as const],
      );
      swum.push({
        name: `${entry.row.trial} ${hand}`,
        trace,
        input,
        hand,
        forceN: forces[hand]!,
        propulsion,
        inSection: hands[hand].strokes_in_section,
      });
    }
  }
  day = swum;
});

/** Counts less the truth: over the whole trace, and in the section as trials.csv has it. */
function errors(change: (load: Float64Array, rateHz: number) => readonly [Float64Array, number]) {
  return day.map(({ trace, input, forceN, propulsion, inSection }) => {
    const [load, rateHz] = change(forceN, trace.rateHz);
    const found = countStrokes(load, { startS: trace.startS, rateHz });
    const { startS, endS } = input.section!;
    const inside = found.filter((stroke) => stroke.startS >= startS && stroke.endS <= endS).length;
    return { whole: found.length - propulsion.length, section: inside - inSection };
  });
}

function tally(of: readonly number[]): string {
  const counts = new Map<number, number>();
  for (const error of of) counts.set(error, (counts.get(error) ?? 0) + 1);
  return [...counts].map(([error, count]) => `${error > 0 ? '+' : ''}${error} in ${count}`).join(', ');
}

/** Noise that is the same on every run, close to normal, SD 1 (sum of twelve uniform values). */
function noiseOf(length: number): Float64Array {
  let state = 7;
  const uniform = () => (state = (state * 1103515245 + 12345) % 2147483648) / 2147483648;
  return Float64Array.from({ length }, () => {
    let sum = -6;
    for (let k = 0; k < 12; k++) sum += uniform();
    return sum;
  });
}

const peakOf = (load: Float64Array) => load.reduce((most, value) => Math.max(most, value));

describe('against the truth of the sample day', () => {
  test('every stroke of the whole trace is found once, at its own peak, and none too many', () => {
    expect(day).toHaveLength(26);
    for (const { name, trace, forceN, propulsion } of day) {
      const found = countStrokes(forceN, trace);
      expect(found.length, name).toBe(propulsion.length);
      propulsion.forEach(([from, to], k) => {
        expect(found[k]!.peakS, name).toBeGreaterThan(from);
        expect(found[k]!.peakS, name).toBeLessThan(to);
      });
    }
  });

  test('in the section the count is right in 21 of 26 hands and one too high in the others', () => {
    const section = errors((load, rateHz) => [load, rateHz]).map((error) => error.section);
    console.log(`stroke counter on the sample day, in the section: ${tally(section)} of ${section.length}`);
    expect(section.every((error) => Math.abs(error) <= 1)).toBe(true);
    expect(section.filter((error) => error === 0).length).toBeGreaterThanOrEqual(21);
  });

  test('pressure in kPa gives the same strokes and raw as many: no hand area is needed', () => {
    for (const { name, trace, input, hand, forceN } of day) {
      const { calibration, zeros, dayZeros } = input.hands[hand];
      const zero = zeroLine(zeros, dayZeros, calibration!);
      const kpa = pressureDifference(
        trace[hand]!.raw,
        trace.rateHz,
        zero,
        calibration!,
        input.protocol.filter,
      ) as Float64Array;
      const peaks = (load: Float64Array) =>
        countStrokes(load, trace).map(({ peakS }) => Math.round((peakS - trace.startS) * trace.rateHz));
      expect(peaks(kpa), name).toEqual(peaks(forceN));
      expect(countStrokes(trace[hand]!.raw, trace), name).toHaveLength(peaks(forceN).length);
    }
  });
});

describe('spoiled', () => {
  const every = (n: number) => (load: Float64Array, rateHz: number) =>
    [load.filter((_, k) => k % n === 0), rateHz / n] as const;
  const doubled = (load: Float64Array, rateHz: number) =>
    [
      Float64Array.from({ length: 2 * load.length - 1 }, (_, k) =>
        k % 2 === 0 ? load[k / 2]! : (load[(k - 1) / 2]! + load[(k + 1) / 2]!) / 2,
      ),
      2 * rateHz,
    ] as const;
  const noisy = (part: number) => (load: Float64Array, rateHz: number) => {
    const noise = noiseOf(load.length);
    const sd = part * peakOf(load);
    return [load.map((value, k) => value + sd * noise[k]!), rateHz] as const;
  };
  const holed = (samples: number, apart: number) => (load: Float64Array, rateHz: number) =>
    [load.map((value, k) => (k % apart < samples ? NaN : value)), rateHz] as const;

  test.each([
    ['100 Hz', every(5)],
    ['125 Hz', every(4)],
    ['250 Hz', every(2)],
    ['1000 Hz', doubled],
    ['noise of 5 % of the peak', noisy(0.05)],
    ['noise of 20 % of the peak', noisy(0.2)],
    ['zero off by +50 N', (load: Float64Array, rateHz: number) => [load.map((n) => n + 50), rateHz] as const],
    ['zero off by −50 N', (load: Float64Array, rateHz: number) => [load.map((n) => n - 50), rateHz] as const],
    [
      'zero drifting by 40 N',
      (load: Float64Array, rateHz: number) =>
        [load.map((n, k) => n + (40 * k) / load.length), rateHz] as const,
    ],
    ['gaps of 80 ms', holed(40, 731)],
    ['gaps of 200 ms', holed(100, 1531)],
    [
      'a knock of 1500 N for 60 ms',
      (load: Float64Array, rateHz: number) =>
        [load.map((n, k) => (k > 300 && k < 330 ? n + 1500 : n)), rateHz] as const,
    ],
  ])('%s: whole trace right, section within 1', (_, change) => {
    for (const [k, { whole, section }] of errors(change).entries()) {
      expect(whole, day[k]!.name).toBe(0);
      expect(Math.abs(section), day[k]!.name).toBeLessThanOrEqual(1);
    }
  });

  test('noise of 30 % of the peak: within 1', () => {
    for (const { whole } of errors(noisy(0.3))) expect(Math.abs(whole)).toBeLessThanOrEqual(1);
  });
});
