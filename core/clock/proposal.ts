/**
 * Moments for two clocks proposed from what jumps: a lamp in a drawn box of the film, a tap in a raw channel. Steps from
 * one frame or sample to the next are measured against their usual size, the median absolute deviation scaled to a
 * standard deviation (Rousseeuw & Croux 1993, J Am Stat Assoc 88:1273–1283, for the factor 1.4826). They are proposals:
 * a person confirms them, and nothing uses them before.
 */
import { type Outcome, failed, done } from '../base/refusal.ts';
import { median } from '../base/statistics.ts';
import { figures } from '../base/words.ts';

export interface MomentProposal {
  /** s, on the clock of the series: the first frame or sample that shows the jump. */
  readonly timeS: number;
  /** Its place in the series. */
  readonly index: number;
  /** Largest step of the jump, in the unit of the series, with its sign. */
  readonly step: number;
  /** That step against the usual size of a step, dimensionless (robust z). */
  readonly strength: number;
}

export interface MomentFault {
  readonly code: 'too_short' | 'nothing_stands_out';
  readonly says: string;
  readonly todo: string;
}

/** A box of the film is bright from 0 to 255; a smaller change is no lamp (common practice, no source). */
export const LEAST_LAMP_STEP = 4;

/** Fewer steps than this tell nothing of their usual size. */
const FEWEST_STEPS = 10;

const LEAST_STRENGTH = 8;

/** More jumps than this are no moments but the swim itself… */
const MOST_MOMENTS = 8;

/** …unless some are this many times larger than all others. */
const APART = 1.5;

const MAD_TO_SD = 1.4826;

/** Ringing after a tap belongs to it, s (common practice, no source). */
const RINGING_S = 0.25;

/**
 * Proposes the moments at which a lamp goes on: upward jumps of the mean brightness in a drawn box.
 * @param timesS presentation times of the frames, increasing, s
 * @param brightness mean brightness of each frame's box, 0…255; NaN where a frame could not be read
 * @param leastStep smaller jumps are none, 0…255
 * Returns the moments in the order of time; fails where nothing stands out.
 */
export function proposeLamp(
  timesS: Float64Array,
  brightness: Float64Array,
  leastStep = LEAST_LAMP_STEP,
): Outcome<readonly MomentProposal[], MomentFault> {
  return standingOut(timesS, brightness, (step) => step, leastStep, 0, {
    what: 'brightness in the box',
    todo: 'Draw the box closer around the lamp, or mark the moment by eye.',
  });
}

/**
 * Proposes the moments of a tap or touch: abrupt steps of a raw channel, up or down.
 * @param samples raw, on a grid with sample k at startS + k / rateHz; NaN for a missing sample
 * @param leastStep smaller steps are none, raw
 * Returns the moments in the order of time; fails where nothing stands out, as in a swim without a tap.
 */
export function proposeSpike(
  samples: Float64Array,
  grid: { readonly startS: number; readonly rateHz: number },
  leastStep: number,
): Outcome<readonly MomentProposal[], MomentFault> {
  const timesS = samples.map((_, k) => grid.startS + k / grid.rateHz);
  return standingOut(timesS, samples, Math.abs, leastStep, RINGING_S, {
    what: 'the channel',
    todo: 'Choose a shorter stretch around the tap, or mark the moment by eye.',
  });
}

interface Words {
  readonly what: string;
  readonly todo: string;
}

function standingOut(
  timesS: Float64Array,
  values: Float64Array,
  size: (step: number) => number,
  leastStep: number,
  togetherS: number,
  { what, todo }: Words,
): Outcome<readonly MomentProposal[], MomentFault> {
  const steps = Float64Array.from(values.subarray(1), (value, k) => value - values[k]!);
  const known = steps.filter(Number.isFinite);
  if (known.length < FEWEST_STEPS)
    return failed({
      code: 'too_short',
      says: `There are ${known.length} steps from one reading to the next, too few to tell what stands out; ${FEWEST_STEPS} are needed.`,
      todo: 'Choose a longer stretch.',
    });
  const usual = median(known)!;
  const scale = Math.max(
    MAD_TO_SD * median(known.map((step) => Math.abs(step - usual)))!,
    leastStep / LEAST_STRENGTH,
  );
  const moments: MomentProposal[] = [];
  let lastS = -Infinity;
  steps.forEach((step, k) => {
    const strength = size(step - usual) / scale;
    if (!(strength >= LEAST_STRENGTH)) return;
    const timeS = timesS[k + 1]!;
    const before = moments.at(-1);
    // Neighbouring steps of one rise, and what rings after a tap, are one moment: the first of them.
    const together = before !== undefined && (timesS[k]! <= lastS || timeS - before.timeS <= togetherS);
    lastS = timeS;
    if (!together) moments.push({ timeS, index: k + 1, step, strength });
    else if (strength > before.strength) moments[moments.length - 1] = { ...before, step, strength };
  });
  const chosen = apart(moments);
  if (chosen.length > 0) return done(chosen);
  const strongest = moments.reduce((most, { strength }) => Math.max(most, strength), 0);
  const says =
    moments.length === 0
      ? `Nothing in ${what} stands out from its usual steps.`
      : `${moments.length} jumps of ${what} are alike (the largest ${figures(strongest)} times the usual), so none stands out.`;
  return failed({ code: 'nothing_stands_out', says, todo });
}

/** All moments where they are few, else those that are well larger than every other, in the order of time. */
function apart(moments: readonly MomentProposal[]): readonly MomentProposal[] {
  if (moments.length <= MOST_MOMENTS) return moments;
  const sorted = moments.toSorted((a, b) => b.strength - a.strength);
  let count = 0;
  let widest = APART;
  for (let k = 1; k <= MOST_MOMENTS; k++) {
    const ratio = sorted[k - 1]!.strength / sorted[k]!.strength;
    if (ratio >= widest) [count, widest] = [k, ratio];
  }
  return sorted.slice(0, count).toSorted((a, b) => a.index - b.index);
}
