/** Power of t tests against R's power.t.test and SciPy's noncentral t. */
import { describe, expect, test } from 'vitest';
import { powerOf, swimmersFor } from '../../core/protocol/power.ts';
import type { PlannedComparison } from '../../core/protocol/content.ts';

type Tails = 'both' | 'expected';

const base: PlannedComparison = {
  kind: 'two_groups',
  quantity: 'velocity, m/s',
  first: 20,
  second: 20,
  difference: 1,
  sd: 1,
  alpha: 0.05,
  sides: 'two',
};

function power(part: Partial<PlannedComparison>, tails?: Tails): number {
  const found = powerOf({ ...base, ...part }, tails);
  if (!found.ok) throw new Error(found.error.says);
  return found.value.power;
}

const each = (n: number) => ({ first: n, second: n });

describe('examples of the manual page of power.t.test (R 4.2.2, run here; the page itself opened in a public copy)', () => {
  test('n = 20, delta = 1, sd = 1: power 0.8689528', () =>
    expect(power(each(20), 'expected')).toBeCloseTo(0.8689528017, 7));

  test('power = .90, delta = 1: n = 22.02110, so 23 whole swimmers', () => {
    expect(power(each(22.0210977), 'expected')).toBeCloseTo(0.9, 6);
    expect(swimmersFor(base, 0.9)).toMatchObject({ ok: true, value: { swimmers: 23 } });
  });

  test('the same one-sided: n = 17.84713, so 18 whole swimmers', () => {
    expect(power({ ...each(17.84712609), sides: 'one' })).toBeCloseTo(0.9, 6);
    expect(swimmersFor({ ...base, sides: 'one' }, 0.9)).toMatchObject({ ok: true, value: { swimmers: 18 } });
  });
});

describe('power.t.test of R 4.2.2, run here', () => {
  const paired: Partial<PlannedComparison> = { kind: 'paired' };
  test.each<[string, Partial<PlannedComparison>, Tails, number]>([
    ['n=20, delta=1, strict', each(20), 'both', 0.868953027725],
    ['n=10, delta=0.2', { ...each(10), difference: 0.2 }, 'expected', 0.0622645016937],
    ['n=10, delta=0.2, strict', { ...each(10), difference: 0.2 }, 'both', 0.0708213451895],
    ['n=5, delta=0.05', { ...each(5), difference: 0.05 }, 'expected', 0.0293974570617],
    ['n=5, delta=0.05, strict', { ...each(5), difference: 0.05 }, 'both', 0.0505626355876],
    [
      'paired n=12, 0.05/0.08',
      { ...paired, first: 12, difference: 0.05, sd: 0.08 },
      'expected',
      0.505993388627,
    ],
    ['paired n=12, strict', { ...paired, first: 12, difference: 0.05, sd: 0.08 }, 'both', 0.506031346195],
    [
      'paired n=8, 0.1/0.12, one-sided, alpha 0.01',
      { ...paired, first: 8, difference: 0.1, sd: 0.12, sides: 'one', alpha: 0.01 },
      'both',
      0.340248006924,
    ],
    ['paired n=2, strict', { ...paired, first: 2 }, 'both', 0.0928091550565],
    ['n=1000, delta=0.1, strict', { ...each(1000), difference: 0.1 }, 'both', 0.608366705809],
  ])('%s', (_, part, tails, expected) => expect(Math.abs(power(part, tails) - expected)).toBeLessThan(2e-8));

  test.each<[number, Partial<PlannedComparison>, number]>([
    [63.76576371, { difference: 0.5 }, 0.8],
    [33.36720409, { difference: 0.5, kind: 'paired' }, 0.8],
    [585.6092706, { difference: 0.2, alpha: 0.01 }, 0.8],
  ])('n = %f for a power of 0.8 is rounded up', (n, part, wanted) =>
    expect(swimmersFor({ ...base, ...part }, wanted)).toMatchObject({
      ok: true,
      value: { swimmers: Math.ceil(n) },
    }),
  );
});

/**
 * SciPy 1.10.1, run here: t = stats.t.isf(alpha / sides, df); stats.nct.sf(t, df, ncp), two-sided plus
 * stats.nct.cdf(−t, df, ncp). Kind, n₁, n₂, difference in SD, alpha, sides, power; every case with ncp up to 20.
 */
const SCIPY: readonly [PlannedComparison['kind'], number, number, number, number, 'one' | 'two', number][] = [
  ['two_groups', 2, 2, 0.05, 0.05, 'two', 0.05011577419],
  ['two_groups', 2, 2, 0.05, 0.01, 'one', 0.01081446317],
  ['two_groups', 2, 2, 0.05, 0.001, 'two', 0.001002496248],
  ['two_groups', 2, 2, 0.3, 0.05, 'two', 0.05415899453],
  ['two_groups', 2, 2, 0.3, 0.01, 'one', 0.01567693354],
  ['two_groups', 2, 2, 0.3, 0.001, 'two', 0.001089861003],
  ['two_groups', 2, 2, 0.8, 0.05, 'two', 0.07918238751],
  ['two_groups', 2, 2, 0.8, 0.01, 'one', 0.03000256054],
  ['two_groups', 2, 2, 0.8, 0.001, 'two', 0.001638835973],
  ['two_groups', 2, 2, 1.5, 0.05, 'two', 0.1486915791],
  ['two_groups', 2, 2, 1.5, 0.01, 'one', 0.06223643797],
  ['two_groups', 2, 2, 1.5, 0.001, 'two', 0.003244101827],
  ['two_groups', 2, 2, 4, 0.05, 'two', 0.5645142892],
  ['two_groups', 2, 2, 4, 0.01, 'one', 0.2860930305],
  ['two_groups', 2, 2, 4, 0.001, 'two', 0.01684894209],
  ['two_groups', 3, 9, 0.05, 0.05, 'two', 0.05053138435],
  ['two_groups', 3, 9, 0.05, 0.01, 'one', 0.01189153558],
  ['two_groups', 3, 9, 0.05, 0.001, 'two', 0.00101981892],
  ['two_groups', 3, 9, 0.3, 0.05, 'two', 0.06932124101],
  ['two_groups', 3, 9, 0.3, 0.01, 'one', 0.02663720045],
  ['two_groups', 3, 9, 0.3, 0.001, 'two', 0.001766021644],
  ['two_groups', 3, 9, 0.8, 0.05, 'two', 0.1925785181],
  ['two_groups', 3, 9, 0.8, 0.01, 'one', 0.1001822264],
  ['two_groups', 3, 9, 0.8, 0.001, 'two', 0.008924669495],
  ['two_groups', 3, 9, 1.5, 0.05, 'two', 0.5288482554],
  ['two_groups', 3, 9, 1.5, 0.01, 'one', 0.3536003077],
  ['two_groups', 3, 9, 1.5, 0.001, 'two', 0.05649572569],
  ['two_groups', 3, 9, 4, 0.05, 'two', 0.9996617492],
  ['two_groups', 3, 9, 4, 0.01, 'one', 0.9973165569],
  ['two_groups', 3, 9, 4, 0.001, 'two', 0.8576973082],
  ['two_groups', 6, 6, 0.05, 0.05, 'two', 0.05070858404],
  ['two_groups', 6, 6, 0.05, 0.01, 'one', 0.01221016038],
  ['two_groups', 6, 6, 0.05, 0.001, 'two', 0.001026443598],
  ['two_groups', 6, 6, 0.3, 0.05, 'two', 0.07584215751],
  ['two_groups', 6, 6, 0.3, 0.01, 'one', 0.03060685563],
  ['two_groups', 6, 6, 0.3, 0.001, 'two', 0.002045656154],
  ['two_groups', 6, 6, 0.8, 0.05, 'two', 0.2410184275],
  ['two_groups', 6, 6, 0.8, 0.01, 'one', 0.1313909338],
  ['two_groups', 6, 6, 0.8, 0.001, 'two', 0.01291036077],
  ['two_groups', 6, 6, 1.5, 0.05, 'two', 0.6495814802],
  ['two_groups', 6, 6, 1.5, 0.01, 'one', 0.4690316917],
  ['two_groups', 6, 6, 1.5, 0.001, 'two', 0.0918875389],
  ['two_groups', 6, 6, 4, 0.05, 'two', 0.9999873369],
  ['two_groups', 6, 6, 4, 0.01, 'one', 0.9998080865],
  ['two_groups', 6, 6, 4, 0.001, 'two', 0.9552620081],
  ['two_groups', 12, 7, 0.05, 0.05, 'two', 0.05113105564],
  ['two_groups', 12, 7, 0.05, 0.01, 'one', 0.012901477],
  ['two_groups', 12, 7, 0.05, 0.001, 'two', 0.001047748524],
  ['two_groups', 12, 7, 0.3, 0.05, 'two', 0.09156390072],
  ['two_groups', 12, 7, 0.3, 0.01, 'one', 0.04059785793],
  ['two_groups', 12, 7, 0.3, 0.001, 'two', 0.003038723947],
  ['two_groups', 12, 7, 0.8, 0.05, 'two', 0.3549179102],
  ['two_groups', 12, 7, 0.8, 0.01, 'one', 0.2189495957],
  ['two_groups', 12, 7, 0.8, 0.001, 'two', 0.0316359496],
  ['two_groups', 12, 7, 1.5, 0.05, 'two', 0.8441444533],
  ['two_groups', 12, 7, 1.5, 0.01, 'one', 0.7168496281],
  ['two_groups', 12, 7, 1.5, 0.001, 'two', 0.2672356416],
  ['two_groups', 12, 7, 4, 0.05, 'two', 0.9999999984],
  ['two_groups', 12, 7, 4, 0.01, 'one', 0.9999999531],
  ['two_groups', 12, 7, 4, 0.001, 'two', 0.9998789184],
  ['two_groups', 40, 15, 0.05, 0.05, 'two', 0.05301821929],
  ['two_groups', 40, 15, 0.05, 0.01, 'one', 0.01518029639],
  ['two_groups', 40, 15, 0.05, 0.001, 'two', 0.001146461945],
  ['two_groups', 40, 15, 0.3, 0.05, 'two', 0.1635062346],
  ['two_groups', 40, 15, 0.3, 0.01, 'one', 0.08683082476],
  ['two_groups', 40, 15, 0.3, 0.001, 'two', 0.009427113583],
  ['two_groups', 40, 15, 0.8, 0.05, 'two', 0.737030003],
  ['two_groups', 40, 15, 0.8, 0.01, 'one', 0.5980770699],
  ['two_groups', 40, 15, 0.8, 0.001, 'two', 0.217247443],
  ['two_groups', 40, 15, 1.5, 0.05, 'two', 0.9981511021],
  ['two_groups', 40, 15, 1.5, 0.01, 'one', 0.9937760979],
  ['two_groups', 40, 15, 1.5, 0.001, 'two', 0.9204818047],
  ['two_groups', 40, 15, 4, 0.05, 'two', 1],
  ['two_groups', 40, 15, 4, 0.01, 'one', 1],
  ['two_groups', 40, 15, 4, 0.001, 'two', 1],
  ['two_groups', 400, 600, 0.05, 0.05, 'two', 0.1209191937],
  ['two_groups', 400, 600, 0.05, 0.01, 'one', 0.06023537702],
  ['two_groups', 400, 600, 0.05, 0.001, 'two', 0.00592492239],
  ['two_groups', 400, 600, 0.3, 0.05, 'two', 0.9963532707],
  ['two_groups', 400, 600, 0.3, 0.01, 'one', 0.9896914999],
  ['two_groups', 400, 600, 0.3, 0.001, 'two', 0.9105970627],
  ['two_groups', 400, 600, 0.8, 0.05, 'two', 1],
  ['two_groups', 400, 600, 0.8, 0.01, 'one', 1],
  ['two_groups', 400, 600, 0.8, 0.001, 'two', 1],
  ['paired', 2, 2, 0.05, 0.05, 'two', 0.05012443411],
  ['paired', 2, 2, 0.05, 0.01, 'one', 0.01091105355],
  ['paired', 2, 2, 0.05, 0.001, 'two', 0.001002498954],
  ['paired', 2, 2, 0.3, 0.05, 'two', 0.05441466767],
  ['paired', 2, 2, 0.3, 0.01, 'one', 0.01620245907],
  ['paired', 2, 2, 0.3, 0.001, 'two', 0.001088673761],
  ['paired', 2, 2, 0.8, 0.05, 'two', 0.07882061454],
  ['paired', 2, 2, 0.8, 0.01, 'one', 0.02996490238],
  ['paired', 2, 2, 0.8, 0.001, 'two', 0.001579562928],
  ['paired', 2, 2, 1.5, 0.05, 'two', 0.1329521242],
  ['paired', 2, 2, 1.5, 0.01, 'one', 0.05327842606],
  ['paired', 2, 2, 1.5, 0.001, 'two', 0.002673958398],
  ['paired', 2, 2, 4, 0.05, 'two', 0.3428357101],
  ['paired', 2, 2, 4, 0.01, 'one', 0.1410304869],
  ['paired', 2, 2, 4, 0.001, 'two', 0.007089719187],
  ['paired', 3, 3, 0.05, 0.05, 'two', 0.05034728026],
  ['paired', 3, 3, 0.05, 0.01, 'one', 0.01144249049],
  ['paired', 3, 3, 0.05, 0.001, 'two', 0.001007488726],
  ['paired', 3, 3, 0.3, 0.05, 'two', 0.06242244046],
  ['paired', 3, 3, 0.3, 0.01, 'one', 0.0211560259],
  ['paired', 3, 3, 0.3, 0.001, 'two', 0.001269558761],
  ['paired', 3, 3, 0.8, 0.05, 'two', 0.1348853992],
  ['paired', 3, 3, 0.8, 0.01, 'one', 0.05593720783],
  ['paired', 3, 3, 0.8, 0.001, 'two', 0.00291528262],
  ['paired', 3, 3, 1.5, 0.05, 'two', 0.3163818615],
  ['paired', 3, 3, 1.5, 0.01, 'one', 0.14258411],
  ['paired', 3, 3, 1.5, 0.001, 'two', 0.007717193702],
  ['paired', 3, 3, 4, 0.05, 'two', 0.9084887437],
  ['paired', 3, 3, 4, 0.01, 'one', 0.6211453708],
  ['paired', 3, 3, 4, 0.001, 'two', 0.0477964941],
  ['paired', 9, 9, 0.05, 0.05, 'two', 0.05202710238],
  ['paired', 9, 9, 0.05, 0.01, 'one', 0.01393771512],
  ['paired', 9, 9, 0.05, 0.001, 'two', 0.001071023691],
  ['paired', 9, 9, 0.3, 0.05, 'two', 0.1251740535],
  ['paired', 9, 9, 0.3, 0.01, 'one', 0.05857575492],
  ['paired', 9, 9, 0.3, 0.001, 'two', 0.004213600443],
  ['paired', 9, 9, 0.8, 0.05, 'two', 0.5590961237],
  ['paired', 9, 9, 0.8, 0.01, 'one', 0.3729563979],
  ['paired', 9, 9, 0.8, 0.001, 'two', 0.05534972507],
  ['paired', 9, 9, 1.5, 0.05, 'two', 0.9747105082],
  ['paired', 9, 9, 1.5, 0.01, 'one', 0.914777603],
  ['paired', 9, 9, 1.5, 0.001, 'two', 0.4121711009],
  ['paired', 9, 9, 4, 0.05, 'two', 1],
  ['paired', 9, 9, 4, 0.01, 'one', 1],
  ['paired', 9, 9, 4, 0.001, 'two', 0.9999848194],
  ['paired', 30, 30, 0.05, 0.05, 'two', 0.05807752808],
  ['paired', 30, 30, 0.05, 0.01, 'one', 0.01946538617],
  ['paired', 30, 30, 0.05, 0.001, 'two', 0.001380017604],
  ['paired', 30, 30, 0.3, 0.05, 'two', 0.3554627312],
  ['paired', 30, 30, 0.3, 0.01, 'one', 0.2238998385],
  ['paired', 30, 30, 0.3, 0.001, 'two', 0.03636786012],
  ['paired', 30, 30, 0.8, 0.05, 'two', 0.9884752401],
  ['paired', 30, 30, 0.8, 0.01, 'one', 0.9675539783],
  ['paired', 30, 30, 0.8, 0.001, 'two', 0.7520431949],
  ['paired', 30, 30, 1.5, 0.05, 'two', 0.9999999988],
  ['paired', 30, 30, 1.5, 0.01, 'one', 0.9999999786],
  ['paired', 30, 30, 1.5, 0.001, 'two', 0.9999802622],
  ['paired', 500, 500, 0.05, 0.05, 'two', 0.2003616065],
  ['paired', 500, 500, 0.05, 0.01, 'one', 0.112882068],
  ['paired', 500, 500, 0.05, 0.001, 'two', 0.01468825221],
  ['paired', 500, 500, 0.3, 0.05, 'two', 0.9999989063],
  ['paired', 500, 500, 0.3, 0.01, 'one', 0.9999936032],
  ['paired', 500, 500, 0.3, 0.001, 'two', 0.9996391078],
  ['paired', 500, 500, 0.8, 0.05, 'two', 1],
  ['paired', 500, 500, 0.8, 0.01, 'one', 1],
  ['paired', 500, 500, 0.8, 0.001, 'two', 1],
];

test(`${SCIPY.length} cases of SciPy, unequal groups and pairs, within 2·10⁻⁸`, () => {
  const worst = SCIPY.map(([kind, first, second, difference, alpha, sides, expected]) =>
    Math.abs(power({ kind, first, second, difference, alpha, sides }) - expected),
  );
  expect(Math.max(...worst)).toBeLessThan(2e-8);
});

describe('beyond ncp = 20, where the library cuts its series short', () => {
  test('power is told where it is 1: df 8, ncp 25, SciPy 1.10.1 gives 1 − nct.sf below 10⁻¹⁵', () =>
    expect(power({ kind: 'paired', first: 9, difference: 25 / 3 })).toBe(1));

  test('else it is not, with the reason: df 1, ncp 28.3, where SciPy 1.10.1 gives 0.974', () =>
    expect(powerOf({ ...base, kind: 'paired', first: 2, difference: 20 })).toMatchObject({
      ok: false,
      error: { code: 'not_computed' },
    }));
});
