/** Who may be a minor: under 18 (UN Convention on the Rights of the Child, article 1); local law decides. */
import { expect, test } from 'vitest';
import { minorProblem } from '../../../core/deck/minor.ts';

const DATE = '2026-03-14';
const sure = (year: number, isMinor: boolean | null) => minorProblem({ year, isMinor }, DATE)?.isSure ?? null;

test('a swimmer of 17 by the year alone is one, whatever the day of birth', () => {
  expect(sure(2009, null)).toBe(true);
  expect(sure(2012, null)).toBe(true);
});

test('one who turns 18 that year may be one, until a whole date settles it', () => {
  expect(sure(2008, null)).toBe(false);
  expect(sure(2008, true)).toBe(true);
  expect(sure(2008, false)).toBeNull();
});

test('an adult, and one whose birth is not known, is not spoken of', () => {
  expect(sure(2007, null)).toBeNull();
  expect(minorProblem(null, DATE)).toBeNull();
});

test('the sentence says what is needed', () =>
  expect(minorProblem({ year: 2010, isMinor: null }, DATE)!.says).toMatch(/assent and a guardian’s consent/));
