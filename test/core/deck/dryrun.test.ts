/** The dry run: taps made here, and the tap of the invented sample day. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../../core/sensor/calibration.ts';
import { meetClocks, reportDryRun, type DryRunHand } from '../../../core/deck/dryrun.ts';
import { folderSource } from '../../../main/files/source.ts';
import { inputOf, openDay, readTrialFiles } from '../../../main/lab/kept/process.ts';
import { calibrationPoints, sampledFrom } from '../build.ts';

const SENSOR: DryRunHand = { rawMin: 0, rawMax: 65535, scale: calibrate(calibrationPoints(), 15) };
const UNCALIBRATED: DryRunHand = { ...SENSOR, scale: null };

interface Made {
  readonly atS: number;
  /** kPa, and how long the finger presses, s. */
  readonly kpa?: number;
  readonly lastsS?: number;
}

function traceOf(left: readonly Made[], right: readonly Made[], rateHz = 500) {
  const timeS = Float64Array.from({ length: 10 * rateHz + 1 }, (_, k) => k / rateHz);
  const channel = (taps: readonly Made[]) =>
    timeS.map((t, k) => {
      const pressed = taps.find(({ atS, lastsS = 0.03 }) => t >= atS && t < atS + lastsS);
      return 1000 + ((k * 7) % 5) - 2 + (pressed === undefined ? 0 : 100 * (pressed.kpa ?? 3));
    });
  return sampledFrom(timeS, channel(left), channel(right));
}

function report(left: readonly Made[], right: readonly Made[], sensor = SENSOR) {
  return reportDryRun({ trace: traceOf(left, right), hands: { left: sensor, right: sensor } });
}

describe('taps', () => {
  test('once left and twice right: the channels are right', () => {
    const found = report([{ atS: 2 }], [{ atS: 5 }, { atS: 6.5 }]);
    expect(found.channelsRight).toBe(true);
    expect(found.hands.left).toMatchObject({ alive: true, tapsS: [2] });
    expect(found.hands.right.tapsS).toEqual([5, 6.5]);
    expect(found.hands.right.says).toBe('The right sensor is alive, and 2 taps were found on it.');
  });

  test('twice left and once right: they look swapped, and what to do', () => {
    const found = report([{ atS: 5 }, { atS: 6.5 }], [{ atS: 2 }]);
    expect(found.channelsRight).toBe(false);
    expect(found.channelsSay).toMatch(
      /look swapped: 2 on the left channel and 1 on the right.*change the plugs/,
    );
  });

  test.each<[string, readonly Made[], readonly Made[]]>([
    ['none', [], []],
    ['one each', [{ atS: 2 }], [{ atS: 5 }]],
    ['two each', [{ atS: 2 }, { atS: 3 }], [{ atS: 5 }, { atS: 6 }]],
  ])('%s: cannot be told', (_, left, right) => {
    const found = report(left, right);
    expect(found.channelsRight).toBeNull();
    expect(found.channelsSay).toMatch(/cannot be told.*Tap again/);
  });

  test('a long press is one tap', () =>
    expect(report([{ atS: 2, lastsS: 0.8 }], [{ atS: 5, lastsS: 0.4 }, { atS: 6.5 }]).channelsRight).toBe(
      true,
    ));

  test('a tap shakes the other sensor a little: that is no tap', () => {
    const shaken = (atS: number) => ({ atS, kpa: 0.6 });
    const found = report([{ atS: 2 }, shaken(5), shaken(6.5)], [shaken(2), { atS: 5 }, { atS: 6.5 }]);
    expect(found.hands.left.tapsS).toEqual([2]);
    expect(found.hands.right.tapsS).toEqual([5, 6.5]);
    const neverTapped = report([], [{ atS: 2, kpa: 0.6 }, { atS: 5 }, { atS: 6.5 }]);
    expect(neverTapped.hands.right.tapsS).toEqual([5, 6.5]);
    const onlyShaken = report([shaken(5), shaken(6.5)], [{ atS: 5 }, { atS: 6.5 }]);
    expect(onlyShaken.hands.left.tapsS).toEqual([]);
  });

  test('without a calibration, too', () =>
    expect(report([{ atS: 2 }], [{ atS: 5 }, { atS: 6.5 }], UNCALIBRATED).channelsRight).toBe(true));

  test('the tap of the sample day is found on the left channel alone', async () => {
    const truth = JSON.parse(readFileSync('sample-sessions/truth.json', 'utf8')) as {
      readonly trials: readonly { readonly trial: string; readonly lamp_s: readonly number[] }[];
    };
    const source = folderSource('sample-sessions/harbour-morning');
    const opened = await openDay(source);
    if (!opened.ok) throw new Error(opened.error.reason);
    const { book } = opened.value;
    let seen = 0;
    for (const entry of book.trials) {
      const reading = await readTrialFiles(source, book, { ...entry, films: new Map() });
      const { trace } = reading;
      if (trace === null) continue;
      const { hands } = inputOf(book, entry, reading).input;
      const heard = ({ rawMin, rawMax, calibration: scale }: typeof hands.left): DryRunHand => ({
        rawMin,
        rawMax,
        scale,
      });
      const count = trace.rateHz; // The first second: the swim begins at 1 s.
      const cut = (raw: Float64Array) => ({
        raw: raw.slice(0, count),
        gaps: [],
        measured: count,
        asRead: null,
      });
      const found = reportDryRun({
        trace: { ...trace, count, left: cut(trace.left!.raw), right: cut(trace.right!.raw) },
        hands: { left: heard(hands.left), right: heard(hands.right) },
      });
      const lampS = truth.trials.find(({ trial }) => trial === entry.row.trial)!.lamp_s[0]!;
      expect(found.hands.left.tapsS, entry.row.trial).toHaveLength(1);
      // The tap is a bell whose half width is 10 ms: its first step stands out before its top.
      expect(Math.abs(found.hands.left.tapsS[0]! - lampS), entry.row.trial).toBeLessThan(0.015);
      expect(found.hands.right.tapsS, entry.row.trial).toEqual([]);
      seen++;
    }
    expect(seen).toBe(13);
  });
});

describe('alive', () => {
  const taps = traceOf([{ atS: 2 }], [{ atS: 5 }, { atS: 6.5 }]);
  const withLeft = (raw: Float64Array) =>
    reportDryRun({
      trace: { ...taps, left: { ...taps.left!, raw } },
      hands: { left: SENSOR, right: SENSOR },
    });

  test('one value, or two, is dead', () => {
    const flat = withLeft(taps.left!.raw.map(() => 8256));
    expect(flat.hands.left).toMatchObject({ alive: false, tapsS: [] });
    expect(flat.hands.left.says).toMatch(/dead: its raw value is 8256 throughout\. Check plug/);
    expect(flat.hands.right.alive).toBe(true);
    expect(flat.channelsRight).toBeNull();
    expect(flat.channelsSay).toMatch(/Bring both sensors to life first/);
    expect(withLeft(taps.left!.raw.map((_, k) => k % 2)).hands.left.says).toMatch(
      /flickers between two values/,
    );
  });

  test('at the end of its range it is not alive; a tap that touches the end is', () => {
    const stuck = withLeft(taps.left!.raw.map((_, k) => (k % 10 === 0 ? 65535 : 40000 + k)));
    expect(stuck.hands.left.says).toMatch(
      /at the end of its range for 10 % of the samples; 5 % is the limit/,
    );
    const hard = report([{ atS: 2, kpa: 700 }], [{ atS: 5 }, { atS: 6.5 }]);
    expect(hard.channelsRight).toBe(true);
  });

  test('a missing column', () => {
    const { hands } = reportDryRun({
      trace: { ...taps, left: null },
      hands: { left: SENSOR, right: SENSOR },
    });
    expect(hands.left.says).toMatch(/no samples in the trace/);
  });
});

describe('clocks', () => {
  const READING = { frameStepS: 0.02, sampleStepS: 0.002 };
  const taps = [2, 5, 6.5];

  /** The film's clock reads what the trace's does less an offset; a flash is seen on the first frame after it. */
  const seen = (timesS: readonly number[], offsetS: number, stepS = 0.02) =>
    timesS.map((timeS) => Math.ceil((timeS - offsetS) / stepS) * stepS);

  test('meet whatever the offset and wherever the frames fall', () => {
    fc.assert(
      fc.property(fc.double({ min: -20, max: 1, noNaN: true }), (offsetS) => {
        const found = meetClocks(taps, seen(taps, offsetS), READING);
        expect(found.meet).toBe(true);
        expect(found.pairs).toHaveLength(3);
        expect(Math.abs(found.offsetS! - offsetS)).toBeLessThanOrEqual(0.0201);
        expect(found.clock!.residualS!).toBeLessThan(0.02);
      }),
    );
  });

  test('a flash too many, or one that was missed, is left out', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -20, max: 1, noNaN: true }),
        fc.integer({ min: 0, max: 2 }),
        (offsetS, gone) => {
          const whole = seen(taps, offsetS);
          const more = meetClocks(
            taps,
            [...whole, whole[2]! + 1.03].toSorted((a, b) => a - b),
            READING,
          );
          expect(more.pairs.map(({ videoS }) => videoS)).toEqual(whole);
          const fewer = meetClocks(taps, whole.toSpliced(gone, 1), READING);
          expect(fewer.meet).toBe(true);
          expect(fewer.pairs.map(({ traceS }) => traceS)).toEqual(taps.toSpliced(gone, 1));
        },
      ),
    );
  });

  test('do not meet where a frame does not explain the difference', () => {
    // 25 frames per second taken for 24: after 4.5 s the film is 0.19 s off.
    const found = meetClocks(
      taps,
      seen(taps, -1).map((timeS) => (timeS * 25) / 24),
      READING,
    );
    expect(found.meet).toBe(false);
    expect(found.says).toMatch(
      /do not meet: the 3 pairs differ by 1\d\d ms; a frame and a sample explain 24 ms/,
    );
  });

  test('cannot be told: nothing, one pair, one against many, fits twice, too many, steps not known', () => {
    expect(meetClocks([], [1], READING)).toMatchObject({ meet: null, pairs: [], clock: null, offsetS: null });
    expect(meetClocks([2], [1], READING)).toMatchObject({ meet: null, offsetS: 1 });
    expect(meetClocks([2], [1], READING).says).toMatch(/one pair, which nothing checks/);
    expect(meetClocks([2], [1, 4], READING)).toMatchObject({ meet: null, pairs: [] });
    expect(meetClocks([1, 2, 3], [1, 2, 3, 4], READING).says).toMatch(/fit in more than one way/);
    expect(
      meetClocks(
        Array.from({ length: 13 }, (_, k) => k),
        [1],
        READING,
      ).says,
    ).toMatch(/too many to pair/);
    expect(meetClocks(taps, taps, { ...READING, frameStepS: null })).toMatchObject({
      meet: null,
      spreadS: 0,
    });
  });
});
