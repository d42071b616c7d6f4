/** The calls between screens and lab: names, what their input may be, and the paths of samples and films. */
import { describe, expect, test } from 'vitest';
import { CONTRACT, isCallName, type CallName } from '../../../core/contract/contract.ts';
import { filmPath, samplesPath } from '../../../core/contract/addresses.ts';

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
  expect(samplesPath(3, 'T-1', 'left')).toBe('/samples/3/T-1/left');
  expect(filmPath(3, 'T-1', 'A')).toBe('/film/3/T-1/A');
});
