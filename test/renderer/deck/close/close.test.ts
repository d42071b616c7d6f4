import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, expect, it } from 'vitest';
import type { CallName } from '../../../../core/contract/contract.ts';
import type { CloseView } from '../../../../core/deck/views.ts';
import type { DeckView } from '../../../../core/contract/deck.ts';
import { done, failed } from '../../../../core/base/refusal.ts';
import type { JobView, PlaceList } from '../../../../core/contract/views.ts';
import CloseScreen from '../../../../renderer/deck/close/CloseScreen.svelte';
import { PressureEntry, poolWater } from '../../../../renderer/deck/close/sensorentry.svelte.ts';
import { axeFaults } from '../../axe.ts';
import { plain, stage } from '../../calibrated/stage.ts';
import { dayView } from '../../fixture.ts';
import { deckFile, deckLab, deckSwimmer, deckView } from '../fixture.ts';

afterEach(cleanup);

const NOTHING_MISSING: CloseView = {
  counts: { planned: 7, swum: 2, kept: 1, again: 1, skipped: 1, withdrawn: 0 },
  missing: [],
  lastBackup: null,
  lastVerification: null,
};
const MISSING: CloseView = {
  ...NOTHING_MISSING,
  missing: [
    { says: 'S02-1 has no film of camera A.', trial: 'S02-1' },
    { says: 'Four planned trials were not swum.', trial: null },
  ],
};
const ROOT: PlaceList = {
  path: null,
  parent: null,
  isDay: false,
  entries: [{ name: 'stick', path: '/media/stick', isDay: false }],
};
const STICK: PlaceList = { path: '/media/stick', parent: null, isDay: false, entries: [] };
const job = (state: JobView['state'], wish: Partial<JobView> = {}): JobView => ({
  job: 3,
  what: 'Backing up the lab folder',
  state,
  done: 1,
  total: 4,
  day: null,
  says: '',
  error: null,
  ...wish,
});

const CHECKS: DeckView['knownPressures'] = [
  {
    sensor: 'K-1',
    zeroStartRaw: 500,
    zeroEndRaw: 540,
    zeroShiftKpa: 0.04,
    readings: [{ when: 'end', appliedKpa: 5, readKpa: 5.02, errorKpa: 0.02 }],
    verdict: 'holds',
    says: 'K-1 still reads 5.000 kPa as 5.020 kPa; the limit is 0.075 kPa.',
  },
  {
    sensor: 'K-2',
    zeroStartRaw: null,
    zeroEndRaw: null,
    zeroShiftKpa: null,
    readings: [],
    verdict: 'missing',
    says: 'The zero of K-2 was not read at the end of the day.',
  },
];

function closeLab(
  view: Partial<DeckView> = {},
  found: CloseView = MISSING,
  answers: NonNullable<Parameters<typeof deckLab>[1]>['answers'] = {},
) {
  return deckLab(deckView({ knownPressures: CHECKS, ...view }), {
    answers: {
      'deck.close': () => done(found),
      'places.list': ({ path }) => done(path === null ? ROOT : STICK),
      ...answers,
    },
    applied: (now, act) => {
      if (act.act === 'line.tick')
        return {
          ...now,
          board: {
            ...now.board,
            ticks: [{ list: act.list, item: act.item, initials: act.initials, atMs: 0 }],
          },
        };
      if (act.act === 'day.close')
        return { ...now, board: { ...now.board, closed: { initials: act.initials, atMs: 0 } } };
      return act.act === 'day.reopen' ? { ...now, board: { ...now.board, closed: null } } : now;
    },
  });
}

async function show(lab = closeLab()) {
  stage(CloseScreen, { desk: lab.desk, id: 1 });
  await screen.findByRole('heading', { name: 'Close quay-evening' });
  await screen.findByLabelText('Trials against the plan');
  return lab;
}
const region = (name: RegExp) => screen.getByRole('region', { name });
const dialog = () => within(screen.getByRole('dialog'));
const press = (name: string | RegExp) => fireEvent.click(screen.getByRole('button', { name }));
const intoStick = async () => fireEvent.click(await dialog().findByRole('button', { name: /^stick/ }));
const asked = (lab: ReturnType<typeof closeLab>, name: CallName) =>
  lab.calls.filter((call) => call.name === name).map(({ input }) => input);

it('shows the steps with their state, the next one marked', async () => {
  await show();
  const steps = within(screen.getByRole('list', { name: 'Steps of closing the day' }));
  const texts = steps.getAllByRole('button').map(plain);
  expect(texts).toEqual([
    '○ 1 Zeros and known pressures of the sensors 1 of 2 hold, 1 not read, to do now',
    '○ 2 What is missing 2 things',
    '○ 3 Closing checklist 0 of 1 ticked',
    '○ 4 Backup of the lab folder not made',
    '· 5 Log of the day to read or print',
    '· 6 Export to write out',
    '○ 7 Close the day open',
  ]);
  await fireEvent.click(steps.getAllByRole('button')[3]!);
  expect(plain(document.activeElement)).toContain('Backup of the lab folder');
  expect(await axeFaults()).toEqual([]);
});

it('says of each sensor whether the calibration held, with numbers', async () => {
  await show();
  const first = plain(screen.getByRole('article', { name: 'K-1, left hand' }));
  expect(first).toContain('✓ Holds');
  expect(first).toContain('K-1 still reads 5.000 kPa as 5.020 kPa; the limit is 0.075 kPa.');
  expect(first).toContain('+0.040 kPa');
  expect(first).toContain('end5.0005.020+0.020');
  const second = plain(screen.getByRole('article', { name: 'K-2, right hand' }));
  expect(second).toContain('○ Not read yet');
  expect(second).toContain('Zero shift, end less start —');
});

it('takes zeros and known pressures, in kPa and as a depth', async () => {
  const lab = await show();
  const card = within(screen.getByRole('article', { name: 'K-2, right hand' }));
  await fireEvent.input(card.getByLabelText('Zero at the end, counts'), { target: { value: '512,5' } });
  await fireEvent.click(card.getByRole('button', { name: 'Confirm the zero at the end of K-2' }));
  await fireEvent.input(card.getByLabelText('Pressure put on, kPa'), { target: { value: '5' } });
  await fireEvent.input(card.getByLabelText('Sensor reads, counts'), { target: { value: '18700' } });
  await press('Add this pressure on K-2');
  await fireEvent.click(card.getByRole('radio', { name: 'Depth in the pool' }));
  await waitFor(() =>
    expect(card.getByLabelText<HTMLInputElement>('Depth of the open tap, m').value).toBe(''),
  );
  await fireEvent.input(card.getByLabelText('Depth of the open tap, m'), { target: { value: '0.5' } });
  await fireEvent.input(card.getByLabelText('Sensor reads, counts'), { target: { value: '18300' } });
  await press('Add this pressure on K-2');
  const [zero, known, deep] = lab.acts();
  expect(zero).toEqual({ act: 'day.zero', sensor: 'K-2', when: 'end', raw: 512.5 });
  expect(known).toEqual({ act: 'day.pressure', sensor: 'K-2', when: 'end', appliedKpa: 5, raw: 18700 });
  // By hand: water at 27 °C 996.51 kg/m³ (Tanaka et al. 2001), g at 54° and 10 m 9.8142 m/s² (GRS80): 0.5 m is 4.890 kPa.
  expect(deep).toMatchObject({ act: 'day.pressure', sensor: 'K-2', raw: 18300 });
  expect((deep as { appliedKpa: number }).appliedKpa).toBeCloseTo(4.89, 3);
});

it('asks for the pool’s temperature and latitude before it takes a depth', () => {
  const { setup } = deckView().plan;
  expect(poolWater({ ...setup, waterTemperatureC: null })).toBeNull();
  expect(poolWater({ ...setup, latitudeDeg: null })).toBeNull();
  const entry = new PressureEntry();
  entry.by = 'depth';
  entry.applied = '1';
  entry.raw = '100';
  expect(entry.reading(null)).toBeNull();
});

it('counts against the plan, and leads to where each missing thing is mended', async () => {
  await show();
  expect(plain(screen.getByLabelText('Trials against the plan'))).toBe(
    'planned 7swum 2accepted 1to swim again 1skipped 1withdrawn 0',
  );
  const links = within(region(/What is missing/)).getAllByRole('link');
  expect(links.map((link) => link.getAttribute('href'))).toEqual([
    '#/day/1/deck',
    '#/day/1/files',
    '#/day/1/trial/S02-1',
    '#/day/1/prepare',
    '#/day/1/deck',
    '#/day/1/files',
  ]);
});

it('ticks the checklist with initials, and not without', async () => {
  const lab = await show();
  const part = within(region(/Closing checklist/));
  const box = part.getByRole<HTMLInputElement>('checkbox', { name: 'Sensors are rinsed' });
  await fireEvent.click(box);
  expect(box.checked).toBe(false);
  expect(plain(part.getByRole('alert'))).toContain('Type your initials first');
  await fireEvent.input(part.getByLabelText('Your initials'), { target: { value: 'AB' } });
  await fireEvent.click(box);
  await waitFor(() => expect(plain(region(/Closing checklist/))).toContain('1 of 1 ticked'));
  expect(lab.acts()).toEqual([
    { act: 'line.tick', list: 'close', item: 'Sensors are rinsed', initials: 'AB' },
  ]);
  await fireEvent.click(part.getByRole('checkbox'));
  expect(lab.acts().at(-1)).toEqual({ act: 'line.untick', list: 'close', item: 'Sensors are rinsed' });
});

it('backs up with progress, says what was read back, and asks again what is missing', async () => {
  const says = 'Copied 812 files (14.2 GB) to /media/stick/lab-backup and read back: every byte is the same.';
  const lab = closeLab({}, MISSING, {
    'deck.backup': () => done(job('running')),
    'jobs.get': () => done(job('done', { says })),
  });
  await show(lab);
  const before = asked(lab, 'deck.close').length;
  await press('Back up to a place…');
  await intoStick();
  await fireEvent.click(await dialog().findByRole('button', { name: 'Back up here' }));
  const bar = await screen.findByRole<HTMLProgressElement>('progressbar', {
    name: 'Backing up the lab folder',
  });
  expect(bar.value / bar.max).toBe(0.25);
  expect(asked(lab, 'deck.backup')).toEqual([{ day: 1, path: '/media/stick' }]);
  expect(await screen.findByText(new RegExp('read back: every byte is the same'))).toBeTruthy();
  await waitFor(() => expect(asked(lab, 'deck.close').length).toBeGreaterThan(before));
});

it('cancels a backup', async () => {
  await show(
    closeLab({}, MISSING, {
      'deck.backup': () => done(job('running')),
      'jobs.get': () => done(job('running')),
      'jobs.cancel': () => done(job('cancelled')),
    }),
  );
  await press('Back up to a place…');
  await intoStick();
  await fireEvent.click(await dialog().findByRole('button', { name: 'Back up here' }));
  await fireEvent.click(await screen.findByRole('button', { name: 'Cancel the backup' }));
  expect(await screen.findByText(/The backup was cancelled/)).toBeTruthy();
});

it('links the log and the deck sheets, to read and as PDF', async () => {
  await show();
  const links = within(region(/Log of the day/)).getAllByRole('link');
  expect(links.map((link) => link.getAttribute('href'))).toEqual([
    '/page/1/log.html',
    '/page/1/log.pdf',
    '/page/1/sheets.html',
    '/page/1/sheets.pdf',
  ]);
});

it('writes the day folder with its dataset, and shows why it could not', async () => {
  const error = {
    code: 'bad_input',
    says: 'The folder is there already.',
    todo: 'Choose another name.',
  } as const;
  const lab = closeLab({}, MISSING, { 'days.dataset': () => failed(error) });
  await show(lab);
  await press('Write day folder and dataset…');
  await intoStick();
  await fireEvent.click(await dialog().findByRole('button', { name: 'Write here' }));
  expect(plain(await dialog().findByRole('alert'))).toContain(
    'The folder is there already. Choose another name.',
  );
  expect(asked(lab, 'days.dataset')).toEqual([{ day: 1, path: '/media/stick' }]);
});

it('lets the films that go along be chosen, and says whose stay behind', async () => {
  const consents = { measuring: 'given', filming: 'given', sharing: 'given' } as const;
  const view = deckView();
  const swimmers = view.plan.swimmers.map((one) =>
    one.participant === 'S02' ? deckSwimmer('S02', { consents }) : one,
  );
  const withFilms = view.trials.map((trial) =>
    trial.trial === 'S02-1' ? { ...trial, films: [{ camera: 'A', file: 3 }] } : trial,
  );
  const lab = closeLab(
    {
      plan: { ...view.plan, swimmers },
      trials: withFilms,
      files: [deckFile(2, 'S01-1.mp4', { kind: 'film' })],
    },
    MISSING,
    {
      'days.get': () => done({ ...dayView(), onDeck: true }),
      'days.export': ({ path }) => done({ path, files: 9 }),
    },
  );
  await show(lab);
  await press('Only the day folder…');
  // S01 keeps film from others in the fixture; S02 does not.
  await dialog().findByText('Left out: films of S01.');
  expect(dialog().getByText('Left out: films of S01, S02.')).toBeTruthy();
  expect(dialog().getByRole<HTMLInputElement>('radio', { name: /^All films/ }).checked).toBe(true);
  expect(await axeFaults()).toEqual([]);
  await fireEvent.click(dialog().getByRole('radio', { name: /^Films that may be shown/ }));
  await intoStick();
  await fireEvent.click(await dialog().findByRole('button', { name: 'Export here' }));
  await dialog().findByText(/^9.files written/);
  expect(asked(lab, 'days.export')).toEqual([
    { day: 1, path: '/media/stick/quay-evening-marked', films: 'shareable' },
  ]);
});

it('closes with things missing, says what, and opens again', async () => {
  const lab = await show();
  const part = () => within(region(/^7/));
  expect(plain(region(/^7/))).toContain('S02-1 has no film of camera A.');
  await fireEvent.click(part().getByRole('button', { name: 'Close the day' }));
  expect(plain(part().getByRole('alert'))).toContain('Type your initials first');
  await fireEvent.input(part().getByLabelText('Your initials'), { target: { value: 'AB' } });
  await fireEvent.click(part().getByRole('button', { name: 'Close the day' }));
  await fireEvent.click(await part().findByRole('button', { name: 'Open the day again' }));
  expect(lab.acts()).toEqual([{ act: 'day.close', initials: 'AB' }, { act: 'day.reopen' }]);
  await part().findByRole('button', { name: 'Close the day' });
});

it('has nothing to nag about on a day where all is done', async () => {
  const holds = CHECKS.map((check) => ({ ...check, verdict: 'holds' as const }));
  const item = 'Sensors are rinsed';
  const board = { ...deckView().board, ticks: [{ list: 'close' as const, item, initials: 'AB', atMs: 0 }] };
  const lastBackup = { says: 'Copied to /media/stick and read back.', at: '2026-03-14T12:00:00Z' };
  await show(closeLab({ knownPressures: holds, board }, { ...NOTHING_MISSING, lastBackup }));
  expect(plain(region(/What is missing/))).toContain('Nothing is missing');
  expect(plain(region(/^7/))).toContain('Everything is done.');
  expect(screen.getByRole('button', { name: 'Close the day' }).className).toContain('main');
});
