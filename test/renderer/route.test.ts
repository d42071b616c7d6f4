import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hashOf, parseRoute, type Route } from '../../renderer/route.ts';

describe('addresses', () => {
  it.each([
    ['', { screen: 'days' }],
    ['#/days', { screen: 'days' }],
    ['#/day/3', { screen: 'day', day: 3 }],
    ['#/day/3/trial/T-1.b', { screen: 'trial', day: 3, trial: 'T-1.b' }],
    ['#/day/0', { screen: 'days' }],
    ['#/day/3/trial/a%2F..', { screen: 'day', day: 3 }],
    ['#/day/3/trial/T/more', { screen: 'days' }],
    ['#/day/-1', { screen: 'days' }],
  ] as const)('%s', (hash, route) => {
    expect(parseRoute(hash)).toEqual(route);
  });

  it('read back as the place they were made from', () => {
    const day = fc.integer({ min: 1, max: 999_999_999_999_999 });
    const trial = fc.stringMatching(/^[A-Za-z0-9_.-]{1,64}$/);
    const route: fc.Arbitrary<Route> = fc.oneof(
      fc.constant({ screen: 'days' as const }),
      day.map((id) => ({ screen: 'day' as const, day: id })),
      fc.tuple(day, trial).map(([id, code]) => ({ screen: 'trial' as const, day: id, trial: code })),
    );
    fc.assert(
      fc.property(route, (place) => {
        expect(parseRoute(hashOf(place))).toEqual(place);
      }),
    );
  });
});
