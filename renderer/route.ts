/** Where in the program a person is, as the address after `#`: so back, forward and a reload keep their meaning. */
import { isCode } from '../core/table.ts';

export type Route =
  | { readonly screen: 'days' }
  | { readonly screen: 'day'; readonly day: number }
  | { readonly screen: 'trial'; readonly day: number; readonly trial: string };

const DAY = /^#\/day\/([1-9]\d{0,14})(?:\/trial\/([^/]+))?$/;

/** Reads an address; anything that is none leads to the days. */
export function parseRoute(hash: string): Route {
  const found = DAY.exec(hash);
  if (found === null) return { screen: 'days' };
  const day = Number(found[1]);
  const trial = found[2];
  if (trial === undefined) return { screen: 'day', day };
  return isCode(trial) ? { screen: 'trial', day, trial } : { screen: 'day', day };
}

/** The address of a place in the program. */
export function hashOf(route: Route): string {
  switch (route.screen) {
    case 'days':
      return '#/days';
    case 'day':
      return `#/day/${route.day}`;
    case 'trial':
      return `#/day/${route.day}/trial/${route.trial}`;
  }
}
