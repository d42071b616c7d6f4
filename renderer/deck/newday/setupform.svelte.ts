/** Where and when a day is swum, as it is typed: what the fields say, and what is wrong with each. */
import type { DeckSetup } from '../../../core/deck/deck.ts';
import { readTyped, typedText, type Bound } from '../../fields/numberfield.ts';

export type SetupField = 'date' | 'poolLength' | 'waterTemperature' | 'latitude' | 'altitude';

const DATE = /^\d{4}-\d{2}-\d{2}$/;

export class SetupForm {
  date = $state('');
  venue = $state('');
  poolLength = $state('');
  waterTemperature = $state('');
  latitude = $state('');
  altitude = $state('');

  constructor(setup: Partial<DeckSetup>) {
    this.date = setup.date ?? '';
    this.venue = setup.venue ?? '';
    this.poolLength = typedText(setup.poolLengthM ?? null);
    this.waterTemperature = typedText(setup.waterTemperatureC ?? null);
    this.latitude = typedText(setup.latitudeDeg ?? null);
    this.altitude = typedText(setup.altitudeM ?? null);
  }

  /** What is wrong, one sentence per field. */
  readonly faults = $derived.by((): Partial<Record<SetupField, string>> => {
    const faults: Partial<Record<SetupField, string>> = {};
    const read = (field: SetupField, text: string, bound: Bound) => {
      const typed = readTyped(text, bound);
      if (!typed.ok) faults[field] = typed.says;
      return typed.ok ? typed.value : null;
    };
    if (!DATE.test(this.date)) faults.date = 'The day needs its date, such as 2026-03-14.';
    const poolM = read('poolLength', this.poolLength, 'positive');
    if (poolM === null) faults.poolLength ??= 'Type the length of the pool in m, such as 25.';
    const waterC = read('waterTemperature', this.waterTemperature, 'any');
    if (waterC !== null && (waterC < 0 || waterC > 40))
      faults.waterTemperature = 'Water of a pool lies between 0 and 40 °C.';
    read('latitude', this.latitude, 'latitude');
    read('altitude', this.altitude, 'any');
    return faults;
  });

  /** Length of the pool, m; null where none can be read. */
  readonly poolLengthM = $derived.by(() => numberOf(this.poolLength, 'positive'));

  /** What was typed; null while something is wrong with it. */
  read(): Omit<DeckSetup, 'files'> | null {
    const { poolLengthM } = this;
    if (Object.keys(this.faults).length > 0 || poolLengthM === null) return null;
    return {
      date: this.date,
      venue: this.venue.trim(),
      poolLengthM,
      waterTemperatureC: numberOf(this.waterTemperature, 'any'),
      latitudeDeg: numberOf(this.latitude, 'latitude'),
      altitudeM: numberOf(this.altitude, 'any'),
    };
  }
}

function numberOf(text: string, bound: Bound): number | null {
  const typed = readTyped(text, bound);
  return typed.ok ? typed.value : null;
}
