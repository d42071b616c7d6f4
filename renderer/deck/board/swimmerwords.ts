/** What is known of a swimmer's body, with units; null where it is not known. */
import type { DeckSwimmer } from '../../../core/deck/deck.ts';
import { counted, formatMeasured, formatNumber } from '../../format.ts';

const SPACE = '\u00a0';

export interface BodyFact {
  readonly name: string;
  readonly text: string | null;
  /** True where the value alone tells what it is of. */
  readonly bare: boolean;
}

export function bodyFacts(swimmer: DeckSwimmer): readonly BodyFact[] {
  const { heightCm, massKg, leftHandAreaCm2, rightHandAreaCm2, handAreaUCm2, sex, birthYear } = swimmer;
  const plain = (value: number | null, unit: string) =>
    value === null ? null : `${formatNumber(value, Number.isInteger(value) ? 0 : 1)}${SPACE}${unit}`;
  const area = (cm2: number | null) =>
    cm2 === null ? 'not measured' : formatMeasured({ value: cm2, u: handAreaUCm2 }, 'cm²');
  return [
    { name: 'Height', text: plain(heightCm, 'cm'), bare: true },
    { name: 'Mass', text: plain(massKg, 'kg'), bare: true },
    { name: 'Left hand', text: area(leftHandAreaCm2), bare: false },
    { name: 'Right hand', text: area(rightHandAreaCm2), bare: false },
    { name: 'Sex', text: sex, bare: true },
    { name: 'Born', text: birthYear === null ? null : String(birthYear), bare: false },
  ];
}

/** What withdrawing a swimmer does, before it is done. */
export function withdrawWords(participant: string, planned: number): string {
  const order =
    planned === 0
      ? ''
      : `The ${counted(planned, 'trial')} still to swim ${planned === 1 ? 'leaves' : 'leave'} the order. `;
  return `${order}Everything recorded of ${participant} is hidden from every screen, number and export. Nothing is deleted: Undo brings all of it back.`;
}
