import { expect, it } from 'vitest';
import { hashOf, parseRoute, type Route } from '../../../renderer/route.ts';

it.each([
  ['#/sensors', { screen: 'sensors' }],
  ['#/sensors/K-1.b', { screen: 'sensor', sensor: 'K-1.b' }],
  ['#/sensors/K-1.b/calibrate', { screen: 'calibrate', sensor: 'K-1.b' }],
] as const satisfies readonly (readonly [string, Route])[])(
  '%s is a place, there and back',
  (hash, route) => {
    expect(parseRoute(hash)).toEqual(route);
    expect(hashOf(route)).toBe(hash);
  },
);

it('takes a code that is none, or what follows it, for no place of its own', () => {
  expect(parseRoute('#/sensors/a%2Fb')).toEqual({ screen: 'sensors' });
  expect(parseRoute('#/sensors/K-1/erase')).toEqual({ screen: 'days' });
});
