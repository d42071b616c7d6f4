/** The calls between screens and lab: names, what their input may be, and the paths of samples and films. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CONTRACT, isCallName, type CallName } from '../../../core/contract/contract.ts';
import { addressOf, readAddress, type Address } from '../../../core/contract/addresses.ts';

const takes = (name: CallName, input: unknown) => CONTRACT[name].input.safeParse(input).success;

test('a name is a call only if it is in the contract', () => {
  expect(Object.keys(CONTRACT).every(isCallName)).toBe(true);
  for (const name of ['toString', 'constructor', '__proto__', 'days', ''])
    expect(isCallName(name)).toBe(false);
});

describe('input', () => {
  test.each<[CallName, unknown, boolean]>([
    ['days.list', {}, true],
    ['days.list', { more: 1 }, false],
    ['days.list', null, false],
    ['days.get', { day: 1 }, true],
    ['days.get', { day: 0 }, false],
    ['days.get', { day: 1.5 }, false],
    ['days.get', { day: '1' }, false],
    ['days.open', { path: '' }, false],
    ['places.list', { path: null }, true],
    ['trials.get', { day: 1, trial: 'T-1' }, true],
    ['trials.get', { day: 1, trial: '../T-1' }, false],
    ['trials.decide', { day: 1, trial: 'T', seen: 'recorded', status: 'excluded', reason: 'slipped' }, true],
    ['trials.decide', { day: 1, trial: 'T', seen: 'recorded', status: 'deleted', reason: '' }, false],
    [
      'trials.decide',
      { day: 1, trial: 'T', seen: 'recorded', status: 'accepted', reason: 'x'.repeat(501) },
      false,
    ],
    ['app.setOperator', { operator: '   ' }, false],
    ['app.setOperator', { operator: 'AB' }, true],
  ])('%s %j', (name, input, wanted) => expect(takes(name, input)).toBe(wanted));
});

test('paths hold codes as they are', () => {
  expect(addressOf('samples', { day: 3, trial: 'T-1', hand: 'left' })).toBe('/samples/3/T-1/left');
  expect(addressOf('film', { day: 3, trial: 'T-1', camera: 'A' })).toBe('/film/3/T-1/A');
});

const anyHand = fc.constantFrom('left' as const, 'right' as const);
const anyCode = fc.stringMatching(/^[A-Za-z0-9_-][A-Za-z0-9_.~-]{0,20}$/);
const anyDay = fc.integer({ min: 0, max: 999_999_999_999_999 });

test('every address that is built is read back to its parts', () => {
  const addresses: fc.Arbitrary<Address> = fc.oneof(
    fc.record({ of: fc.constantFrom('samples', 'raw'), day: anyDay, trial: anyCode, hand: anyHand }),
    fc.record({ of: fc.constant('film'), day: anyDay, trial: anyCode, camera: anyCode }),
    fc.record({
      of: fc.constant('recording'),
      sha256: fc.stringMatching(/^[0-9a-f]{64}$/),
      column: fc.nat(999_999),
    }),
    fc.record({ of: fc.constant('certificate'), calibration: anyDay, kind: fc.constantFrom('html', 'pdf') }),
    fc.record({
      of: fc.constant('page'),
      day: anyDay,
      page: fc.constantFrom('log', 'sheets'),
      kind: fc.constantFrom('html', 'pdf'),
    }),
    fc.record({
      of: fc.constant('protocol'),
      protocol: fc.stringMatching(/^[A-Za-z0-9_.-]{1,64}$/),
      version: fc.nat(999_999_999),
    }),
    fc.record({ of: fc.constant('protocolSchema') }),
  ) as fc.Arbitrary<Address>;
  fc.assert(
    fc.property(addresses, ({ of, ...parts }) => {
      expect(readAddress(addressOf(of, parts as never))).toEqual({ of, ...parts });
    }),
  );
});

test.each([
  '/',
  '/samples/1/T-1',
  '/samples/1/T-1/both',
  '/samples/x/T-1/left',
  '/samples/1/T-1/left/more',
  '/film/1/T-1/',
  '/page/1/log.txt',
  '/page/1/log',
  '/page/1/logxhtml',
  '/protocol/a b/1.json',
  '/recording/0/0',
  '/Samples/1/T-1/left',
])('%s is the address of nothing', (path) => expect(readAddress(path)).toBeNull());
