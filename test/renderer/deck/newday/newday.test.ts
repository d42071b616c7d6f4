import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { ProtocolSummary, ProtocolView } from '../../../../core/protocol/versions.ts';
import type { ProtocolContent } from '../../../../core/protocol/content.ts';
import { done, failed } from '../../../../core/base/refusal.ts';
import { freeCode } from '../../../../renderer/deck/newday/newday.svelte.ts';
import { poolWords } from '../../../../renderer/deck/newday/poolwords.ts';
import { todayHere } from '../../../../renderer/deck/newday/today.ts';
import App from '../../../../renderer/shell/App.svelte';
import { axeFaults } from '../../axe.ts';
import { goTo } from '../../browser.ts';
import { plain } from '../../calibrated/stage.ts';
import { dayView, fakeLab } from '../../fixture.ts';
import { CONTENT } from '../fixture.ts';

beforeEach(async () => {
  localStorage.clear();
  localStorage.setItem('lanebench.cautions-read', 'yes');
  document.documentElement.lang = 'en';
  await goTo('#/new-day');
});
afterEach(cleanup);

const DIVE: ProtocolContent = {
  ...CONTENT,
  name: '25 m from the block',
  start: 'dive',
  runM: 25,
  measures: ['velocity', 'stroke_rate'],
};
const version = (number: number, content: ProtocolContent, at: string) => ({
  version: number,
  content,
  at,
  who: 'AB',
  changes: [],
  days: [],
});
const VIEWS: readonly ProtocolView[] = [
  { protocol: 'sprint', versions: [version(1, CONTENT, '2026-01-10T09:00:00Z')], draft: null },
  {
    protocol: 'block',
    versions: [
      version(2, DIVE, '2026-03-01T09:00:00Z'),
      version(1, { ...DIVE, poolLengthM: 50 }, '2026-02-01T09:00:00Z'),
    ],
    draft: null,
  },
];
const summary = ({ protocol, versions }: ProtocolView): ProtocolSummary => ({
  protocol,
  name: versions[0]!.content.name,
  version: versions[0]!.version,
  keptAt: versions[0]!.at,
  hasDraft: false,
  fault: null,
  days: [],
});
const DRAFT: ProtocolSummary = {
  protocol: 'paddles',
  name: 'Paddles',
  version: null,
  keptAt: null,
  hasDraft: true,
  fault: null,
  days: [],
};

type Answers = NonNullable<NonNullable<Parameters<typeof fakeLab>[0]>['answers']>;

async function show(views = VIEWS, answers: Answers = {}) {
  const lab = fakeLab({
    answers: {
      'protocols.list': () => done([...views.map(summary), DRAFT]),
      'protocols.get': ({ protocol }) => done(views.find((view) => view.protocol === protocol)!),
      'deck.new': () => done({ day: 7 }),
      ...answers,
    },
  });
  render(App, { client: lab.client });
  await screen.findByRole('heading', { name: 'New testing day', level: 1 });
  return lab;
}
const begin = () => screen.getByRole('button', { name: 'Begin this testing day' });
const type = (label: string, value: string) =>
  fireEvent.input(screen.getByLabelText(label), { target: { value } });

it('offers the protocols newest first, says what each measures, and begins a day with the newest version', async () => {
  const { calls } = await show();
  const radios = await screen.findAllByRole<HTMLInputElement>('radio', { name: /from the block|sprint/ });
  expect(radios.map((radio) => [radio.checked, plain(radio.closest('label'))])).toEqual([
    [true, expect.stringContaining('Measures velocity, stroke rate; the section is timed on film.')],
    [false, expect.stringContaining('Measures hand force, velocity; the section is timed on film.')],
  ]);
  expect(screen.getByRole('img', { name: /^25 m from the block: pool of 25.m, run of 25.m/ })).toBeTruthy();
  expect(screen.getByLabelText<HTMLInputElement>('Date').value).toBe(todayHere());
  expect(screen.getByLabelText<HTMLInputElement>('Code of the day').value).toBe(todayHere());
  expect(screen.getByLabelText<HTMLInputElement>('Pool length, m').value).toBe('25');
  expect(await axeFaults()).toEqual([]);
  await fireEvent.input(screen.getByLabelText('Date'), { target: { value: '2026-03-14' } });
  await type('Venue', ' Quay Baths ');
  await type('Water temperature, °C', '27,5');
  await type('Latitude, °', '-33.9');
  await fireEvent.click(begin());
  await waitFor(() => expect(window.location.hash).toBe('#/day/7/prepare'));
  expect(calls).toContainEqual({
    name: 'deck.new',
    input: {
      day: '2026-03-14',
      protocol: 'block',
      version: 2,
      setup: {
        date: '2026-03-14',
        venue: 'Quay Baths',
        poolLengthM: 25,
        waterTemperatureC: 27.5,
        latitudeDeg: -33.9,
        altitudeM: null,
        files: DIVE.files,
      },
    },
  });
});

it('takes an older version, with its pool, and warns of another pool', async () => {
  const { calls } = await show();
  await fireEvent.change(await screen.findByLabelText('Version'), { target: { value: '1' } });
  await waitFor(() => expect(screen.getByLabelText<HTMLInputElement>('Pool length, m').value).toBe('50'));
  expect(screen.queryByText(/Another pool/)).toBeNull();
  await type('Pool length, m', '25');
  expect(plain(document.body)).toContain('drawn for a pool of 50 m; this one is 25 m');
  await fireEvent.click(begin());
  await waitFor(() => expect(calls.some(({ name }) => name === 'deck.new')).toBe(true));
  expect(calls.find(({ name }) => name === 'deck.new')!.input).toMatchObject({
    version: 1,
    setup: { poolLengthM: 25 },
  });
});

it('keeps a pool length that was typed when another protocol is chosen', async () => {
  await show();
  await screen.findByLabelText('Code of the day');
  await type('Pool length, m', '33.3');
  await fireEvent.click(screen.getByRole('radio', { name: /sprint/ }));
  expect(screen.getByLabelText<HTMLInputElement>('Pool length, m').value).toBe('33.3');
});

it('says what is wrong beside the field and does not begin', async () => {
  const { calls } = await show();
  await screen.findByLabelText('Code of the day');
  await type('Code of the day', 'quay-evening');
  expect(screen.getByText(/There is a day quay-evening already/)).toBeTruthy();
  await type('Water temperature, °C', '82');
  await type('Pool length, m', '-5');
  await fireEvent.click(begin());
  await waitFor(() => expect(document.activeElement).toBe(screen.getByLabelText('Code of the day')));
  expect(plain(document.body)).toContain('Water of a pool lies between 0 and 40 °C.');
  expect(plain(document.body)).toContain('It must be above 0.');
  expect(calls.some(({ name }) => name === 'deck.new')).toBe(false);
  expect(await axeFaults()).toEqual([]);
});

it('shows why the lab could not begin the day', async () => {
  const error = { code: 'bad_input', says: 'That day exists.', todo: 'Give it another code.' } as const;
  await show(VIEWS, { 'deck.new': () => failed(error) });
  await screen.findByLabelText('Code of the day');
  await fireEvent.click(begin());
  expect(plain(await screen.findByRole('alert'))).toContain('That day exists. Give it another code.');
});

it('says where no protocol is kept, and leads to the protocols', async () => {
  await show([]);
  await screen.findByRole('heading', { name: 'No protocol is kept yet' });
  expect(plain(document.body)).toContain('Being made, but not kept yet: Paddles.');
  expect(screen.getByRole('link', { name: 'Go to the protocols' }).getAttribute('href')).toBe('#/protocols');
  expect(await axeFaults()).toEqual([]);
});

it('numbers a second day of one date', () => {
  expect(freeCode('2026-03-14', [])).toBe('2026-03-14');
  expect(freeCode('2026-03-14', ['2026-03-14', '2026-03-14-2'])).toBe('2026-03-14-3');
});

it('says what another pool changes: nothing, a start without a wall, a run that does not fit', () => {
  expect(poolWords(DIVE, 25)).toEqual([]);
  const longer = poolWords(DIVE, 50).join(' ').replaceAll('\u00a0', ' ');
  expect(longer).toContain(
    'the section stays 10 m to 0 m before it; the start now lies 25 m from the other wall',
  );
  expect(longer).toContain('no block to dive from');
  expect(poolWords({ ...DIVE, start: 'in_water' }, 50).join(' ')).not.toContain('to dive from');
  const shorter = poolWords(DIVE, 16.67).join(' ').replaceAll('\u00a0', ' ');
  expect(shorter).toContain('The run of 25 m does not fit in');
  expect(shorter).not.toContain('the section stays');
});

it('leads from the days to a new one, and from a day run here to its deck', async () => {
  await goTo('#/days');
  const day = {
    date: '2026-03-14',
    venue: null,
    swimmers: 6,
    trials: 12,
    good: 0,
    look: 0,
    swimAgain: 0,
    refused: 0,
  };
  const openedAt = '2026-03-14T09:05:00.000Z';
  const { client } = fakeLab({
    days: [
      { id: 4, day: 'run-here', onDeck: true, damaged: 0, fault: null, openedAt, ...day },
      { id: 5, day: 'from-folder', onDeck: false, damaged: 0, fault: null, openedAt, ...day },
    ],
    answers: { 'days.get': () => done({ ...dayView(), id: 4, onDeck: true, damaged: 0, fault: null }) },
  });
  render(App, { client });
  const table = within(await screen.findByRole('table'));
  const link = screen.getByRole('link', { name: 'New testing day…' });
  expect(link.getAttribute('href')).toBe('#/new-day');
  expect(table.getByRole('link', { name: 'On deck with run-here' }).getAttribute('href')).toBe(
    '#/day/4/deck',
  );
  expect(table.queryByRole('link', { name: /with from-folder/ })).toBeNull();
  expect(await axeFaults()).toEqual([]);
  await goTo('#/day/4');
  expect((await screen.findByRole('link', { name: 'On deck' })).getAttribute('href')).toBe('#/day/4/deck');
});
