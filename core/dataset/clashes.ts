/** Codes of a pool that may stand for two people: swimmers whose sex or year of birth differs from day to day. */
import { DATASET_FIELDS } from './dataset.ts';
import type { PooledDay } from './pool.ts';

/** Birth years may have been coarsened to the first of five in one dataset and not in another. */
const COARSE = 5;

/** A sentence for each such code, in code order. */
export function clashingCodes(days: readonly PooledDay[]): readonly string[] {
  const place = (name: string) => DATASET_FIELDS.participants.findIndex((field) => field.name === name);
  const [code, sex, birth] = [place('participant'), place('sex'), place('birth_year')];
  const known = new Map<string, { readonly what: string; readonly day: string; readonly shown: string }>();
  const clashes = new Map<string, string>();
  const see = (participant: string, field: string, what: string, shown: string, day: string) => {
    const key = `${participant} ${field}`;
    const before = known.get(key);
    if (before === undefined) known.set(key, { what, day, shown });
    else if (before.what !== what && !clashes.has(participant))
      clashes.set(
        participant,
        `${participant} is ${before.shown} on ${before.day} and ${shown} on ${day}. A code means one person across the days of one lab; where these are swimmers of two labs, pool each lab by itself with --lab NAME first.`,
      );
  };
  for (const { day, rows } of days)
    for (const row of rows.get('participants')!) {
      const [own, year] = [row[code]!, row[birth]!];
      if (row[sex] === 'female' || row[sex] === 'male') see(own, 'sex', row[sex], row[sex], day);
      if (year !== '') see(own, 'birth', String(Math.floor(Number(year) / COARSE)), `born in ${year}`, day);
    }
  return [...clashes].toSorted(([a], [b]) => (a < b ? -1 : 1)).map(([, says]) => says);
}
