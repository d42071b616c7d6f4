/**
 * One-sided hand area with fingers: traced on a photograph (`tracedarea.ts`), typed, or estimated from height and mass.
 * Estimate: 0.87 % of body surface (Rhodes et al. 2013, Br J Dermatol 169:76–84, adults, palm with fingers), surface
 * by DuBois & DuBois 1916, Arch Intern Med 17:863–871.
 */
import type { OutlineFault } from './outline.ts';
import { type Outcome, failed, done } from '../base/refusal.ts';
import { mean, standardDeviation } from '../base/statistics.ts';
import { figures } from '../base/words.ts';

export interface AreaFault {
  readonly code:
    | OutlineFault['code']
    | 'no_scale'
    | 'outline_beyond_horizon'
    | 'no_repeat'
    | 'age_unknown'
    | 'child'
    | 'body_size_unlikely';
  readonly says: string;
  readonly todo: string;
}

/** An area, cm². */
export interface HandArea {
  readonly method: 'traced' | 'typed' | 'estimated';
  readonly cm2: number;
  /** Standard uncertainty, cm²; null where it is not known. */
  readonly uCm2: number | null;
  /** Part of it from the scale, and from the repeats; null where not known or not part of the method. */
  readonly scaleUCm2: number | null;
  readonly repeatUCm2: number | null;
  /** Of a traced one: from the height above the sheet, and from where the outline was drawn; else null. */
  readonly planeUCm2: number | null;
  readonly offsetUCm2: number | null;
  /** Tracings or readings. */
  readonly count: number;
  /** One sentence about how far the number can be trusted. */
  readonly says: string;
}

/**
 * Hand area measured elsewhere and typed, cm²: the mean of the readings.
 * @param sharedUCm2 standard uncertainty that the readings share (the method's own), cm²; null where not known
 * With one reading its uncertainty is the shared one; with more, SD/√n joins it.
 */
export function areaFromReadings(
  readingsCm2: readonly number[],
  sharedUCm2: number | null,
): Outcome<HandArea, AreaFault> {
  const cm2 = mean(readingsCm2);
  if (cm2 === null) return noRepeat();
  const repeats = standardDeviation(readingsCm2);
  const repeatUCm2 = repeats === null ? null : repeats / Math.sqrt(readingsCm2.length);
  const uCm2 = sharedUCm2 === null ? null : Math.hypot(sharedUCm2, repeatUCm2 ?? 0);
  const says =
    uCm2 === null
      ? 'The area was typed without an uncertainty, so its force has none.'
      : 'The area was measured elsewhere and typed.';
  const parts = { scaleUCm2: null, repeatUCm2, planeUCm2: null, offsetUCm2: null };
  return done({ method: 'typed', cm2, uCm2, ...parts, count: readingsCm2.length, says });
}

/** Why there is no area where nothing was traced or read. */
export function noRepeat(): Outcome<never, AreaFault> {
  return failed<AreaFault>({
    code: 'no_repeat',
    says: 'There is no tracing or reading yet.',
    todo: 'Trace the outline of the hand, or type an area.',
  });
}

/**
 * One-sided hands of adults lie within these, cm²: 0.77 to 0.92 % of a body surface of 1.3 to 2.6 m² (Rhodes et al.
 * 2013; Agarwal & Sahu 2010, Indian J Plast Surg 43:49–53), rounded outward.
 */
const USUAL_CM2 = [100, 250] as const;

/** No hand of a swimmer lies outside these, cm²: whole hands, both sides, measure up to 540 (Lee et al. 2007). */
const POSSIBLE_CM2 = [40, 400] as const;

/** What speaks against an area: `refuse` where no hand has it, `ask` where few have; null where nothing does. */
export function areaDoubt(
  cm2: number,
): { readonly kind: 'refuse' | 'ask'; readonly says: string; readonly todo: string } | null {
  const outside = ([least, most]: readonly [number, number]) => cm2 < least || cm2 > most;
  const area = `${figures(cm2, 4)} cm²`;
  if (outside(POSSIBLE_CM2))
    return {
      kind: 'refuse',
      says:
        cm2 > POSSIBLE_CM2[1]
          ? `${area} is no hand: none has more than ${POSSIBLE_CM2[1]} cm² on one side. Are these mm²? Then it is ${figures(cm2 / 100, 4)} cm².`
          : `${area} is no hand: none has less than ${POSSIBLE_CM2[0]} cm² on one side. Part of the outline is missing, or the unit is another (1 square inch is 6.45 cm²).`,
      todo: 'Give the area of one side, fingers included, in cm² (100 mm² are 1 cm²).',
    };
  if (outside(USUAL_CM2))
    return {
      kind: 'ask',
      says: `${area} is unusual: the hands of adults have ${USUAL_CM2[0]} to ${USUAL_CM2[1]} cm² on one side, fingers included.`,
      todo: 'Check the unit and the scale; if it is right, say so.',
    };
  return null;
}

/** Body surface, m², by DuBois & DuBois 1916: 0.007184·H^0.725·W^0.425, H in cm, W in kg. */
export function duBoisSurfaceM2(heightCm: number, massKg: number): number {
  return 0.007184 * heightCm ** 0.725 * massKg ** 0.425;
}

const PALM_PART = 0.0087;

const PALM_RELATIVE_U = 0.1;

const ADULT_YEARS = 18;

/** Adults outside these are likelier a slip of units (common practice, no source). */
const HEIGHT_CM = [120, 230] as const;

const MASS_KG = [30, 200] as const;

/**
 * One-sided hand area of an adult estimated from height and mass: 0.87 % of the DuBois surface, standard uncertainty
 * 10 % (published percentages for adults spread from 0.77 to 0.92).
 * @param ageYears null where not known
 * Refused below 18 years, where the percentage is another, without an age, and for unlikely heights and masses.
 */
export function estimatedArea(
  heightCm: number,
  massKg: number,
  ageYears: number | null,
): Outcome<HandArea, AreaFault> {
  const measure = 'Trace the hand on a photograph or type a measured area.';
  if (ageYears === null)
    return failed({
      code: 'age_unknown',
      says: 'The area can be estimated for adults only, and the age is not known.',
      todo: `Enter the year of birth, or measure: ${measure.toLowerCase()}`,
    });
  if (ageYears < ADULT_YEARS)
    return failed({
      code: 'child',
      says: `The swimmer is ${ageYears} years old; below ${ADULT_YEARS} the hand is another part of the body surface and is measured, not estimated.`,
      todo: measure,
    });
  const within = (value: number, [least, most]: readonly [number, number]) => value >= least && value <= most;
  if (!within(heightCm, HEIGHT_CM) || !within(massKg, MASS_KG))
    return failed({
      code: 'body_size_unlikely',
      says: `A height of ${heightCm} cm with a mass of ${massKg} kg is unlikely for an adult.`,
      todo: `Check the units (cm and kg); if they are right, measure: ${measure.toLowerCase()}`,
    });
  const cm2 = PALM_PART * duBoisSurfaceM2(heightCm, massKg) * 10_000;
  const uCm2 = PALM_RELATIVE_U * cm2;
  const says = `Estimated from height and mass, ${figures(cm2)} ± ${figures(uCm2, 2)} cm² (standard); a measured area is two to five times better known.`;
  return done({
    method: 'estimated',
    cm2,
    uCm2,
    scaleUCm2: null,
    repeatUCm2: null,
    planeUCm2: null,
    offsetUCm2: null,
    count: 1,
    says,
  });
}
