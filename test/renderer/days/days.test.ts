import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { LabClient } from '../../../core/contract/contract.ts';
import { done, failed } from '../../../core/base/refusal.ts';
import App from '../../../renderer/shell/App.svelte';
import { axeFaults } from '../axe.ts';
import { goTo } from '../browser.ts';
import { fakeLab } from '../fixture.ts';

beforeEach(async () => {
  localStorage.clear();
  localStorage.setItem('lanebench.cautions-read', 'yes');
  await goTo('#/days');
  document.documentElement.lang = 'en';
});
afterEach(cleanup);

const show = (client: LabClient) => render(App, { client });
const button = (name: string | RegExp) => screen.getByRole('button', { name });

it('lists the days with their verdicts in words, and leads to one', async () => {
  show(fakeLab().client);
  const row = (await screen.findByRole('link', { name: 'quay-evening' })).closest('tr')!;
  const text = row.textContent.replaceAll('\u00a0', ' ');
  for (const words of [
    '14 Mar 2026',
    'venue not given',
    '3 swimmers',
    '3 trials',
    '1 good',
    '1 in doubt',
    '1 swim again',
    '2 inputs',
  ])
    expect(text).toContain(words);
  expect(within(row).getByRole('link').getAttribute('href')).toBe('#/day/1');
  expect(await axeFaults()).toEqual([]);
});

it('says on an empty first screen what belongs there, and offers the first step', async () => {
  show(fakeLab({ days: [] }).client);
  await screen.findByRole('heading', { name: 'No testing day yet' });
  expect(button('Open the sample day')).toBeTruthy();
  expect(button('Open a day folder…')).toBeTruthy();
  expect(await axeFaults()).toEqual([]);
});

it('follows the opening of the sample day and goes there once it is open', async () => {
  const { client, calls } = fakeLab({ days: [] });
  show(client);
  await fireEvent.click(await screen.findByRole('button', { name: 'Open the sample day' }));
  expect(await screen.findByText(/of 3 steps/)).toBeTruthy();
  await waitFor(() => expect(window.location.hash).toBe('#/day/1'));
  const asked = calls.filter(({ name }) => name === 'jobs.get').length;
  await new Promise((resolve) => setTimeout(resolve, 450));
  expect(calls.filter(({ name }) => name === 'jobs.get')).toHaveLength(asked);
});

it('cancels an opening and says that nothing changed', async () => {
  const { client } = fakeLab({ days: [] });
  show(client);
  await fireEvent.click(await screen.findByRole('button', { name: 'Open the sample day' }));
  await fireEvent.click(await screen.findByRole('button', { name: 'Cancel' }));
  expect(await screen.findByText('This was cancelled before it was done. Nothing was changed.')).toBeTruthy();
});

it('shows beside the buttons why a day could not be opened', async () => {
  const error = { code: 'not_a_day', says: 'There is no day.json.', todo: 'Choose another folder.' } as const;
  const { client } = fakeLab({ days: [], answers: { 'days.openSample': () => failed(error) } });
  show(client);
  await fireEvent.click(await screen.findByRole('button', { name: 'Open the sample day' }));
  expect((await screen.findByRole('alert')).textContent).toContain(
    'There is no day.json. Choose another folder.',
  );
  await fireEvent.click(button('Put this away'));
  expect(screen.queryByRole('alert')).toBeNull();
});

it('says that the program has stopped where it no longer answers', async () => {
  const stopped = { code: 'not_found', says: 'The program has stopped.', todo: 'Start it again.' } as const;
  const { client } = fakeLab({ answers: { 'days.list': () => failed(stopped) } });
  show(client);
  expect((await screen.findByRole('alert')).textContent).toContain(
    'The program has stopped. Start it again.',
  );
});

it('goes down the folders, marks testing days in words, and opens one', async () => {
  const { client, calls } = fakeLab();
  show(client);
  await fireEvent.click(await screen.findByRole('button', { name: 'Open a day folder…' }));
  const dialog = within(screen.getByRole('dialog', { name: 'Open a day folder' }));
  await fireEvent.click(await dialog.findByRole('button', { name: /^lab/ }));
  const heading = await dialog.findByRole('heading', { name: 'lab' });
  await waitFor(() => expect(document.activeElement).toBe(heading));
  expect(dialog.getByText('testing day')).toBeTruthy();
  expect(dialog.queryByRole('button', { name: 'Open the testing day notes' })).toBeNull();
  expect(await axeFaults()).toEqual([]);
  await fireEvent.click(dialog.getByRole('button', { name: 'Open the testing day quay-evening' }));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  expect(calls).toContainEqual({ name: 'days.open', input: { path: '/home/lab/quay-evening' } });
});

it('allows a typed place, and says beside the field why it cannot', async () => {
  const { client } = fakeLab();
  show(client);
  await fireEvent.click(await screen.findByRole('button', { name: 'Open a day folder…' }));
  const dialog = within(screen.getByRole('dialog'));
  const field = dialog.getByLabelText('Path of another folder');
  await fireEvent.input(field, { target: { value: '/nowhere' } });
  await fireEvent.click(dialog.getByRole('button', { name: 'Allow this place' }));
  expect((await dialog.findByRole('alert')).textContent).toContain('There is no folder there.');
  await fireEvent.input(field, { target: { value: ' /home/lab ' } });
  await fireEvent.click(dialog.getByRole('button', { name: 'Allow this place' }));
  expect(await dialog.findByRole('heading', { name: 'lab' })).toBeTruthy();
  expect(dialog.queryByRole('alert')).toBeNull();
  await fireEvent.click(dialog.getByRole('button', { name: 'Places' }));
  await fireEvent.click(await dialog.findByRole('button', { name: 'Take off the list of places: lab' }));
  expect(await dialog.findByText(/No place is allowed yet/)).toBeTruthy();
});

it('keeps the chooser open with the reason where a folder cannot be opened', async () => {
  const error = {
    code: 'lab_folder',
    says: 'This is the lab folder itself.',
    todo: 'Choose a day folder.',
  } as const;
  const { client } = fakeLab({ answers: { 'days.open': () => failed(error) } });
  show(client);
  await fireEvent.click(await screen.findByRole('button', { name: 'Open a day folder…' }));
  const dialog = within(screen.getByRole('dialog'));
  await fireEvent.click(await dialog.findByRole('button', { name: /^lab/ }));
  await fireEvent.click(await dialog.findByRole('button', { name: 'Open the testing day quay-evening' }));
  expect((await dialog.findByRole('alert')).textContent).toContain('This is the lab folder itself.');
});

it('never lets an earlier answer overtake a later one', async () => {
  const waiting: ((list: unknown) => void)[] = [];
  const { client } = fakeLab({
    answers: { 'places.list': () => new Promise((resolve) => waiting.push(resolve)) },
  });
  show(client);
  await fireEvent.click(await screen.findByRole('button', { name: 'Open a day folder…' }));
  const dialog = within(screen.getByRole('dialog'));
  await fireEvent.input(dialog.getByLabelText('Path of another folder'), { target: { value: '/home/lab' } });
  await fireEvent.click(dialog.getByRole('button', { name: 'Allow this place' }));
  await dialog.findByRole('heading', { name: 'lab' });
  waiting[0]!(done({ path: null, parent: null, isDay: false, entries: [] }));
  await new Promise((resolve) => setTimeout(resolve));
  expect(dialog.getByRole('heading', { name: 'lab' })).toBeTruthy();
});

it('says that no backup was made, makes one in a chosen place, and plans one for every day', async () => {
  const described = await fakeLab().client('app.describe', {});
  if (!described.ok) throw new Error(described.error.says);
  const app = described.value;
  const { client, calls } = fakeLab({
    answers: {
      'lab.backup': () =>
        done({ job: 9, what: 'Backing up', state: 'done', done: 1, total: 1, day: null, says: '3 files.', error: null }),
      'lab.planBackup': ({ plan }) => done({ ...app, backupPlan: plan }),
    },
  }); // prettier-ignore
  show(client);
  const section = within(await screen.findByRole('region', { name: 'Backup of the lab folder' }));
  expect(section.getByRole('status').textContent).toContain('! No backup of the lab folder was made yet.');
  const pick = async (open: string, act: string) => {
    await fireEvent.click(section.getByRole('button', { name: open }));
    const dialog = within(await screen.findByRole('dialog'));
    await fireEvent.click(await dialog.findByRole('button', { name: /^lab/ }));
    await fireEvent.click(await dialog.findByRole('button', { name: act }));
  };
  await pick('Back up…', 'Back up here');
  expect(await section.findByText(/3 files\./)).toBeTruthy();
  expect(calls).toContainEqual({ name: 'lab.backup', input: { path: '/home/lab' } });
  await pick('Back up every day…', 'Back up here every day');
  expect(await section.findByText(/Made by itself every day in \/home\/lab/)).toBeTruthy();
  await fireEvent.click(section.getByRole('button', { name: 'Stop backing up every day' }));
  expect(calls).toContainEqual({ name: 'lab.planBackup', input: { plan: null } });
  expect(await axeFaults()).toEqual([]);
});

it('restores a backup from one place into a new folder in another', async () => {
  const { client, calls } = fakeLab({
    answers: { 'lab.restore': () => failed({ code: 'bad_input', says: 'It is taken.', todo: 'Choose another.' }) },
  }); // prettier-ignore
  show(client);
  await fireEvent.click(await screen.findByRole('button', { name: 'Restore a backup…' }));
  for (const act of ['Restore this backup', 'Restore here']) {
    const dialog = within(await screen.findByRole('dialog'));
    await fireEvent.click(await dialog.findByRole('button', { name: /^lab/ }));
    await fireEvent.click(await dialog.findByRole('button', { name: act }));
  }
  expect(await screen.findByText('It is taken.')).toBeTruthy();
  expect(calls).toContainEqual({
    name: 'lab.restore',
    input: { from: '/home/lab', to: '/home/lab/lanebench-restored' },
  });
});
