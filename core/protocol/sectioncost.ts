/**
 * What the choices of a protocol cost, in words: each with its number, its unit and what to do. `fault`: a trial swum
 * this way could not be used as planned. `caution`: it can, at a price. `info`: what to expect.
 */
import { MAIN_CAMERA } from '../clock/clock.ts';
import type { BodyPoint } from './protocol.ts';
import type { ProtocolContent } from './content.ts';
import { sectionMoment, sectionTimingUS, timingLeftOut } from './sectiontiming.ts';
import { markU } from '../base/uncertainty.ts';
import { velocity } from '../stroke/timing.ts';
import { type ProtocolCost, settingCosts, cost, m, ms } from './cost.ts';
import { figures } from '../base/words.ts';

/** A swimmer's head must have broken the surface so far from the start and each turn, m: World Aquatics rule SW 5.3. */
const MOST_UNDER_WATER_M = 15;

/** How far a point of a stretched adult swimmer, about 1.75 m tall, is ahead of the hip, m (common practice, no source). */
const AHEAD_M: Readonly<Record<BodyPoint, number>> = { hip: 0, head: 0.8, hand: 1.3 };

/** From the head to the fingertips of an arm that reaches for the wall, m (common practice, no source). */
export const REACH_M = AHEAD_M.hand - AHEAD_M.head;

/** Dust of a division is no stroke less, and no turn more. */
const DUST = 1e-9;

/** The numbers behind what a section costs, at the expected velocity and stroke length. Uncertainties are standard. */
export interface SectionNumbers {
  readonly lengthM: number;
  readonly timeS: number;
  /** Distance from the start, or the last turn before it, to the beginning of the section, m. */
  readonly afterWallOrStartM: number;
  readonly cyclesPerHand: number;
  /** How much less than the section the body moves where the points at both ends differ, m; 0 where they do not. */
  readonly hiddenReachM: number;
  /** Null where the timing's is not known. */
  readonly velocityUMS: number | null;
  /** How much too high the velocity comes out for the parallax at both ends, to first order, m/s. */
  readonly velocityBiasMS: number;
  /** Of one high-hand time, s: marked on camera A, else the first; null without a camera. */
  readonly highHandUS: number | null;
}

/** Numbers of the measured section; null where it has no length or begins before the run does. */
export function sectionNumbers(content: ProtocolContent): SectionNumbers | null {
  const { sectionFromWallM, runM, sectionPoints, expected, sectionUM } = content;
  const [begin, end] = sectionFromWallM;
  if (begin <= end || begin > runM) return null;
  const lengthM = begin - end;
  const timeS = lengthM / expected.velocityMS;
  const from = turnBefore(content, begin) ?? runM;
  const shift = sectionMoment(content, 'end').parallaxBiasM - sectionMoment(content, 'start').parallaxBiasM;
  const { cameras, markingUS } = content;
  const camera = cameras.find((one) => one.camera === MAIN_CAMERA) ?? cameras[0];
  const mark = camera === undefined ? null : markU(1 / camera.frameRateHz, markingUS);
  return {
    lengthM,
    timeS,
    afterWallOrStartM: Math.max(0, from - begin),
    cyclesPerHand: lengthM / expected.strokeLengthM,
    hiddenReachM: AHEAD_M[sectionPoints.end] - AHEAD_M[sectionPoints.start],
    velocityUMS: velocity(
      lengthM,
      { startS: 0, endS: timeS },
      {
        sectionUM,
        timingUS: sectionTimingUS(content),
        speedVariationPct: content.speedVariationPct,
        cycleTimeS: expected.strokeLengthM / expected.velocityMS,
      },
    ).u,
    velocityBiasMS: (-shift / lengthM) * expected.velocityMS,
    highHandUS: mark === null ? null : Math.SQRT2 * mark,
  };
}

/** How many turns the run takes. */
function turnCount({ runM, poolLengthM }: ProtocolContent): number {
  return Math.max(0, Math.ceil(runM / poolLengthM - DUST) - 1);
}

/** Distance from the finishing wall of the last turn before a place, m; null where the run has none before it. */
function turnBefore(content: ProtocolContent, placeM: number): number | null {
  const turn = Math.max(1, Math.ceil(placeM / content.poolLengthM - DUST));
  return turn <= turnCount(content) ? turn * content.poolLengthM : null;
}

/** Everything the protocol's choices cost, faults first. */
export function sectionCosts(content: ProtocolContent): readonly ProtocolCost[] {
  const numbers = sectionNumbers(content);
  const costs = [
    ...sectionFaults(content),
    ...runCosts(content),
    ...(numbers === null
      ? []
      : [
          ...endCosts(content, numbers),
          ...beginCosts(content, numbers),
          ...strokeCosts(content, numbers),
          ...velocityCosts(content, numbers),
          ...highHandCosts(content, numbers),
        ]),
    ...settingCosts(content),
  ];
  const levels = ['fault', 'caution', 'info'] as const;
  return levels.flatMap((level) => costs.filter((one) => one.level === level));
}

function sectionFaults({ sectionFromWallM: [begin, end], runM }: ProtocolContent): readonly ProtocolCost[] {
  const about = 'sectionFromWallM';
  if (begin === end)
    return [cost('fault', about, `The section begins and ends ${m(begin)} from the wall: it has no length.`)];
  if (begin < end)
    return [
      cost(
        'fault',
        about,
        `The section begins ${m(begin)} from the wall and ends ${m(end)} from it, the wrong way round: give the farther end first.`,
      ),
    ];
  if (begin > runM)
    return [
      cost(
        'fault',
        about,
        `The section begins ${m(begin)} from the wall, but the run only ${m(runM)} from it: shorten the section or lengthen the run.`,
      ),
    ];
  return [];
}

function runCosts(content: ProtocolContent): readonly ProtocolCost[] {
  const { runM, poolLengthM, start, sectionFromWallM } = content;
  const costs: ProtocolCost[] = [];
  const [begin, end] = sectionFromWallM;
  const count = turnCount(content);
  if (count > 0)
    costs.push(
      cost(
        'caution',
        'runM',
        `A run of ${m(runM)} in a pool of ${m(poolLengthM)} needs ${count === 1 ? 'a turn' : `${count} turns`}: strokes stop there, and each push-off adds speed. Shorten the run to the pool unless turns are wanted.`,
      ),
    );
  const inside = turnBefore(content, end + DUST * poolLengthM * 2);
  if (inside !== null && inside < begin - DUST * poolLengthM)
    costs.push(
      cost(
        'caution',
        'sectionFromWallM',
        `The section holds the turn ${m(inside)} from the finishing wall, so its velocity is not that of swimming: keep the section on one length.`,
      ),
    );
  const offWall = runM % poolLengthM;
  if (start !== 'in_water' && Math.min(offWall, poolLengthM - offWall) > DUST * poolLengthM)
    costs.push(
      cost(
        'caution',
        'start',
        `A ${start === 'dive' ? 'dive' : 'push-off'} needs a wall, but the run begins ${m(poolLengthM - offWall)} from the nearest one behind it: start in the water, or make the run a whole number of lengths.`,
      ),
    );
  return costs;
}

/** The finish, and body points that differ. */
function endCosts(content: ProtocolContent, numbers: SectionNumbers): readonly ProtocolCost[] {
  const { sectionPoints, expected, sectionFromWallM } = content;
  const end = sectionFromWallM[1];
  const costs: ProtocolCost[] = [];
  if (end < REACH_M)
    costs.push(
      cost(
        'caution',
        'sectionFromWallM',
        `The section ${end === 0 ? 'touches' : `ends ${m(end)} from`} the wall, so it holds the finishing reach: the last arm stays stretched over about ${m(REACH_M)} (common practice, no source), ${figures(REACH_M / expected.velocityMS, 2)} s at ${figures(expected.velocityMS)} m/s. Exclude that stroke, or end the section ${m(Math.ceil(expected.strokeLengthM))} from the wall, a stroke length or more.`,
      ),
    );
  const short = AHEAD_M.hand - AHEAD_M[sectionPoints.end];
  if (end < short)
    costs.push(
      cost(
        end === 0 ? 'fault' : 'caution',
        'sectionPoints',
        `The ${sectionPoints.end} is timed at the end of the section, but with the hand on the wall it is still about ${m(short)} from it (common practice, no source): end the section ${m(Math.ceil(short))} from the wall or farther, or time the hand.`,
      ),
    );
  const hidden = numbers.hiddenReachM;
  if (hidden !== 0)
    costs.push(
      cost(
        'caution',
        'sectionPoints',
        `The ${sectionPoints.start} is timed at the start and the ${sectionPoints.end} at the end, so about ${m(Math.abs(hidden))} of body and arm (common practice, no source), ${figures((100 * Math.abs(hidden)) / numbers.lengthM, 2)} % of the section, is hidden in the velocity, which comes out too ${hidden > 0 ? 'high' : 'low'}: time one point at both ends, or compare only trials timed the same way.`,
      ),
    );
  return costs;
}

/** Push-off or dive, and what the rules allow under water. */
function beginCosts(content: ProtocolContent, numbers: SectionNumbers): readonly ProtocolCost[] {
  const { expected, start, sectionFromWallM } = content;
  const after = numbers.afterWallOrStartM;
  const fromTurn = turnBefore(content, sectionFromWallM[0]) !== null;
  const from = fromTurn ? 'the turn' : 'the start';
  const carries =
    fromTurn || start === 'push' ? 'push-off' : start === 'dive' ? 'dive' : 'start in the water';
  const costs: ProtocolCost[] = [];
  const rule = `World Aquatics rule SW 5.3 lets the head stay under for ${MOST_UNDER_WATER_M} m`;
  if (after < expected.glideM)
    costs.push(
      cost(
        'caution',
        'sectionFromWallM',
        `The section begins ${m(after)} after ${from}, within the ${m(expected.glideM)} that the ${carries} carries: ${m(Math.min(expected.glideM - after, numbers.lengthM))} of it are not swum. Begin it ${m(expected.glideM)} or more after ${from}${start === 'in_water' && !fromTurn ? '' : `; ${rule}`}.`,
      ),
    );
  else if (after === 0)
    costs.push(
      cost(
        'caution',
        'sectionFromWallM',
        `The section begins at ${from}, so it holds the getting up to speed: begin it some metres later.`,
      ),
    );
  if (expected.glideM > MOST_UNDER_WATER_M)
    costs.push(
      cost(
        'caution',
        'expected',
        `A glide of ${m(expected.glideM)} is expected, but ${rule} only: check the number.`,
      ),
    );
  return costs;
}

function strokeCosts(content: ProtocolContent, numbers: SectionNumbers): readonly ProtocolCost[] {
  const { accept, expected } = content;
  const whole = Math.floor(numbers.cyclesPerHand + DUST);
  const expects = `About ${figures(numbers.cyclesPerHand, 2)} stroke cycles per hand are expected in ${m(numbers.lengthM)} (${m(expected.strokeLengthM)} each), ${whole} of them whole`;
  const least = accept.minStrokesPerHand;
  if (least === null) return [cost('info', 'accept', `${expects}; no least number of strokes is asked for.`)];
  const longer = `make the section ${m((least + 1) * expected.strokeLengthM)} or longer, or ask for fewer`;
  if (whole < least)
    return [
      cost(
        'caution',
        'accept',
        `${expects}, fewer than the ${least} asked for, so trials would be swum again and again: ${longer}.`,
      ),
    ];
  if (whole === least && least > 0)
    return [
      cost(
        'caution',
        'accept',
        `${expects}, just the ${least} asked for: one stroke cut by an end of the section fails the trial. To be safe ${longer}.`,
      ),
    ];
  return [cost('info', 'accept', `${expects}; ${least} are asked for.`)];
}

function velocityCosts(content: ProtocolContent, numbers: SectionNumbers): readonly ProtocolCost[] {
  const { sectionUM, expected } = content;
  const timingUS = sectionTimingUS(content);
  const { velocityUMS: u, velocityBiasMS: bias, lengthM, timeS } = numbers;
  const costs: ProtocolCost[] = [];
  const speed = figures(expected.velocityMS);
  if (u !== null && timingUS !== null) {
    const fromTiming = (Math.SQRT2 * timingUS) / timeS >= sectionUM / lengthM;
    costs.push(
      cost(
        'info',
        'timing',
        `A velocity of ${speed} m/s comes with a standard uncertainty of ${figures(u, 2)} m/s (${figures((100 * u) / expected.velocityMS, 2)} %), from ${ms(timingUS)} at each end and ${m(sectionUM)} of length. To better it, ${fromTiming ? 'time the ends better (faster camera, square to the mark, or a gate) or lengthen the section' : 'measure the section’s length better'}. ${timingLeftOut(content)}`,
      ),
    );
  }
  if (bias !== 0)
    costs.push(
      cost(
        Math.abs(bias) > (u ?? 0) ? 'caution' : 'info',
        'timing',
        `Parallax at the two ends makes a velocity of ${speed} m/s come out ${figures(Math.abs(bias), 2)} m/s too ${bias > 0 ? 'high' : 'low'} (${figures((100 * Math.abs(bias)) / expected.velocityMS, 2)} %)${u === null ? '' : `, beside a standard uncertainty of ${figures(u, 2)} m/s`}: move the cameras square to their marks.`,
      ),
    );
  return costs;
}

function highHandCosts(content: ProtocolContent, { highHandUS }: SectionNumbers): readonly ProtocolCost[] {
  if (highHandUS === null || !content.measures.includes('high_hand')) return [];
  const camera = content.cameras.find((one) => one.camera === MAIN_CAMERA) ?? content.cameras[0]!;
  return [
    cost(
      'info',
      'cameras',
      `High-hand time of a stroke, marked on camera ${camera.camera} at ${figures(camera.frameRateHz, 5)} Hz, comes with a standard uncertainty of ${ms(highHandUS)}; a higher frame rate betters it.`,
    ),
  ];
}
