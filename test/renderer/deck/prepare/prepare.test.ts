import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, expect, it } from 'vitest';
import PrepareScreen from '../../../../renderer/deck/prepare/PrepareScreen.svelte';
import { axeFaults } from '../../axe.ts';
import { plain, stage } from '../../calibrated/stage.ts';
import { deckSwimmer } from '../fixture.ts';
import { preparedLab } from './preparelab.ts';

beforeEach(() => sessionStorage.clear());
afterEach(cleanup);

async function show(lab = preparedLab()) {
  await lab.desk.describe();
  stage(PrepareScreen, { desk: lab.desk, id: 1 });
  await screen.findByRole('heading', { name: 'Prepare quay-evening' });
  return lab;
}
const withSwimmers = (...codes: string[]) =>
  preparedLab({ plan: { swimmers: codes.map((code) => deckSwimmer(code)) } });
const button = (name: string | RegExp) => screen.getByRole<HTMLButtonElement>('button', { name });
const part = (name: RegExp) => within(screen.getByRole('region', { name }));
const type = (field: HTMLElement, value: string) => fireEvent.input(field, { target: { value } });
const choose = (field: HTMLElement, value: string) => fireEvent.change(field, { target: { value } });
const ready = () => plain(screen.getByRole('navigation', { name: 'Before the first trial' }));

it('says what is still needed before the first trial and leads to each part', async () => {
  await show();
  expect(ready()).toContain('! 6 things still needed.');
  expect(ready()).toContain('No swimmer is on the list yet.');
  await fireEvent.click(button(/4\. Cautions and checklist/));
  expect(document.activeElement).toBe(screen.getByRole('heading', { name: /^4\. Cautions and checklist/ }));
  expect(screen.getByRole('link', { name: 'Deck sheets to print' }).getAttribute('href')).toBe(
    '/page/1/sheets.html',
  );
  expect(await axeFaults()).toEqual([]);
});

it('adds a typed swimmer, by a code, with units and three consents', async () => {
  const { acts } = await show();
  await fireEvent.click(button('Add a swimmer…'));
  const dialog = within(await screen.findByRole('dialog', { name: 'Add a swimmer' }));
  expect(plain(document.querySelector('dialog'))).toContain('A code, never a name');
  await type(dialog.getByLabelText('Code'), 'Jo B');
  await type(dialog.getByLabelText('Height, cm'), 'tall');
  await fireEvent.click(dialog.getByRole('button', { name: 'Add this swimmer' }));
  expect(plain(document.querySelector('dialog'))).toContain('and no spaces');
  expect(plain(document.querySelector('dialog'))).toContain('“tall” is not a number');
  await waitFor(() => expect(document.activeElement).toBe(dialog.getByLabelText('Code')));
  await type(dialog.getByLabelText('Code'), 'S07');
  await type(dialog.getByLabelText('Height, cm'), '171,5');
  await type(dialog.getByLabelText('Year of birth'), '2010');
  expect(plain(document.querySelector('dialog'))).toContain('Under 18: a guardian’s consent');
  await choose(dialog.getByLabelText('To be measured'), 'assent_and_guardian');
  // Which text was signed, only the paper says: the protocol's version is named and not filled in.
  expect(dialog.getByLabelText<HTMLInputElement>('Version of the signed text').value).toBe('');
  expect(plain(document.querySelector('dialog'))).toContain('the protocol names v2');
  expect(await axeFaults()).toEqual([]);
  await fireEvent.click(dialog.getByRole('button', { name: 'Add this swimmer' }));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  expect(acts()).toMatchObject([
    {
      act: 'swimmers.add',
      swimmers: [
        {
          participant: 'S07',
          heightCm: 171.5,
          massKg: null,
          consents: { measuring: 'assent_and_guardian', filming: 'not_asked', sharing: 'not_asked' },
          consentTextVersion: '',
        },
      ],
    },
  ]);
  expect(plain(screen.getByRole('table', { name: 'Swimmers of the day' }))).toMatch(/S07 ?— 2010 171\.5 — —/);
});

it('changes a swimmer, refuses a code twice, and removes', async () => {
  const { acts } = await show(withSwimmers('S01', 'S02'));
  await fireEvent.click(button('Change S01'));
  const dialog = within(await screen.findByRole('dialog', { name: 'Swimmer S01' }));
  await type(dialog.getByLabelText('Code'), 'S02');
  await fireEvent.click(dialog.getByRole('button', { name: 'Keep these changes' }));
  expect(plain(document.querySelector('dialog'))).toContain('S02 is on the list already');
  await type(dialog.getByLabelText('Code'), 'S01');
  await type(dialog.getByLabelText('Mass, kg'), '64');
  await fireEvent.click(dialog.getByRole('button', { name: 'Keep these changes' }));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  await fireEvent.click(button('Remove S02'));
  await waitFor(() => expect(screen.queryByRole('button', { name: 'Remove S02' })).toBeNull());
  await waitFor(() =>
    expect(document.activeElement).toBe(screen.getByRole('heading', { name: /^1\. Swimmers/ })),
  );
  expect(acts()).toMatchObject([
    { act: 'swimmer.change', participant: 'S01', swimmer: { participant: 'S01', massKg: 64 } },
    { act: 'swimmer.remove', participant: 'S02' },
  ]);
});

it('notes three consents apart and hints at a minor', async () => {
  const young = deckSwimmer('S03', {
    birthYear: 2010,
    consents: { measuring: 'missing', filming: 'not_asked', sharing: 'not_asked' },
    consentTextVersion: '',
  });
  const { acts } = await show(preparedLab({ plan: { swimmers: [deckSwimmer('S01'), young] } }));
  const row = () => plain(part(/^2\. Consent/).getByRole('table'));
  expect(row()).toContain('Under 18');
  expect(row()).toContain('! no consent, no trial');
  await choose(screen.getByLabelText('Measuring, S03'), 'assent_and_guardian');
  await waitFor(() => expect(row()).not.toContain('no trial'));
  expect(row()).not.toContain('Under 18');
  await choose(screen.getByLabelText('Filming, S03'), 'withheld');
  await choose(screen.getByLabelText('Showing film, S03'), 'withheld');
  await waitFor(() => expect(acts()).toHaveLength(3));
  // Which text was signed is noted by hand alone; the body stays as it was.
  expect(acts().at(-1)).toMatchObject({
    act: 'swimmer.change',
    participant: 'S03',
    swimmer: {
      heightCm: 171,
      consentTextVersion: '',
      consents: { measuring: 'assent_and_guardian', filming: 'withheld', sharing: 'withheld' },
    },
  });
  await choose(screen.getByLabelText('Version of the text signed, S03'), ' v3 ');
  await waitFor(() => expect(acts().at(-1)).toMatchObject({ swimmer: { consentTextVersion: 'v3' } }));
});

it('withdraws only after saying what it does, and then hides', async () => {
  const { acts } = await show(withSwimmers('S01', 'S02'));
  await fireEvent.click(button('Withdraw S01'));
  const dialog = within(await screen.findByRole('dialog', { name: 'Withdraw S01' }));
  const says = plain(document.querySelector('dialog'));
  expect(says).toContain('This stops S01 at once');
  expect(says).toContain('Undo brings it all back.');
  await fireEvent.click(dialog.getByRole('button', { name: 'Keep S01 in' }));
  expect(acts()).toEqual([]);
  await fireEvent.click(button('Withdraw S01'));
  const again = within(await screen.findByRole('dialog', { name: 'Withdraw S01' }));
  await fireEvent.click(again.getByRole('button', { name: 'Withdraw S01' }));
  await waitFor(() => expect(acts()).toEqual([{ act: 'swimmer.withdraw', participant: 'S01' }]));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  expect(plain(screen.getByRole('table', { name: 'Swimmers of the day' }))).toContain('S01Withdrawn');
  expect(screen.queryByRole('button', { name: 'Change S01' })).toBeNull();
  expect(screen.queryByLabelText('Measuring, S01')).toBeNull();
});

it('puts sensors on with the calibration in force told, and says why one cannot be', async () => {
  const { acts } = await show(withSwimmers('S01'));
  const table = within(await screen.findByRole('table', { name: 'Sensors in service' }));
  const row = (code: string) =>
    plain(table.getByRole('rowheader', { name: new RegExp(`^${code}`) }).closest('tr'));
  expect(row('K-1')).toMatch(/10 Mar 2026.*Accepted.*± .* counts\/kPa \(95 %\)/);
  expect(row('K-3')).toMatch(
    /Cannot be put on\. Its latest calibration, of 10 Mar 2026.*was not accepted: ./,
  );
  expect(row('K-4')).toContain('It has no calibration');
  expect(table.getByRole('link', { name: 'Calibrate K-4' }).getAttribute('href')).toBe(
    '#/sensors/K-4/calibrate',
  );
  expect(plain(document.body)).toContain('Resting or retired, so not offered: K-5.');
  await fireEvent.click(table.getByRole('button', { name: /^Put on.K-1, left hand$/ }));
  await table.findByRole('button', { name: /On; take off.K-1, left hand$/ });
  expect(row('K-1')).toContain('on the left hand');
  await fireEvent.click(table.getByRole('button', { name: /^Put on.K-2, right hand$/ }));
  await waitFor(() => expect(ready()).toContain('K-1 left, K-2 right'));
  await fireEvent.click(table.getByRole('button', { name: /On; take off.K-2, right hand$/ }));
  await waitFor(() => expect(acts()).toHaveLength(3));
  expect(acts().at(-1)).toEqual({ act: 'sensor.wear', hand: 'right', sensor: null });
});

it('ticks each line with initials, those of who is at work to begin with, and unticks', async () => {
  const { acts } = await show();
  const field = screen.getByLabelText<HTMLInputElement>('Initials of who ticks');
  expect(field.value).toBe('AB');
  const line = () => screen.getByRole<HTMLInputElement>('checkbox', { name: /^The lifeguard/ });
  await type(field, ' ');
  await fireEvent.click(line());
  expect(await screen.findByText(/Type your initials first/)).toBeTruthy();
  expect(document.activeElement).toBe(field);
  await waitFor(() => expect(line().checked).toBe(false));
  await type(field, 'CD');
  await fireEvent.click(line());
  await screen.findByText('CD');
  cleanup();
  await show();
  expect(screen.getByLabelText<HTMLInputElement>('Initials of who ticks').value, 'kept for the session').toBe(
    'CD',
  );
  await fireEvent.click(screen.getByRole('checkbox', { name: /^Everything runs/ }));
  await screen.findByText('CD');
  await fireEvent.click(screen.getByRole('checkbox', { name: /^Everything runs/ }));
  await waitFor(() => expect(screen.queryByText('CD')).toBeNull());
  expect(acts()).toEqual([
    { act: 'line.tick', list: 'before', item: 'The lifeguard is at the pool', initials: 'CD' },
  ]);
});

it('shows the order before it is made, makes it from the seed, and adds a trial', async () => {
  const { acts, held } = await show(withSwimmers('S01', 'S02'));
  const seed = screen.getByLabelText<HTMLInputElement>('Seed');
  expect(seed.value).toMatch(/^[0-9a-z]{7}$/);
  await type(seed, '');
  expect(screen.getByText('! Type a seed, or draw one.')).toBeTruthy();
  await type(seed, 'harbour');
  const items = (list: HTMLElement) =>
    within(list)
      .getAllByRole('listitem')
      .map(plain)
      .filter((text) => !/^Round/.test(text));
  const before = items(screen.getByRole('list', { name: 'Order before it is made' }));
  expect(before).toHaveLength(4);
  await fireEvent.click(button('Make the order'));
  const after = await screen.findByRole('list', { name: 'Order of the trials' });
  expect(items(after)).toEqual(before);
  // Two rounds: each swimmer once, then each once more.
  expect(within(after).getAllByText(/^Round \d$/)).toHaveLength(2);
  expect(plain(document.body)).toContain('As it stands, from the seed harbour');
  expect(button('Make the order anew').getAttribute('aria-disabled')).toBe('true');
  await choose(screen.getByLabelText('One more trial for'), 'S02');
  await choose(screen.getByLabelText('condition'), 'paddles');
  await fireEvent.click(button('Add this trial'));
  await waitFor(() => expect(held().board.trials).toHaveLength(5));
  expect(acts().at(-1)).toEqual({ act: 'trial.add', participant: 'S02', condition: 'paddles' });
  expect(await axeFaults()).toEqual([]);
});

it('says why there is no order where nobody consents', async () => {
  await show();
  expect(plain(document.body)).toContain('Nobody’s consent for measuring is noted yet, so there is nobody');
  expect(button('Make the order').getAttribute('aria-disabled')).toBe('true');
  expect(screen.queryByRole('button', { name: 'Add this trial' })).toBeNull();
});

it('chooses the watched folder and shows names that are known', async () => {
  const { calls } = await show();
  expect(plain(part(/^6\. Watched/).getByRole('table'))).toContain(
    '{trial}_{camera}names a camera: films onlyS01-1_A.mp4',
  );
  await fireEvent.click(button('Choose the folder…'));
  const dialog = within(await screen.findByRole('dialog', { name: 'Which folder to watch' }));
  await fireEvent.click(await dialog.findByRole('button', { name: /^incoming/ }));
  await fireEvent.click(await dialog.findByRole('button', { name: 'Watch this folder' }));
  await waitFor(() =>
    expect(calls).toContainEqual({ name: 'deck.watch', input: { day: 1, path: '/pool/incoming' } }),
  );
});

it('corrects the set-up of the day, another pool and other file names', async () => {
  const { acts } = await show();
  await fireEvent.click(button('Change the day’s set-up…'));
  const dialog = within(await screen.findByRole('dialog', { name: 'Set-up of the day' }));
  await type(dialog.getByLabelText('Pool length, m'), '');
  await fireEvent.click(dialog.getByRole('button', { name: 'Keep this set-up' }));
  expect(plain(document.querySelector('dialog'))).toContain('Type the length of the pool');
  await type(dialog.getByLabelText('Pool length, m'), '50');
  await choose(dialog.getByLabelText('Time of a sample'), 'rate');
  await type(await dialog.findByLabelText('Sampling rate, Hz'), '500');
  await type(dialog.getByLabelText(/^Patterns of file names/), '{participant}_{attempt}\n\n');
  expect(await axeFaults()).toEqual([]);
  await fireEvent.click(dialog.getByRole('button', { name: 'Keep this set-up' }));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  expect(acts()).toMatchObject([
    {
      act: 'setup',
      setup: {
        poolLengthM: 50,
        waterTemperatureC: 27,
        files: { time: { rateHz: 500 }, left: 'left', right: 'right', names: ['{participant}_{attempt}'] },
      },
    },
  ]);
  expect(plain(document.body)).toContain('drawn for a pool of 25 m; this one is 50 m');
  expect(plain(document.body)).toContain('S01_1.csv');
});

it('tells beside the part why something was not kept, and leaves what was', async () => {
  const { trouble } = await show(withSwimmers('S01'));
  trouble.act = true;
  await fireEvent.click(screen.getByRole('checkbox', { name: /^The lifeguard/ }));
  const alert = await part(/^4\. Cautions/).findByRole('alert');
  expect(plain(alert)).toContain('The disk is full. Make room, then do it again.');
  await waitFor(() =>
    expect(screen.getByRole<HTMLInputElement>('checkbox', { name: /^The lifeguard/ }).checked).toBe(false),
  );
  const field = screen.getByLabelText<HTMLSelectElement>('Filming, S01');
  await choose(field, 'withheld');
  expect(await part(/^2\. Consent/).findByRole('alert')).toBeTruthy();
  await waitFor(() => expect(field.value).toBe('given'));
});
