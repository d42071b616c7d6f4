/**
 * How well one end of the measured section is timed: reading, parallax, straying. Seen from above, the swimmer going to
 * the right:
 *
 *        mark M  x = 0, y = markAcrossM       a float on the rope, a sign on the far wall
 *             ·
 *              ·
 *   ───────────S────▶  y = acrossM            the swimmer's line: seen at the mark when at S
 *               ·
 *                ·
 *                 camera  x = alongM, y = 0   alongM is positive towards the finishing wall
 *
 * The line of sight from the camera to M meets the swimmer's line at x = alongM · (1 − acrossM / markAcrossM) (similar
 * triangles): the moment belongs to this place, not to the mark. A camera square to the mark (alongM = 0) and a mark on
 * the swimmer's own line have no parallax. A swimmer who strays by s across is seen at the mark alongM · s / markAcrossM
 * elsewhere; s anywhere within ± strayM is rectangular, so its standard uncertainty is strayM / √3 (JCGM 100, 4.3.7).
 *
 * Reading: on film, the frame interval over √12 with the placing of a mark (formats.md section 2); a gate and a hand on
 * a stopwatch, as typed. A timekeeper's hand: SD 0.07 s for one press, 0.11 s late in the mean, which cancels where one
 * person presses at both ends (Am J Phys 2019, 87:110, 4304 readings at swimming competitions; abstract opened).
 */
import type { MarkView, ProtocolContent } from './content.ts';
import { markU, rootSumSquares } from '../base/uncertainty.ts';
import { figures } from '../base/words.ts';

/** SD of one press on a stopwatch by timekeepers at swimming competitions, s (Am J Phys 2019, 87:110). */
export const TIMEKEEPER_SD_S = 0.07;

export type SectionEnd = 'start' | 'end';

/** One end of the section as it is timed. Uncertainties are standard. */
export interface SectionMoment {
  /** Of reading the moment, s; null where film times it and its camera or frame rate is not known. */
  readonly readingUS: number | null;
  /** Where the swimmer truly is at the moment read, beyond the mark in the direction of swimming, m. */
  readonly parallaxBiasM: number;
  /** How much too late the moment is read at the expected velocity, s; negative: too early. */
  readonly parallaxBiasS: number;
  /** From straying to either side, m and s. */
  readonly strayUM: number;
  readonly strayUS: number;
  /** Of the moment: reading and straying, s; the parallax is an error, not part of it. Null without a reading's. */
  readonly uS: number | null;
  /** Sentences with the numbers and what to do. */
  readonly says: readonly string[];
}

/** Parallax of a camera at one end, m beyond the mark, and the standard uncertainty from straying, m. */
export function parallax(view: MarkView): { readonly biasM: number; readonly strayUM: number } {
  const { acrossM, alongM, markAcrossM, strayM } = view;
  return {
    biasM: alongM * (1 - acrossM / markAcrossM),
    strayUM: (Math.abs(alongM) * strayM) / (markAcrossM * Math.sqrt(3)),
  };
}

/** Standard uncertainty of reading one moment by the protocol's method, s; null where its camera is not known. */
function readingU({ timing, cameras, markingUS }: ProtocolContent): number | null {
  if (timing.method === 'gate') return timing.gateUS;
  if (timing.method === 'stopwatch') return timing.stopwatchUS;
  const camera = cameras.find((one) => one.camera === timing.camera);
  return markU(camera === undefined ? null : 1 / camera.frameRateHz, markingUS);
}

/**
 * How well one end of the section is timed. A gate stands at its mark; a camera, and an eye with a stopwatch, look from
 * where the protocol says.
 */
export function sectionMoment(content: ProtocolContent, end: SectionEnd): SectionMoment {
  const { timing, expected } = content;
  const view = timing.method === 'gate' ? null : timing.views[end];
  const { biasM, strayUM } = view === null ? { biasM: 0, strayUM: 0 } : parallax(view);
  const readingUS = readingU(content);
  const strayUS = strayUM / expected.velocityMS;
  const parallaxBiasS = biasM / expected.velocityMS;
  const moment = { readingUS, parallaxBiasM: biasM, parallaxBiasS, strayUM, strayUS };
  const uS = rootSumSquares([readingUS, strayUS]);
  return { ...moment, uS, says: [readingSays(content, readingUS, end), ...viewSays(content, end, moment)] };
}

function readingSays({ timing, cameras }: ProtocolContent, u: number | null, end: SectionEnd): string {
  const camera = cameras.find((one) => one.camera === timing.camera);
  if (u === null || (timing.method === 'video' && camera === undefined))
    return `The ${end} of the section is timed on film, but its camera is not named: choose one of the protocol’s cameras.`;
  const reading = `standard uncertainty ${figures(1000 * u, 2)} ms`;
  if (timing.method === 'video')
    return `The ${end} is read from camera ${camera!.camera} at ${figures(camera!.frameRateHz, 5)} Hz: ${reading}.`;
  return timing.method === 'gate'
    ? `The ${end} is timed by a gate: ${reading}, as typed.`
    : `The ${end} is timed by hand on a stopwatch: ${reading}, as typed; timekeepers at swimming competitions scatter by ${1000 * TIMEKEEPER_SD_S} ms.`;
}

function viewSays(
  { timing, expected }: ProtocolContent,
  end: SectionEnd,
  moment: Pick<SectionMoment, 'parallaxBiasM' | 'parallaxBiasS' | 'strayUM' | 'strayUS'>,
): string[] {
  if (timing.method === 'gate') return [];
  const view = timing.views[end];
  const eye = timing.method === 'video' ? 'camera' : 'timekeeper';
  if (view === null)
    return [
      `Where the ${eye} stands at the ${end} is not given, so its parallax is not known: measure the three distances, or stand square to the mark.`,
    ];
  if (view.alongM === 0) return [`The ${eye} stands square to the mark of the ${end}: no parallax.`];
  const speed = `${figures(expected.velocityMS)} m/s`;
  const says: string[] = [];
  if (moment.parallaxBiasM !== 0) {
    const late = moment.parallaxBiasM > 0;
    says.push(
      `The ${eye} stands ${figures(Math.abs(view.alongM))} m ${view.alongM > 0 ? 'beyond' : 'before'} the mark of the ${end}, so the swimmer is seen at it ${figures(Math.abs(moment.parallaxBiasM), 2)} m ${late ? 'beyond' : 'before'} it, ${figures(1000 * Math.abs(moment.parallaxBiasS), 2)} ms too ${late ? 'late' : 'early'} at ${speed}: stand square to it, or see the mark on the swimmer’s own rope.`,
    );
  }
  if (moment.strayUM > 0)
    says.push(
      `Straying by up to ${figures(view.strayM)} m to either side adds a standard uncertainty of ${figures(moment.strayUM, 2)} m at the ${end}, ${figures(1000 * moment.strayUS, 2)} ms at ${speed}.`,
    );
  return says;
}

/** How far the moment of an end shifts for a swimmer who strays as far as the view allows, m, with its sign. */
function strayShiftM({ timing }: ProtocolContent, end: SectionEnd): number {
  const view = timing.method === 'gate' ? null : timing.views[end];
  return view === null ? 0 : (-view.alongM * view.strayM) / view.markAcrossM;
}

/**
 * Standard uncertainty of one section time, s: the root mean square of both ends, with which `velocity_m_s_u` of
 * formats.md is that of both. Readings are independent. A swimmer who strays is off the line at both ends by as much and
 * to the same side: it counts once, by how far it shifts one end against the other, so that alike views cancel it and
 * opposite ones add up. Null where a reading's is not known.
 */
export function sectionTimingUS(content: ProtocolContent): number | null {
  const strayM = strayShiftM(content, 'end') - strayShiftM(content, 'start');
  const both = rootSumSquares([
    sectionMoment(content, 'start').readingUS,
    sectionMoment(content, 'end').readingUS,
    strayM / Math.sqrt(3) / content.expected.velocityMS,
  ]);
  return both === null ? null : both / Math.SQRT2;
}

/** What the uncertainty of a section's velocity leaves out, by name. */
export function timingLeftOut({ speedVariationPct }: Pick<ProtocolContent, 'speedVariationPct'>): string {
  const cycle =
    speedVariationPct === null
      ? 'how the speed changes within a stroke cycle where the section does not hold whole ones, unless the protocol says by how much; '
      : '';
  return `Left out: parallax, which is given as a shift of its own; a swimmer who drifts across between the ends; ${cycle}and which part of the body was truly seen at the mark.`;
}
