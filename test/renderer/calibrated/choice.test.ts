import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, expect, it } from 'vitest';
import { failed } from '../../../core/base/refusal.ts';
import ChoiceScreen from '../../../renderer/calibrated/ChoiceScreen.svelte';
import { previewSentence } from '../../../renderer/calibrated/rulewords.ts';
import { axeFaults } from '../axe.ts';
import { calibratedDesk } from './lab.ts';
import { stage } from './stage.ts';

afterEach(cleanup);

const LATEST = /^Latest accepted before the trial/;

async function show(lab = calibratedDesk()) {
  stage(ChoiceScreen, { desk: lab.desk, id: 1 });
  await screen.findByRole('table', { name: 'Calibrations in use' });
  return lab;
}

it('says which calibration each sensor uses and why', async () => {
  await show();
  expect(screen.getByRole('heading', { name: 'In use now: the day’s own' })).toBeTruthy();
  expect(screen.getByText('The calibration of the day folder itself, accepted.')).toBeTruthy();
  expect(await axeFaults()).toEqual([]);
});

it('shows what another rule would change before it is kept, then keeps it', async () => {
  const { calls } = await show();
  await fireEvent.click(screen.getByRole('radio', { name: LATEST }));
  const changes = within(await screen.findByRole('table', { name: 'Peak forces before and after' }));
  expect(changes.getByText('+2.00')).toBeTruthy();
  expect(
    screen.getByText(
      '2 peak forces of 3 would change; the most by +2.00 % (left hand, trial T1); 1 hand would have no force.',
    ),
  ).toBeTruthy();
  expect(await axeFaults()).toEqual([]);
  expect(calls.some(({ name }) => name === 'choice.keep')).toBe(false);
  // A rule that takes a force away is never the way that is offered first.
  const keep = screen.getByRole('button', { name: /^Keep it all the same, and leave 1.hand without force$/ });
  expect(keep.classList.contains('main')).toBe(false);
  await fireEvent.click(keep);
  await screen.findByRole('heading', { name: 'In use now: latest accepted before the trial' });
  expect(calls).toContainEqual({ name: 'choice.keep', input: { day: 1, rule: 'latest', seen: 'day' } });
  await waitFor(() => expect(screen.queryByText(/On trial, not kept/)).toBeNull());
});

it('shows why a rule cannot be tried, and lets the one in use be chosen again', async () => {
  const error = { code: 'bad_input', says: 'There is no such rule.', todo: 'Choose another.' } as const;
  await show(calibratedDesk({ 'choice.try': () => failed(error) }));
  await fireEvent.click(screen.getByRole('radio', { name: LATEST }));
  expect((await screen.findByRole('alert')).textContent).toContain('There is no such rule.');
  await fireEvent.click(screen.getByRole('radio', { name: /^The day’s own/ }));
  expect(screen.queryByRole('button', { name: 'Keep this rule' })).toBeNull();
});

it('says so where nothing would change', () => {
  expect(previewSentence([])).toBe('No peak force would change.');
});
