/** A swimmer in words: what was measured of the body, age, consents. */
import { consentHolds, type Consent } from '../../../core/day/tables.ts';
import type { DeckSwimmer } from '../../../core/deck/deck.ts';
import type { FilmConsent } from '../../../core/day/tables.ts';
import { EMPTY, formatNumber } from '../../format.ts';

export const SEX_CHOICES = [
  { value: 'female', text: 'Female' },
  { value: 'male', text: 'Male' },
  { value: 'unspecified', text: 'Unspecified' },
  { value: 'none', text: 'Not noted' },
] as const;

export const MEASURING_WORDS: Readonly<Record<Consent, string>> = {
  missing: 'Not noted',
  given: 'Given',
  assent_and_guardian: 'Assent and guardian',
  withdrawn: 'Withdrawn',
};

export const FILM_WORDS: Readonly<Record<FilmConsent, string>> = {
  not_asked: 'Not asked',
  given: 'Given',
  withheld: 'Withheld',
};

/** What the fields of a roster are called, by the lab's names of them. */
const FIELD_WORDS: Readonly<Record<string, string>> = {
  participant: 'Code',
  sex: 'Sex',
  birth_year: 'Year of birth',
  height_cm: 'Height, cm',
  mass_kg: 'Mass, kg',
  left_hand_area_cm2: 'Left hand area, cm²',
  right_hand_area_cm2: 'Right hand area, cm²',
  hand_area_u_cm2: 'Uncertainty of the areas, cm²',
  consent: 'Consent to measuring',
  guardian_consent: 'Guardian’s consent',
  consent_filming: 'Consent to filming',
  consent_sharing: 'Consent to showing film',
  consent_text_version: 'Version of the signed text',
  note: 'Note',
};

export function fieldWords(field: string): string {
  return FIELD_WORDS[field] ?? field.replaceAll('_', ' ');
}

/** True where a swimmer may be measured, and so may swim a trial. */
export function takesPart({ consents }: DeckSwimmer): boolean {
  return consentHolds(consents.measuring);
}

/** A length, mass or area as it was typed; a dash where there is none. */
export function plainText(value: number | null): string {
  return value === null ? EMPTY : String(Number(value.toPrecision(6)));
}

/** Both hands' areas with their shared standard uncertainty, cm². */
export function areasText({ leftHandAreaCm2, rightHandAreaCm2, handAreaUCm2 }: DeckSwimmer): string {
  if (leftHandAreaCm2 === null && rightHandAreaCm2 === null) return EMPTY;
  const u = handAreaUCm2 === null ? '' : `\u00a0±\u00a0${formatNumber(handAreaUCm2, 1)}`;
  return `${plainText(leftHandAreaCm2)} / ${plainText(rightHandAreaCm2)}${u}`;
}

/**
 * What the year of birth says of age on the day; null for a grown-up, or where it is not known. 18 years is common
 * practice: the local rules decide.
 */
export function minorHint(birthYear: number | null, date: string): string | null {
  if (birthYear === null) return null;
  const reaches = Number(date.slice(0, 4)) - birthYear;
  if (reaches < 18) return 'Under 18: a guardian’s consent and the swimmer’s own assent.';
  return reaches === 18 ? 'Turns 18 this year: look at the birthday, assent and guardian until then.' : null;
}
