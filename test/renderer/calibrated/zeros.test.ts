import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, expect, it } from 'vitest';
import { failed } from '../../../core/base/refusal.ts';
import ZerosScreen from '../../../renderer/calibrated/ZerosScreen.svelte';
import { zeroPicture } from '../../../renderer/calibrated/zeroplot.ts';
import { fromFirstKpa, zeroSeries } from '../../../renderer/calibrated/zeroseries.ts';
import { axeFaults } from '../axe.ts';
import { calibratedDesk } from './lab.ts';
import { plain, stage } from './stage.ts';

afterEach(cleanup);

async function show(lab = calibratedDesk()) {
  stage(ZerosScreen, { desk: lab.desk, id: 1 });
  await screen.findByRole('table');
  return lab;
}
const row = (trial: string) => plain(screen.getByRole('rowheader', { name: trial }).closest('tr'));
const open = async (trial: string) => {
  await fireEvent.click(screen.getByRole('button', { name: new RegExp(`trial ${trial}`) }));
  return within(await screen.findByRole('dialog'));
};

it('says per trial whether the zero held, and what the plot shows', async () => {
  await show();
  expect(row('T1')).toContain('500.0520.0+0.020✓ Within the limit');
  expect(row('T2')).toContain('+0.200✕ Beyond the limit of 0.15 kPa');
  expect(row('T3')).toContain('—715.0— Not read before the trial');
  const text = plain(document.body);
  expect(text).toContain('The largest shift is +0.200 kPa, in trial T2. Beyond 0.15 kPa: T2.');
  expect(text).toContain('Not read both before and after: T3.');
  expect(text).toContain('Pool 27.0 °C · limit on the shift 0.15 kPa');
});

it('draws every reading in kPa from the first, with the limit about the one before', async () => {
  const { client } = calibratedDesk();
  const answer = await client('zeros.get', { day: 1 });
  const series = zeroSeries(answer.ok ? answer.value.readings : [])[0]!;
  // 1000 raw/kPa by the fixture: 715 raw lies 0.215 kPa above the first reading, 500 raw.
  expect(fromFirstKpa(series, 715)).toBeCloseTo(0.215, 12);
  const picture = zeroPicture(series, 0.15, 900)!;
  expect(picture.columns.map(({ beyond }) => beyond)).toEqual([false, true, false]);
  const [first, second, third] = picture.columns;
  expect(first!.before! > first!.after!, 'a higher zero lies higher').toBe(true);
  // T2's zero after lies outside its band, T1's inside; T3 has no zero before and no band.
  expect(second!.after!).toBeLessThan(second!.limit![0]);
  expect(first!.after!).toBeGreaterThan(first!.limit![0]);
  expect(third!.limit).toBeNull();
  expect(zeroPicture({ ...series, rawPerKpa: null }, 0.15, 900)).toBeNull();
});

it('proposes a zero from a quiet stretch, warns, and confirms it', async () => {
  const { calls } = await show();
  const dialog = await open('T1');
  expect(plain(document.querySelector('dialog'))).toContain(
    'held upright it reads the depth between its two taps',
  );
  await dialog.findByText(/The hand was still from/);
  expect(dialog.getByText(/Nothing near the end of the trace is quiet/)).toBeTruthy();
  expect(await axeFaults()).toEqual([]);
  await fireEvent.click(dialog.getByRole('button', { name: /^Confirm the proposed zero before/ }));
  await waitFor(() => expect(plain(document.querySelector('dialog'))).toContain('confirmed here'));
  const sent = calls.find(({ name }) => name === 'zeros.confirm')!.input as { raw: number; seen: number };
  expect(sent).toMatchObject({ day: 1, trial: 'T1', sensor: 'K-1', when: 'before', seen: 500 });
  // The fixture is quiet about 520 raw.
  expect(sent.raw).toBeCloseTo(520, 0);
  await fireEvent.click(dialog.getByRole('button', { name: /^Take back to the day’s file before/ }));
  await waitFor(() => expect(plain(document.querySelector('dialog'))).not.toContain('confirmed here'));
});

it('takes a typed zero, with a decimal comma too, and refuses what is no number', async () => {
  const { calls } = await show();
  const dialog = await open('T3');
  const field = dialog.getByLabelText('Typed zero before, count');
  await fireEvent.input(field, { target: { value: '51x' } });
  expect(dialog.getByText(/“51x” is not a number/)).toBeTruthy();
  const use = dialog.getByRole<HTMLButtonElement>('button', { name: 'Use the typed zero before' });
  expect(use.disabled).toBe(true);
  await fireEvent.input(field, { target: { value: '512,5' } });
  await fireEvent.click(use);
  await waitFor(() =>
    expect(calls).toContainEqual({
      name: 'zeros.confirm',
      input: { day: 1, trial: 'T3', sensor: 'K-1', when: 'before', raw: 512.5, seen: null },
    }),
  );
});

it('shows why a change was not taken', async () => {
  const error = {
    code: 'changed_meanwhile',
    says: 'The zero was changed meanwhile.',
    todo: 'Look again.',
  } as const;
  await show(calibratedDesk({ 'zeros.confirm': () => failed(error) }));
  const dialog = await open('T1');
  await fireEvent.click(await dialog.findByRole('button', { name: /^Confirm the proposed zero before/ }));
  expect(plain(await dialog.findByRole('alert'))).toContain('The zero was changed meanwhile. Look again.');
});

it('has no fault that axe can find', async () => {
  await show();
  expect(await axeFaults()).toEqual([]);
});
