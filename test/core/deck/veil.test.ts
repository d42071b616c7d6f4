/** Texts that name a swimmer who must not be named. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { firstPlan } from '../../../core/deck/plan.ts';
import { namesAny, namesWithdrawn, namesWithheld, withheldCount } from '../../../core/deck/veil.ts';
import { SETUP, swimmer } from './build.ts';

const consents = (measuring: 'given' | 'withdrawn' | 'missing') => ({
  consents: { measuring, filming: 'given', sharing: 'given' } as const,
});
const PLAN = {
  ...firstPlan(SETUP),
  swimmers: [
    swimmer('P1', consents('given')),
    swimmer('P2', consents('withdrawn')),
    swimmer('P3', consents('missing')),
  ],
};

test('a code stands in a name up to the next letter or digit, in either case', () => {
  const names = namesAny(new Set(['P1', 'a.b-c']));
  expect(['P1', 'p1-2.csv', 'x_P1_A.mp4', '(P1)', 'a.b-c-1'].every(names)).toBe(true);
  expect(['P10', 'XP1', 'P', 'a-b-c', 'axb-c', ''].some(names)).toBe(false);
});

test('nobody is named where there is nobody to hide', () => expect(namesAny(new Set())('P1')).toBe(false));

test('who withdrew, who does not consent, and who stood there before are hidden; the others are not', () => {
  const names = namesWithheld(PLAN, ['OLD']);
  expect(['P2-1', 'P3', 'OLD.csv'].every(names)).toBe(true);
  expect(names('P1-1')).toBe(false);
  expect(['P2', 'P3', 'OLD'].map(namesWithdrawn(PLAN))).toEqual([true, false, false]);
  expect(withheldCount(PLAN)).toBe(2);
});

test('a code is found wherever it stands between other signs', () => {
  const code = fc.stringMatching(/^[A-Za-z0-9][A-Za-z0-9.-]{0,8}$/);
  const sign = fc.constantFrom('', ' ', '_', '-', '/', '(', '.', ',');
  fc.assert(
    fc.property(code, sign, sign, (name, before, after) => {
      expect(namesAny(new Set([name]))(`x ${before}${name}${after} y`)).toBe(true);
    }),
  );
});
