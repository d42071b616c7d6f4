/** How complete a set of trials is: swimmers × attempts × conditions, and what of it is missing. */
import { counted } from '../../base/words.ts';
import { byCodePoint, grouped } from '../study.ts';

/** A trial as completeness reads it. */
export interface PlacedTrial {
  readonly day: string;
  readonly participant: string;
  /** Empty for none. */
  readonly condition: string;
  readonly attempt: number | null;
  readonly excluded: boolean;
  /** Whether it has the quantity that is asked for. */
  readonly hasValue: boolean;
}

/** A swimmer of a day, with or without trials; `attempts` as the protocol plans them, null where it does not say. */
export interface PlacedSwimmer {
  readonly day: string;
  readonly participant: string;
  readonly attempts: number | null;
}

/** What is there of one attempt: a trial that counts, one without the quantity, only excluded ones, none. */
export type Presence = 'there' | 'no_value' | 'excluded' | 'missing';

export interface Place {
  /** Empty where trials have no condition. */
  readonly condition: string;
  /** Null for trials without a number. */
  readonly attempt: number | null;
}

export interface Completeness {
  readonly places: readonly Place[];
  readonly swimmers: readonly {
    readonly day: string;
    readonly participant: string;
    readonly presence: readonly Presence[];
  }[];
  /** How much is there, in a sentence. */
  readonly says: string;
}

/** The table of who has swum what. Every swimmer is expected in every condition and attempt that anyone has. */
export function completenessOf(
  swimmers: readonly PlacedSwimmer[],
  trials: readonly PlacedTrial[],
): Completeness {
  const places = placesOf(swimmers, trials);
  const own = grouped(trials, ({ day, participant }) => `${day} ${participant}`);
  const rows = swimmers.map(({ day, participant }) => {
    const at = grouped(own.get(`${day} ${participant}`) ?? [], ({ condition, attempt }) =>
      JSON.stringify([condition, attempt]),
    );
    const presence = places.map(({ condition, attempt }) =>
      presenceOf(at.get(JSON.stringify([condition, attempt])) ?? []),
    );
    return { day, participant, presence };
  });
  return { places, swimmers: rows, says: sentenceOf(places, rows) };
}

function placesOf(swimmers: readonly PlacedSwimmer[], trials: readonly PlacedTrial[]): readonly Place[] {
  const planned = swimmers.reduce((most, { attempts }) => Math.max(most, attempts ?? 0), 0);
  const most = trials.reduce((largest, { attempt }) => Math.max(largest, attempt ?? 0), planned);
  const conditions = [...new Set(trials.map(({ condition }) => condition))].sort(byCodePoint);
  if (conditions.length === 0) conditions.push('');
  const numbers = Array.from({ length: most }, (_, k): number | null => k + 1);
  return conditions.flatMap((condition) => {
    const unnumbered = trials.some((one) => one.condition === condition && one.attempt === null);
    return [...numbers, ...(unnumbered ? [null] : [])].map((attempt) => ({ condition, attempt }));
  });
}

function presenceOf(trials: readonly PlacedTrial[]): Presence {
  if (trials.length === 0) return 'missing';
  const kept = trials.filter(({ excluded }) => !excluded);
  if (kept.length === 0) return 'excluded';
  return kept.some(({ hasValue }) => hasValue) ? 'there' : 'no_value';
}

function sentenceOf(
  places: readonly Place[],
  rows: readonly { readonly presence: readonly Presence[] }[],
): string {
  if (rows.length === 0) return 'There is no swimmer.';
  const whole = rows.filter(({ presence }) => presence.every((one) => one === 'there')).length;
  const count = (what: Presence) =>
    rows.reduce((sum, { presence }) => sum + presence.filter((one) => one === what).length, 0);
  const swims = rows.length * places.length;
  const lacks = [
    [count('missing'), 'not swum'],
    [count('excluded'), 'excluded'],
    [count('no_value'), 'without the quantity'],
  ] as const;
  const said = lacks.filter(([number]) => number > 0).map(([number, what]) => `${number} ${what}`);
  const rest = said.length === 0 ? '' : ` Of ${counted(swims, 'swim')}: ${said.join(', ')}.`;
  return `${whole} of ${counted(rows.length, 'swimmer')} complete.${rest}`;
}
