/** Laws that hold for any trial: what changes with a change of the input, and what must not. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../../core/sensor/calibration.ts';
import type { Measured } from '../../../core/base/uncertainty.ts';
import type { Hand } from '../../../core/base/hand.ts';
import { EVENTS, type Stroke } from '../../../core/stroke/stroke.ts';
import { analyseTrial } from '../../../core/trial/trial.ts';
import { type TrialInput, type TrialResult } from '../../../core/trial/result.ts';
import { velocity } from '../../../core/stroke/timing.ts';
import { calibrationPoints, HAND, mark, PROTOCOL, sampledFrom, stroke, trialInput } from '../build.ts';

const RUNS = { numRuns: 25 };
const FILTERS = [{ kind: 'none' }, { kind: 'butterworth', order: 2, cutoffHz: 12 }] as const;

/** A trial with jittered marks and a bumpy pressure, made from a few numbers. */
const anyTrial = fc
  .record({
    jitter: fc.array(fc.integer({ min: -20, max: 20 }), { minLength: 98, maxLength: 98 }),
    bumps: fc.array(fc.integer({ min: -200, max: 300 }), { minLength: 8, maxLength: 8 }),
    filter: fc.constantFrom(...FILTERS),
  })
  .map(({ jitter, bumps, filter }) => {
    const after = [0, 0.15, 0.35, 0.3, 0.5, 0.7, 0.78];
    const strokes = (['left', 'right'] as const).flatMap((hand, h) =>
      Array.from({ length: 7 }, (_, k) => {
        const times = EVENTS.map((event, e) => [
          event,
          k + 0.5 * h + after[e]! + jitter[h * 49 + k * 7 + e]! / 1000,
        ]);
        return stroke(hand, k + 1, Object.fromEntries(times), {
          entryPosition: k % 3 === 0 ? 'level' : 'above',
        });
      }),
    );
    const timeS = Float64Array.from({ length: 1601 }, (_, k) => k / 200);
    const wave = (phase: number) =>
      timeS.map((t) => 1200 + bumps.reduce((sum, size, k) => sum + size * Math.sin((k + 1) * t + phase), 0));
    return trialInput({
      protocol: { ...PROTOCOL, filter },
      trace: sampledFrom(timeS, wave(0), wave(1)),
      section: { startS: 1.003, endS: 6.498 },
      strokes,
    });
  });

/** Values and uncertainties as a flat list. */
function measuredOf(values: readonly (number | Measured | null)[]): (number | null)[] {
  return values.flatMap((value) =>
    typeof value === 'object' ? [value?.value ?? null, value?.u ?? null] : [value],
  );
}

/** Everything of a trial that is a number, as a flat list; null where empty. */
function numbersOf({ hands, strokes, ...result }: TrialResult): (number | null)[] {
  const flat = (hand: Hand) => measuredOf(Object.values(hands[hand]));
  const { velocity: v, cycleTime: t, idc, highHand } = result;
  return [
    ...[v, t, idc, highHand].flatMap((measured) => [measured?.value ?? null, measured?.u ?? null]),
    result.strokeRate?.value ?? null,
    result.strokeLength?.value ?? null,
    result.forceSymmetry?.value ?? null,
    result.forceSymmetry?.u ?? null,
    ...flat('left'),
    ...flat('right'),
    ...strokes.flatMap((one) => [
      one.idcPct,
      one.peakForce?.value ?? null,
      one.peakForce?.u ?? null,
      one.meanForce?.value ?? null,
      one.meanForce?.u ?? null,
      one.impulse?.value ?? null,
      one.impulse?.u ?? null,
      one.highHand?.value ?? null,
      one.entryCatchPct,
      one.pullPct,
      one.pushPct,
      one.recoveryPct,
    ]),
  ];
}

function expectSame(
  actual: readonly (number | null)[],
  expected: readonly (number | null)[],
  digits = 8,
): void {
  expect(actual.length).toBe(expected.length);
  expected.forEach((value, k) => {
    if (value === null) expect(actual[k]).toBeNull();
    else expect(actual[k]).toBeCloseTo(value, digits);
  });
}

function mapMarks(strokes: readonly Stroke[], time: (timeS: number) => number): Stroke[] {
  return strokes.map((one) => ({
    ...one,
    marks: Object.fromEntries(
      Object.entries(one.marks).map(([event, own]) => [event, { ...own, timeS: time(own.timeS) }]),
    ),
  }));
}

const bothHands = (input: TrialInput, change: Partial<typeof HAND>) => ({
  ...input,
  hands: { left: { ...input.hands.left, ...change }, right: { ...input.hands.right, ...change } },
});

describe('a trial', () => {
  test('shifting every clock by the same time changes no number', () => {
    fc.assert(
      fc.property(anyTrial, fc.integer({ min: -500, max: 5000 }), (input, hundredths) => {
        const shift = hundredths / 100;
        const { trace, section } = input;
        const shifted = analyseTrial({
          ...input,
          trace: { ...trace!, startS: trace!.startS + shift },
          section: { startS: section!.startS + shift, endS: section!.endS + shift },
          strokes: mapMarks(input.strokes, (time) => time + shift),
        });
        const base = analyseTrial(input);
        expectSame(numbersOf(shifted), numbersOf(base), 6);
        expect(shifted.flags).toEqual(base.flags);
      }),
      RUNS,
    );
  });

  test('force, impulse and their uncertainty from calibration scale with the hand’s area', () => {
    fc.assert(
      fc.property(anyTrial, fc.double({ min: 0.3, max: 3, noNaN: true }), (input, factor) => {
        const base = analyseTrial(input);
        const scaled = analyseTrial(bothHands(input, { areaCm2: 150 * factor, areaUCm2: 3 * factor }));
        for (const hand of ['left', 'right'] as const)
          for (const name of ['peakForce', 'meanForce', 'impulse'] as const)
            for (const part of ['value', 'u'] as const)
              expect(scaled.hands[hand][name]![part]).toBeCloseTo(base.hands[hand][name]![part]! * factor, 7);
        scaled.strokes.forEach(({ peakForce }, k) => {
          if (peakForce !== null) expect(peakForce.u).toBeCloseTo(base.strokes[k]!.peakForce!.u! * factor, 7);
        });
        expect(scaled.forceSymmetry!.value).toBeCloseTo(base.forceSymmetry!.value, 6);
        expect(scaled.idc).toEqual(base.idc);
      }),
      RUNS,
    );
  });

  test('changing the hands over changes their columns over and turns the symmetry round', () => {
    const other = { left: 'right', right: 'left' } as const;
    fc.assert(
      fc.property(anyTrial, (input) => {
        const base = analyseTrial(input);
        const swapped = analyseTrial({
          ...input,
          trace: { ...input.trace!, left: input.trace!.right, right: input.trace!.left },
          hands: { left: input.hands.right, right: input.hands.left },
          strokes: input.strokes.map((one) => ({ ...one, hand: other[one.hand] })),
        });
        for (const hand of ['left', 'right'] as const)
          expectSame(
            measuredOf(Object.values(swapped.hands[hand])),
            measuredOf(Object.values(base.hands[other[hand]])),
            9,
          );
        expect(swapped.forceSymmetry!.value).toBeCloseTo(-base.forceSymmetry!.value, 9);
        expectSame(
          [swapped.idc!.value, swapped.idc!.u, swapped.cycleTime!.value],
          [base.idc!.value, base.idc!.u, base.cycleTime!.value],
          9,
        );
      }),
      RUNS,
    );
  });

  test('a sensor whose raw unit is scaled and shifted, with its calibration and zeros, gives the same force', () => {
    fc.assert(
      fc.property(
        anyTrial,
        fc.double({ min: 0.05, max: 20, noNaN: true }),
        fc.integer({ min: -5000, max: 5000 }),
        fc.boolean(),
        (input, size, offset, turned) => {
          const factor = turned ? -size : size;
          const affine = (raw: number) => factor * raw + offset;
          const channel = (hand: Hand) => ({
            ...input.trace![hand]!,
            raw: input.trace![hand]!.raw.map(affine),
          });
          const points = calibrationPoints().map((point) => ({ ...point, raw: affine(point.raw) }));
          const change = {
            calibration: calibrate(points, 15)!,
            zeros: { before: affine(1000), after: affine(1000) },
            rawMin: null,
            rawMax: null,
          };
          const scaled = bothHands(
            { ...input, trace: { ...input.trace!, left: channel('left'), right: channel('right') } },
            change,
          );
          expectSame(numbersOf(analyseTrial(scaled)), numbersOf(analyseTrial(input)), 5);
        },
      ),
      RUNS,
    );
  });

  test('a zero that lies higher by what the raw values lie higher changes nothing', () => {
    fc.assert(
      fc.property(anyTrial, fc.integer({ min: -300, max: 300 }), (input, more) => {
        const raised = (hand: Hand) => ({
          ...input.trace![hand]!,
          raw: input.trace![hand]!.raw.map((raw) => raw + more),
        });
        const moved = bothHands(
          { ...input, trace: { ...input.trace!, left: raised('left'), right: raised('right') } },
          { zeros: { before: 1000 + more, after: 1000 + more } },
        );
        expectSame(numbersOf(analyseTrial(moved)), numbersOf(analyseTrial(input)), 7);
      }),
      RUNS,
    );
  });

  test('the order in which strokes are listed does not matter', () => {
    fc.assert(
      fc.property(anyTrial, (input) => {
        const turned = analyseTrial({ ...input, strokes: input.strokes.toReversed() });
        expect(turned).toEqual(analyseTrial(input));
      }),
      { numRuns: 10 },
    );
  });

  test('pull, push, recovery, entry and catch make up a cycle', () => {
    fc.assert(
      fc.property(anyTrial, (input) => {
        const whole = analyseTrial(input).strokes.filter(({ recoveryPct }) => recoveryPct !== null);
        expect(whole).toHaveLength(12);
        for (const { entryCatchPct, pullPct, pushPct, recoveryPct } of whole)
          expect(entryCatchPct! + pullPct! + pushPct! + recoveryPct!).toBeCloseTo(100, 9);
      }),
      { numRuns: 10 },
    );
  });

  test('velocity is stroke rate times stroke length; mean force times duration is impulse; no peak is below the mean', () => {
    fc.assert(
      fc.property(anyTrial, (input) => {
        const result = analyseTrial(input);
        expect((result.strokeRate!.value / 60) * result.strokeLength!.value).toBeCloseTo(
          result.velocity!.value,
          10,
        );
        for (const { stroke: own, meanForce, impulse, peakForce } of result.strokes) {
          const { propulsion_start: start, propulsion_end: end } = own.marks;
          if (meanForce === null) continue;
          expect(meanForce.value * (end!.timeS - start!.timeS)).toBeCloseTo(impulse!.value, 9);
          // The ends may lie above every sample, by what the series changes within one step.
          expect(peakForce!.value).toBeGreaterThan(meanForce!.value - 1);
        }
      }),
      RUNS,
    );
  });

  test('uncertainties grow with the uncertainty of the marks, in proportion where nothing else enters', () => {
    fc.assert(
      fc.property(anyTrial, fc.integer({ min: 2, max: 9 }), (input, factor) => {
        const wider = input.strokes.map((one) => ({
          ...one,
          marks: Object.fromEntries(
            Object.entries(one.marks).map(([event, own]) => [event, mark(own.timeS, own.uS! * factor)]),
          ),
        }));
        const [base, wide] = [analyseTrial(input), analyseTrial({ ...input, strokes: wider })];
        for (const name of ['cycleTime', 'idc', 'highHand'] as const) {
          expect(wide[name]!.value).toBe(base[name]!.value);
          expect(wide[name]!.u).toBeCloseTo(base[name]!.u! * factor, 10);
        }
      }),
      RUNS,
    );
  });
});

const EXACT = { sectionUM: 0, timingUS: 0, speedVariationPct: null, cycleTimeS: null };

describe('a section', () => {
  test('split in two, its times add up: the whole velocity is the harmonic mean of the halves, by length', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 9, noNaN: true }),
        fc.double({ min: 1, max: 5, noNaN: true }),
        fc.double({ min: 1, max: 5, noNaN: true }),
        (length, first, second) => {
          const at = (m: number, startS: number, endS: number) => velocity(m, { startS, endS }, EXACT).value;
          const [a, b] = [at(length, 2, 2 + first), at(10 - length, 2 + first, 2 + first + second)];
          expect(10 / at(10, 2, 2 + first + second)).toBeCloseTo(length / a + (10 - length) / b, 9);
        },
      ),
      { numRuns: 50 },
    );
  });

  test('made longer never loses a stroke', () => {
    fc.assert(
      fc.property(anyTrial, fc.double({ min: 0, max: 0.9, noNaN: true }), (input, more) => {
        const { startS, endS } = input.section!;
        const counted = (section: NonNullable<TrialInput['section']>) =>
          analyseTrial({ ...input, section }).strokes.flatMap(({ stroke: own, counts }) =>
            counts ? [`${own.hand} ${own.number}`] : [],
          );
        const wide = new Set(counted({ startS: startS - more, endS: endS + more }));
        expect(counted({ startS, endS }).every((key) => wide.has(key))).toBe(true);
      }),
      { numRuns: 15 },
    );
  });
});
