/** A swimmer as typed: what the fields say, and what is wrong with each. */
import type { DeckSwimmer } from '../../../core/deck/deck.ts';
import { isCode } from '../../../core/base/table.ts';
import { readTyped, typedText, type Bound } from '../../fields/numberfield.ts';

export type SwimmerField =
  | 'participant'
  | 'birthYear'
  | 'heightCm'
  | 'massKg'
  | 'leftHandAreaCm2'
  | 'rightHandAreaCm2'
  | 'handAreaUCm2';

/** Leaves room for the number of the attempt in the trial's code. */
const LONGEST_CODE = 56;

export class SwimmerForm {
  participant = $state('');
  sex = $state<DeckSwimmer['sex']>(null);
  birthYear = $state('');
  heightCm = $state('');
  massKg = $state('');
  leftHandAreaCm2 = $state('');
  rightHandAreaCm2 = $state('');
  handAreaUCm2 = $state('');
  measuring = $state<DeckSwimmer['consents']['measuring']>('missing');
  filming = $state<DeckSwimmer['consents']['filming']>('not_asked');
  sharing = $state<DeckSwimmer['consents']['sharing']>('not_asked');
  consentTextVersion = $state('');
  note = $state('');
  readonly #taken: readonly string[];

  /**
   * @param seen the swimmer as it is; null for a new one
   * @param taken codes of the others
   */
  constructor(seen: DeckSwimmer | null, taken: readonly string[]) {
    this.#taken = taken;
    if (seen === null) return;
    this.participant = seen.participant;
    this.sex = seen.sex;
    this.birthYear = typedText(seen.birthYear);
    this.heightCm = typedText(seen.heightCm);
    this.massKg = typedText(seen.massKg);
    this.leftHandAreaCm2 = typedText(seen.leftHandAreaCm2);
    this.rightHandAreaCm2 = typedText(seen.rightHandAreaCm2);
    this.handAreaUCm2 = typedText(seen.handAreaUCm2);
    this.measuring = seen.consents.measuring;
    this.filming = seen.consents.filming;
    this.sharing = seen.consents.sharing;
    this.consentTextVersion = seen.consentTextVersion;
    this.note = seen.note;
  }

  readonly #read = $derived.by(() => {
    const faults: Partial<Record<SwimmerField, string>> = {};
    const participant = this.participant.trim();
    if (!isCode(participant) || participant.length > LONGEST_CODE)
      faults.participant = `A code has 1 to ${LONGEST_CODE} of the characters A–Z a–z 0–9 _ . - and no spaces.`;
    else if (this.#taken.includes(participant))
      faults.participant = `${participant} is on the list already; give every swimmer a code of their own.`;
    const number = (field: SwimmerField, text: string, bound: Bound = 'positive') => {
      const typed = readTyped(text, bound);
      if (!typed.ok) faults[field] = typed.says;
      return typed.ok ? typed.value : null;
    };
    const birthYear = number('birthYear', this.birthYear, 'count');
    if (birthYear !== null && (birthYear < 1900 || birthYear > 2100))
      faults.birthYear = 'A year of birth has four digits, such as 2004.';
    const swimmer: DeckSwimmer = {
      participant,
      sex: this.sex,
      birthYear,
      heightCm: number('heightCm', this.heightCm),
      massKg: number('massKg', this.massKg),
      leftHandAreaCm2: number('leftHandAreaCm2', this.leftHandAreaCm2),
      rightHandAreaCm2: number('rightHandAreaCm2', this.rightHandAreaCm2),
      handAreaUCm2: number('handAreaUCm2', this.handAreaUCm2, 'notNegative'),
      consents: { measuring: this.measuring, filming: this.filming, sharing: this.sharing },
      consentTextVersion: this.consentTextVersion.trim(),
      note: this.note.trim(),
    };
    return { swimmer, faults };
  });

  /** What is wrong, one sentence per field. */
  get faults(): Partial<Record<SwimmerField, string>> {
    return this.#read.faults;
  }

  /** The swimmer; null while something is wrong with a field. */
  get swimmer(): DeckSwimmer | null {
    return Object.keys(this.faults).length > 0 ? null : this.#read.swimmer;
  }

  /** Year of birth as far as it can be read. */
  get bornIn(): number | null {
    return this.#read.swimmer.birthYear;
  }
}
