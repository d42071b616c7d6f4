import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { AppView, LabNotice } from '../../../core/contract/contract.ts';
import { done } from '../../../core/base/refusal.ts';
import { filmUrl, makeClient, samplesUrl } from '../../../renderer/client.ts';
import { keys } from '../../../renderer/keys.svelte.ts';
import App from '../../../renderer/shell/App.svelte';
import { look } from '../../../renderer/theme/theme.svelte.ts';
import { THEMES } from '../../../renderer/theme/tokens.ts';
import { axeFaults } from '../axe.ts';
import { goTo } from '../browser.ts';
import { fakeLab } from '../fixture.ts';

beforeEach(async () => {
  localStorage.clear();
  await goTo('#/days');
  document.documentElement.lang = 'en';
});
afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

const ground = () => document.documentElement.style.getPropertyValue('--ground');

it('follows the address: days, a day, back', async () => {
  render(App, { client: fakeLab().client });
  await screen.findByRole('heading', { name: 'Testing days' });
  window.location.hash = '#/day/1';
  await screen.findByRole('heading', { name: 'quay-evening' });
  const path = within(screen.getByRole('navigation', { name: 'Where you are' }));
  expect(path.getAllByRole('link').map((link) => link.textContent)).toEqual(['Days', 'quay-evening']);
  expect(path.getByRole('link', { name: 'quay-evening' }).getAttribute('aria-current')).toBe('page');
  await waitFor(() => expect(document.title).toBe('quay-evening · Days · Lanebench'));
  window.history.back();
  await screen.findByRole('heading', { name: 'Testing days' });
});

it('skips the bar, and takes the focus to the screen when it changes', async () => {
  render(App, { client: fakeLab().client });
  await fireEvent.click(screen.getByRole('link', { name: 'Skip to the screen' }));
  expect(document.activeElement).toBe(screen.getByRole('main'));
  expect(window.location.hash).toBe('#/days');
});

it('takes the theme the system asks for, until a person chooses, and remembers the choice', async () => {
  vi.stubGlobal('matchMedia', (media: string) => ({ matches: media.includes('dark') }));
  look.start();
  expect(ground()).toBe(THEMES.dark.ground);
  vi.stubGlobal('matchMedia', (media: string) => ({ matches: media.includes('contrast') }));
  look.start();
  expect(look.name).toBe('daylight');
  render(App, { client: fakeLab().client });
  await fireEvent.click(screen.getByRole('radio', { name: 'Light' }));
  expect(ground()).toBe(THEMES.light.ground);
  look.start();
  expect(look.name).toBe('light');
});

it('keeps a dialog that is open when the browser tells late of the one before', async () => {
  render(App, { client: fakeLab().client });
  await fireEvent.click(screen.getByRole('button', { name: 'Cautions' }));
  const first = screen.getByRole('dialog', { name: 'Cautions' });
  await fireEvent(first, new Event('cancel', { cancelable: true }));
  expect(first.isConnected).toBe(false);
  await fireEvent.keyDown(document.body, { key: '?' });
  await fireEvent(first, new Event('close'));
  expect(screen.getByRole('dialog', { name: 'Keys' })).toBeTruthy();
});

it('shows the cautions once, and ever after behind their button', async () => {
  const { unmount } = render(App, { client: fakeLab().client });
  await screen.findByRole('heading', { name: 'Before the first swim' });
  for (const words of [
    /isolated battery power/,
    /lifeguard/,
    /stops at once/,
    /guardian/,
    /diagnose nothing/,
    /local rules/,
  ])
    expect(screen.getByText(words)).toBeTruthy();
  await fireEvent.click(screen.getByRole('button', { name: 'I have read this' }));
  unmount();
  render(App, { client: fakeLab().client });
  await screen.findByRole('heading', { name: 'Testing days' });
  expect(screen.queryByText(/isolated battery power/)).toBeNull();
  await fireEvent.click(screen.getByRole('button', { name: 'Cautions' }));
  expect(screen.getByRole('dialog', { name: 'Cautions' })).toBeTruthy();
  expect(screen.getByText(/isolated battery power/)).toBeTruthy();
});

it('asks who is at work, and gives the focus back', async () => {
  const { client, calls } = fakeLab();
  render(App, { client });
  const opener = await screen.findByRole('button', { name: /At work\s+AB/ });
  opener.focus();
  await fireEvent.click(opener);
  const dialog = within(screen.getByRole('dialog', { name: 'Who is at work' }));
  await fireEvent.input(dialog.getByLabelText('Initials'), { target: { value: ' CD ' } });
  await fireEvent.click(dialog.getByRole('button', { name: 'Take these initials' }));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  expect(calls).toContainEqual({ name: 'app.setOperator', input: { operator: 'CD' } });
  expect(screen.getByRole('button', { name: /At work\s+CD/ })).toBe(document.activeElement);
});

it('lists the keys on ?, changes one, shows the conflict, and turns single keys off', async () => {
  await goTo('#/day/1');
  render(App, { client: fakeLab().client });
  await screen.findByRole('heading', { name: 'quay-evening' });
  await fireEvent.keyDown(window, { key: '?', shiftKey: true });
  const dialog = within(await screen.findByRole('dialog', { name: 'Keys' }));
  expect(await axeFaults()).toEqual([]);
  const change = dialog.getByRole('button', { name: 'Change the key of: List the keys' });
  await fireEvent.click(change);
  await fireEvent.keyDown(dialog.getByRole('button', { name: 'Press a key… for: List the keys' }), {
    key: 'z',
    ctrlKey: true,
  });
  expect(dialog.getAllByText(/Also the key of/)).toHaveLength(2);
  await fireEvent.click(dialog.getByRole('button', { name: 'Put back the key of: List the keys' }));
  expect(dialog.queryByText(/Also the key of/)).toBeNull();
  await fireEvent.click(dialog.getByRole('checkbox'));
  expect(keys.single).toBe(false);
  await fireEvent.click(dialog.getByRole('button', { name: 'Close' }));
  await fireEvent.keyDown(window, { key: '?', shiftKey: true });
  expect(screen.queryByRole('dialog')).toBeNull();
  keys.single = true;
});

it('tells a mistake of the program as one', async () => {
  const broken = () => Promise.reject(new Error('left is undefined'));
  render(App, { client: fakeLab().client });
  await screen.findByRole('heading', { name: 'Testing days' });
  const event = new Event('unhandledrejection');
  Object.assign(event, { reason: await broken().catch((error: unknown) => error) });
  window.dispatchEvent(event);
  const alert = await screen.findByRole('alert');
  expect(alert.textContent).toContain('The program made a mistake.');
  expect(alert.textContent).toContain('left is undefined');
});

it('calls the lab over the loopback, and through the preload where there is one', async () => {
  const fetched = vi.fn(async () => new Response('{"ok":true,"value":[]}'));
  vi.stubGlobal('fetch', fetched);
  expect(await makeClient()('days.list', {})).toEqual({ ok: true, value: [] });
  expect(fetched).toHaveBeenCalledWith(
    '/call/days.list',
    expect.objectContaining({ method: 'POST', body: '{}' }),
  );
  const call = vi.fn(async () => ({ ok: true, value: null }));
  vi.stubGlobal('lanebench', { call });
  expect(await makeClient()('history.undo', { day: 1 })).toEqual({ ok: true, value: null });
  expect(call).toHaveBeenCalledWith('history.undo', { day: 1 });
});

it('says that the program has stopped, or that it no longer lets the window in, instead of hanging', async () => {
  vi.stubGlobal('fetch', () => Promise.reject(new TypeError('Failed to fetch')));
  const gone = await makeClient()('days.list', {});
  expect(gone).toMatchObject({ ok: false, error: { says: 'The program has stopped.' } });
  vi.stubGlobal('fetch', async () => new Response('no', { status: 403 }));
  expect(await makeClient()('days.list', {})).toMatchObject({ ok: false });
  vi.stubGlobal('fetch', async () => new Response('broken', { status: 500 }));
  await expect(makeClient()('days.list', {})).rejects.toThrow('status 500');
});

it('gives the addresses of samples and films on the page’s own origin', () => {
  expect(samplesUrl(1, 'T1', 'left')).toBe(`${window.location.origin}/samples/1/T1/left`);
  expect(filmUrl(1, 'T1', 'A')).toBe(`${window.location.origin}/film/1/T1/A`);
});

it('shows a notice of the lab folder until a person takes note of it; one that lasts has no button', async () => {
  const lost: LabNotice = {
    code: 'lab_folder',
    says: '1 of 9 acts that were recorded are no longer in the lab folder.',
    todo: 'Decide again what is missing.',
    note: 'n-1',
  };
  const looking: LabNotice = { ...lost, says: 'It is open for looking.', note: null };
  const described = await fakeLab().client('app.describe', {});
  if (!described.ok) throw new Error(described.error.says);
  const shown = (notices: readonly LabNotice[]): AppView => ({ ...described.value, notices });
  const lab = fakeLab({
    answers: {
      'app.describe': () => done(shown([lost, looking])),
      'lab.takeNote': () => done(shown([looking])),
    },
  });
  render(App, { client: lab.client });
  expect(await screen.findAllByRole('alert')).toHaveLength(2);
  await fireEvent.click(screen.getByRole('button', { name: 'Take note of it' }));
  await waitFor(() => expect(screen.getAllByRole('alert')).toHaveLength(1));
  expect(screen.queryByRole('button', { name: 'Take note of it' })).toBeNull();
  expect(lab.calls).toContainEqual({ name: 'lab.takeNote', input: { note: 'n-1' } });
});
