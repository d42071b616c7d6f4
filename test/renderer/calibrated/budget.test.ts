import { cleanup, fireEvent, screen, within } from '@testing-library/svelte';
import { afterEach, expect, it } from 'vitest';
import BudgetPanel from '../../../renderer/calibrated/BudgetPanel.svelte';
import { uText } from '../../../renderer/calibrated/budgetwords.ts';
import { axeFaults } from '../axe.ts';
import { trialView } from '../review/fixture.ts';
import { calibratedDesk } from './lab.ts';
import { plain, stage } from './stage.ts';

afterEach(cleanup);

async function show() {
  const { client, calls } = calibratedDesk();
  const view = trialView();
  stage(BudgetPanel, { client, view });
  await screen.findByRole('table', { name: 'Sources of uncertainty' });
  return { calls, view };
}
const source = (name: RegExp) =>
  within(screen.getByRole('rowheader', { name }).closest('tr')!)
    .getAllByRole('cell')
    .map((cell) => plain(cell));

it('starts at the hand’s mean peak force and shares the uncertainty out', async () => {
  const { calls, view } = await show();
  const peakN = view.result.hands.left.peakForce!.value;
  expect(calls[0]).toEqual({
    name: 'trials.budget',
    input: { day: 1, trial: 'T-1', hand: 'left', forceN: Number(peakN.toFixed(1)) },
  });
  // By hand, at F: area 2/142 of F, sensitivity 3/1000 of F, tap depth 996.5 × 9.81 × 0.01 Pa / √3 × 142 cm².
  const forceN = Number(peakN.toFixed(1));
  expect(Number(source(/^Hand area/)[0])).toBeCloseTo((forceN * 2) / 142, 1);
  expect(Number(source(/^Sensitivity/)[0])).toBeCloseTo(forceN * 0.003, 2);
  expect(Number(source(/^Tap depth/)[0])).toBeCloseTo(((996.5 * 9.81 * 0.01) / Math.sqrt(3)) * 142e-4, 1);
  const shares = [/^Hand/, /^Sens/, /^Ref/, /^Tap/, /^Zero/, /^Noise/].map((name) => Number(source(name)[1]));
  expect(shares.reduce((sum, share) => sum + share)).toBeCloseTo(100, 0);
  expect(plain(document.querySelector('ul'))).toContain(
    'Left hand: area 150.0 ± 2.0 cm², from the roster. As roster.csv gives it. The calibration of the day folder itself, accepted.',
  );
  expect(plain(screen.getByRole('table', { name: 'Total uncertainty of the force' }))).toContain(
    'With the fitted zero and its correlation with the sensitivity',
  );
  expect(screen.getByText(/^Left out: that one or a few taps/)).toBeTruthy();
  expect(await axeFaults()).toEqual([]);
});

it('says above it what the forces rest on, an estimated area marked', () => {
  const { client } = calibratedDesk();
  const view = trialView();
  const estimated = {
    cm2: 150,
    uCm2: 15,
    method: 'estimated',
    says: 'Estimated from height and mass.',
  } as const;
  stage(BudgetPanel, { client, view: { ...view, areas: { left: estimated, right: null } } });
  const text = plain(document.querySelector('ul'));
  expect(text).toContain(
    'Left hand: area 150 ± 15 cm², ESTIMATE from height and mass. Estimated from height and mass.',
  );
  expect(text).toContain('Right hand: no area is known, so no force.');
});

it('asks again for another force and another hand, and says why there is no budget', async () => {
  const { calls } = await show();
  await fireEvent.input(screen.getByLabelText('For a force of, N'), { target: { value: '20' } });
  expect(calls.at(-1)!.input).toMatchObject({ forceN: 20 });
  await fireEvent.input(screen.getByLabelText('For a force of, N'), { target: { value: '0' } });
  expect(calls.at(-1)!.input).toMatchObject({ forceN: 20 });
  expect(screen.getByText('It must be above 0.')).toBeTruthy();
  await fireEvent.click(screen.getByRole('radio', { name: 'Right hand' }));
  expect(await screen.findByText(/Two points leave the scatter of the line unknown/)).toBeTruthy();
});

it('gives uncertainties two significant digits', () => {
  expect([0, 0.0123, 0.123, 1.23, 12.3].map(uText)).toEqual(['0', '0.012', '0.12', '1.2', '12']);
});
