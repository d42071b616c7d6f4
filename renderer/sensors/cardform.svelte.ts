/** A sensor's card as it is typed: what the fields say, and what is wrong with each. */
import type { SensorCard } from '../../core/sensor/draft.ts';
import { isCode } from '../../core/base/table.ts';
import { readTyped, typedText, type Bound } from '../fields/numberfield.ts';

const EMPTY_CARD: SensorCard = {
  sensor: '',
  hand: null,
  rangeKpa: null,
  rawUnit: null,
  rawMin: null,
  rawMax: null,
  state: 'in_service',
  notes: '',
};

export type CardField = 'sensor' | 'rangeKpa' | 'rawMin' | 'rawMax';

export class CardForm {
  sensor = $state('');
  hand = $state<SensorCard['hand']>(null);
  rangeKpa = $state('');
  rawUnit = $state('');
  rawMin = $state('');
  rawMax = $state('');
  state = $state<SensorCard['state']>('in_service');
  notes = $state('');
  serial = $state('');
  maker = $state('');
  /** As a date field has it; empty where none is given. */
  dueOn = $state('');
  readonly #taken: readonly string[];

  /** @param seen the card as it is; null for a new sensor. @param taken ids already in the register */
  constructor(seen: SensorCard | null, taken: readonly string[]) {
    const card = seen ?? EMPTY_CARD;
    this.#taken = seen === null ? taken : [];
    this.sensor = card.sensor;
    this.hand = card.hand;
    this.rangeKpa = typedText(card.rangeKpa);
    this.rawUnit = card.rawUnit ?? '';
    this.rawMin = typedText(card.rawMin);
    this.rawMax = typedText(card.rawMax);
    this.state = card.state;
    this.notes = card.notes;
    this.serial = card.serial ?? '';
    this.maker = card.maker ?? '';
    this.dueOn = card.dueOn ?? '';
  }

  /** What is wrong, one sentence per field. */
  readonly faults = $derived.by((): Partial<Record<CardField, string>> => {
    const faults: Partial<Record<CardField, string>> = {};
    const sensor = this.sensor.trim();
    if (!isCode(sensor))
      faults.sensor = 'An id has 1 to 64 of the characters A–Z a–z 0–9 _ . - and no spaces.';
    else if (this.#taken.includes(sensor)) faults.sensor = `Sensor ${sensor} is in the register already.`;
    const read = (field: CardField, text: string, bound: Bound) => {
      const typed = readTyped(text, bound);
      if (!typed.ok) faults[field] = typed.says;
      return typed.ok ? typed.value : null;
    };
    read('rangeKpa', this.rangeKpa, 'positive');
    const [least, most] = [read('rawMin', this.rawMin, 'any'), read('rawMax', this.rawMax, 'any')];
    if (least !== null && most !== null && !(least < most))
      faults.rawMax = 'The upper raw limit must be above the lower one.';
    return faults;
  });

  /** The card; null while something is wrong with it. */
  get card(): SensorCard | null {
    if (Object.keys(this.faults).length > 0) return null;
    const number = (text: string) => {
      const typed = readTyped(text);
      return typed.ok ? typed.value : null;
    };
    return {
      sensor: this.sensor.trim(),
      hand: this.hand,
      rangeKpa: number(this.rangeKpa),
      rawUnit: given(this.rawUnit),
      rawMin: number(this.rawMin),
      rawMax: number(this.rawMax),
      state: this.state,
      notes: this.notes,
      ...named('serial', this.serial),
      ...named('maker', this.maker),
      ...named('dueOn', this.dueOn),
    };
  }
}

function given(text: string): string | null {
  return text.trim() === '' ? null : text.trim();
}

/** A part of a card that is left out where nothing is given. */
function named(name: 'serial' | 'maker' | 'dueOn', text: string): Partial<SensorCard> {
  const value = given(text);
  return value === null ? {} : { [name]: value };
}
