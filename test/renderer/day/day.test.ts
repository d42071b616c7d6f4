import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { flagMeaning } from '../../../core/stroke/flags.ts';
import { failed } from '../../../core/base/refusal.ts';
import App from '../../../renderer/shell/App.svelte';
import { axeFaults } from '../axe.ts';
import { goTo } from '../browser.ts';
import { dayView, fakeLab } from '../fixture.ts';

beforeEach(async () => {
  localStorage.clear();
  await goTo('#/day/1');
  document.documentElement.lang = 'en';
});
afterEach(cleanup);

const plain = (element: Element | null) =>
  element!.textContent.replaceAll('\u00a0', ' ').replaceAll(/\s+/g, ' ');
const row = async (trial: string) => (await screen.findByRole('link', { name: trial })).closest('tr')!;
const codes = () =>
  within(screen.getByRole('table', { name: /^Trials with verdict/ }))
    .getAllByRole('link')
    .map((link) => link.textContent.trim());

async function show(lab = fakeLab()) {
  render(App, { client: lab.client });
  await row('T1');
  return lab;
}

it('shows each trial with its verdict, the reason and its numbers', async () => {
  await show();
  expect(plain(await row('T1'))).toContain('Good');
  const lost = plain(await row('T2'));
  expect(lost).toContain('Swim again');
  expect(lost).toContain('There is no readable trace, so no force.');
  expect(plain(await row('T3'))).toContain('No stroke of the left hand is marked.');
  // By hand: the fixture's cycle is 1.2 s, so 60 / 1.2 = 50 cycles/min; 10 m in 5.5 s: 1.818 m/s; v × T = 2.18 m;
  // u(v) = v √((0.02/10)² + 2 (0.01/5.5)²) = 0.0059 m/s (formats.md section 2).
  const good = plain(await row('T1'));
  expect(good).toMatch(/Velocity, m\/s ?1\.8182 m\/s ?± 0\.0059/);
  expect(good).toMatch(/Stroke rate, cycles\/min ?50\.0/);
  expect(good).toMatch(/Stroke length, m ?2\.18\d* m ?± 0\.0\d+/);
  // A gap of 0.06 s between propulsions in a cycle of 1.2 s: −5 %.
  expect(good).toMatch(/Index of coordination, % ?−5\.\d+ %/);
  expect(good).toMatch(/High-hand time, ms ?150\.0 ms/);
  expect(good).toContain('enters above');
});

it('leaves what cannot be computed empty, with the reason', async () => {
  await show();
  const cells = [...(await row('T2')).querySelectorAll('td.number')].map(plain);
  expect(cells.at(-1)).toContain(`empty: ${flagMeaning('no_trace')}`);
  const unmarked = [...(await row('T3')).querySelectorAll('td.number')].map(plain);
  expect(unmarked[1]).toContain(`empty: ${flagMeaning('unmarked')}`);
  expect(unmarked.join()).not.toMatch(/\b0 ?(N|%|ms)/);
});

it('explains every flag on demand', async () => {
  await show();
  const trial = within(await row('T3'));
  const { flags } = dayView().trials[2]!.result;
  expect(trial.getByText(`${flags.length} notes on the numbers`)).toBeTruthy();
  for (const flag of flags) expect(plain(await row('T3'))).toContain(flagMeaning(flag));
});

it('has no fault that axe can find', async () => {
  await show();
  expect(await axeFaults()).toEqual([]);
});

it('filters by verdict with counts, and sorts', async () => {
  await show();
  expect(codes()).toEqual(['T1', 'T2', 'T3']);
  await fireEvent.change(screen.getByLabelText('Sorted'), { target: { value: 'swimmer' } });
  expect(codes()).toEqual(['T3', 'T2', 'T1']);
  await fireEvent.change(screen.getByLabelText('Sorted'), { target: { value: 'verdict' } });
  expect(codes()).toEqual(['T2', 'T3', 'T1']);
  await fireEvent.click(screen.getByRole('radio', { name: 'Swim again 1' }));
  expect(codes()).toEqual(['T2']);
  expect(screen.getByText('0 accepted, 0 excluded, 3 to decide')).toBeTruthy();
});

it('accepts a trial, says so, and takes it back by undo and again by redo', async () => {
  const { calls } = await show();
  const undo = screen.getByRole('button', { name: 'Undo' });
  expect(undo.getAttribute('aria-disabled')).toBe('true');
  screen.getByRole('button', { name: 'Accept T1' }).focus();
  await fireEvent.click(screen.getByRole('button', { name: 'Accept T1' }));
  await screen.findByText('1 accepted, 0 excluded, 2 to decide');
  expect(screen.getByText('T1 accepted.').getAttribute('role')).toBe('status');
  await waitFor(() => expect(document.activeElement).toBe(screen.getByRole('link', { name: 'T1' })));
  expect(undo.getAttribute('aria-disabled')).toBe('false');
  await fireEvent.click(undo);
  await screen.findByText('0 accepted, 0 excluded, 3 to decide');
  expect(screen.getByText('Taken back: Trial T1 accepted')).toBeTruthy();
  await fireEvent.keyDown(window, { key: 'Z', ctrlKey: true, shiftKey: true });
  await screen.findByText('1 accepted, 0 excluded, 2 to decide');
  // Both ways in which programs redo.
  await fireEvent.keyDown(window, { key: 'z', ctrlKey: true });
  await screen.findByText('0 accepted, 0 excluded, 3 to decide');
  await fireEvent.keyDown(window, { key: 'y', ctrlKey: true });
  await screen.findByText('1 accepted, 0 excluded, 2 to decide');
  expect(calls.map(({ name }) => name)).toEqual(
    expect.arrayContaining(['trials.decide', 'history.undo', 'history.redo']),
  );
});

it('keeps a reason that is not in the list of the lab for the next time', async () => {
  const { calls } = await show();
  await fireEvent.click(screen.getByRole('button', { name: 'Exclude T2…' }));
  const dialog = within(screen.getByRole('dialog', { name: 'Exclude T2' }));
  await dialog.findByRole('button', { name: 'A sensor came loose' });
  await fireEvent.input(dialog.getByLabelText('Reason'), { target: { value: ' goggles lost ' } });
  await fireEvent.click(dialog.getByRole('button', { name: 'Exclude T2' }));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  expect(calls).toContainEqual({
    name: 'reasons.save',
    input: { reasons: ['A sensor came loose', 'goggles lost'] },
  });
});

it('excludes a trial for a reason, and takes it back to recorded', async () => {
  const { calls } = await show();
  await fireEvent.click(screen.getByRole('button', { name: 'Exclude T2…' }));
  const dialog = within(screen.getByRole('dialog', { name: 'Exclude T2' }));
  const exclude = dialog.getByRole<HTMLButtonElement>('button', { name: 'Exclude T2' });
  expect(exclude.disabled).toBe(true);
  expect(await axeFaults()).toEqual([]);
  await fireEvent.click(await dialog.findByRole('button', { name: 'A sensor came loose' }));
  await fireEvent.click(exclude);
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  expect(calls).toContainEqual({
    name: 'trials.decide',
    input: { day: 1, trial: 'T2', seen: 'recorded', status: 'excluded', reason: 'A sensor came loose' },
  });
  expect(plain(await row('T2'))).toContain('Excluded: A sensor came loose');
  expect(calls.map(({ name }) => name)).not.toContain('reasons.save');
  await fireEvent.click(screen.getByRole('button', { name: 'Take back T2 to recorded' }));
  await waitFor(async () => expect(plain(await row('T2'))).toContain('To decide'));
});

it('shows a decision that was refused beside its trial', async () => {
  const error = {
    code: 'changed_meanwhile',
    says: 'T1 was changed meanwhile.',
    todo: 'Look again.',
  } as const;
  await show(fakeLab({ answers: { 'trials.decide': () => failed(error) } }));
  await fireEvent.click(screen.getByRole('button', { name: 'Accept T1' }));
  expect(await within(await row('T1')).findByRole('alert')).toBeTruthy();
});

it('goes from trial to trial with the arrows', async () => {
  await show();
  const [first, second] = [
    screen.getByRole('link', { name: 'T1' }),
    screen.getByRole('link', { name: 'T2' }),
  ];
  first.focus();
  await fireEvent.keyDown(first, { key: 'ArrowDown' });
  expect(document.activeElement).toBe(second);
  await fireEvent.keyDown(second, { key: 'ArrowUp' });
  expect(document.activeElement).toBe(first);
  await fireEvent.keyDown(first, { key: 'ArrowUp' });
  expect(document.activeElement).toBe(first);
});

it('says how the day was measured, what was refused and who was left out', async () => {
  await show();
  const text = plain(document.querySelector('main'));
  for (const words of [
    '14 Mar 2026 · Quay Baths · 20 m sprint to the wall',
    'front crawl, 20 m to the wall, 2 attempts, at least 180 s of rest',
    'the last 10 m, standard uncertainty 0.02 m, timed at the head',
    'at least 3 strokes per hand, no gap above 20 ms, at most 0.1 % of samples at the end of the range, the zero moved by at most 0.15 kPa',
    '2 inputs refused, 2 trials left out for consent, 1 calibration to look at',
    'events.csvtime_s',
    'time_s is "soon"; it takes a number such as 12.5.',
    'the whole file',
    'Left out for consent: 1 swimmer, 2 trials.',
    'Accepted',
    '3651.5 ± 2.2',
    'No line fitted',
  ])
    expect(text).toContain(words);
});

it('says what belongs on a day without trials', async () => {
  const empty = {
    ...dayView(),
    trials: [],
    refused: [],
    calibrations: [],
    leftOut: { swimmers: 0, trials: 0 },
  };
  const { client } = fakeLab({ answers: { 'days.get': () => ({ ok: true, value: empty }) } });
  render(App, { client });
  expect(await screen.findByText(/This day has no trial that can be shown/)).toBeTruthy();
  expect(screen.getByText('Nothing was refused: every row and file of the day could be used.')).toBeTruthy();
  expect(screen.getByText('Nobody was left out for consent.')).toBeTruthy();
});

it('says why a day cannot be shown', async () => {
  const error = { code: 'not_found', says: 'There is no day 1.', todo: 'Go back to the days.' } as const;
  render(App, { client: fakeLab({ answers: { 'days.get': () => failed(error) } }).client });
  expect((await screen.findByRole('alert')).textContent).toContain('There is no day 1. Go back to the days.');
});
