import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, expect, it } from 'vitest';
import type { DeckAct } from '../../../../core/deck/deck.ts';
import type { DeckView } from '../../../../core/contract/deck.ts';
import type { SectionMatch } from '../../../../core/lists/sections.ts';
import { done, failed } from '../../../../core/base/refusal.ts';
import FilesScreen from '../../../../renderer/deck/files/FilesScreen.svelte';
import { axeFaults } from '../../axe.ts';
import { plain, stage } from '../../calibrated/stage.ts';
import { deckFile, deckLab, deckSwimmer, deckView, swumTrial } from '../fixture.ts';

afterEach(cleanup);

const trace = (trial: string) => ({ trial, as: 'trace', camera: null }) as const;
const film = (trial: string, camera = 'A') => ({ trial, as: 'film', camera }) as const;

const SECTION = { startS: 12.3, endS: 17.85, method: 'gate', uS: 0.001 } as const;

/** Files in every state; S04 consents to being measured, not to being filmed. */
function filesView(wish: Partial<DeckView> = {}): DeckView {
  const view = deckView();
  const withheld = { measuring: 'given', filming: 'withheld', sharing: 'not_asked' } as const;
  return {
    ...view,
    plan: {
      ...view.plan,
      swimmers: view.plan.swimmers.map((swimmer) =>
        swimmer.participant === 'S04' ? deckSwimmer('S04', { consents: withheld }) : swimmer,
      ),
    },
    board: {
      ...view.board,
      trials: view.board.trials.map((swim) => (swim.trial === 'S04-1' ? swumTrial('S04-1', 0) : swim)),
      sections: [{ trial: 'S01-1', section: SECTION }],
    },
    trials: view.trials.map((trial) => (trial.trial === 'S01-1' ? { ...trial, section: SECTION } : trial)),
    files: [
      deckFile(1, 'S01-1.csv', { place: trace('S01-1'), bytes: 48_200_000 }),
      deckFile(2, 'S01-1.mp4', { kind: 'film', place: film('S01-1'), bytes: 1_230_000_000 }),
      deckFile(3, 'S02-1.csv', { place: trace('S02-1') }),
      deckFile(4, 'GX010042.mp4', {
        kind: 'film',
        state: 'offered',
        by: null,
        offers: [film('S03-1'), film('S02-1')],
        says: 'Its name tells no trial.',
      }),
      deckFile(5, 'S01-1 copy.csv', { state: 'twice', by: null, says: 'The same bytes came as S01-1.csv.' }),
      deckFile(6, 'burst.csv', {
        kind: 'other',
        state: 'unreadable',
        by: null,
        says: 'It ends in the middle of line 812.',
      }),
      deckFile(7, 'test.csv', { state: 'aside', by: 'person', says: 'Set aside by AB: a test shot.' }),
      deckFile(8, 'S04-1.mp4', {
        kind: 'film',
        state: 'hidden',
        by: null,
        says: 'S04 does not consent to being filmed.',
      }),
    ],
    ...wish,
  };
}

async function show(lab = deckLab(filesView())) {
  stage(FilesScreen, { desk: lab.desk, id: 1 });
  await screen.findByRole('heading', { name: 'Files of quay-evening' });
  return lab;
}
const row = (name: string) => plain(screen.getByRole('rowheader', { name }).closest('tr'));
const dialog = () => within(screen.getByRole('dialog'));
const press = (name: string | RegExp) => fireEvent.click(screen.getByRole('button', { name }));
const type = (label: string | RegExp, value: string) =>
  fireEvent.input(dialog().getByLabelText(label), { target: { value } });
const choose = (label: string | RegExp, value: string) =>
  fireEvent.change(dialog().getByLabelText(label), { target: { value } });

it('tells of every file its kind, size, state, place, by whose word, and why', async () => {
  await show();
  expect(row('S01-1.csv')).toContain('trace48.2 MB');
  expect(row('S01-1.csv')).toContain('✓ Placed S01-1, trace by its name');
  expect(row('S01-1.mp4')).toContain('film1.23 GB');
  expect(row('S01-1.mp4')).toContain('S01-1, film of camera A');
  expect(row('S01-1 copy.csv')).toContain('Came before The same bytes came as S01-1.csv.');
  expect(row('burst.csv')).toContain('✕ Not readable It ends in the middle of line 812.');
  expect(row('test.csv')).toContain('Set aside Set aside by AB: a test shot.');
  expect(await axeFaults()).toEqual([]);
});

it('tells the three consents apart where a film is hidden', async () => {
  await show();
  expect(plain(screen.getAllByLabelText('Consents of S04')[0]!)).toBe(
    'Measuring ✓ givenFilming ✕ withheldShowing film to others ✕ not asked',
  );
});

it('lists what is not in use alone', async () => {
  await show();
  await fireEvent.click(screen.getByRole('radio', { name: 'Not in use 4' }));
  expect(screen.queryByRole('rowheader', { name: 'S01-1.csv' })).toBeNull();
  expect(screen.getByRole('rowheader', { name: 'burst.csv' })).toBeTruthy();
});

it('gives an offered file to the likeliest trial with one tap', async () => {
  const placed = ({ files, ...view }: DeckView): DeckView => ({
    ...view,
    files: files.map((file) =>
      file.id === 4 ? { ...file, state: 'placed', place: film('S03-1'), by: 'person' } : file,
    ),
  });
  const lab = await show(deckLab(filesView(), { applied: placed }));
  screen.getByRole('heading', { name: /^1.file waits for you: whose is it\?/ });
  await press('S03-1, film of camera A (now)');
  expect(lab.acts()).toEqual([{ act: 'file.give', file: 4, to: film('S03-1'), why: '' }]);
  await waitFor(() => expect(screen.queryByRole('heading', { name: /waits for you/ })).toBeNull());
  expect(lab.desk.message).toBe('GX010042.mp4 given to S03-1, film of camera A.');
});

it('moves a placed file to another swimmer in one step, with a reason', async () => {
  const lab = await show();
  await press('Give elsewhere… S02-1.csv');
  await choose('Trial', 'S01-1');
  expect(plain(screen.getByRole('dialog'))).toContain('S01-1, trace is there already: S01-1.csv.');
  expect(await axeFaults()).toEqual([]);
  const give = () => dialog().getByRole('button', { name: /^Give to/ });
  await fireEvent.click(give());
  expect(dialog().getByText(/It takes a reason/)).toBeTruthy();
  expect(lab.acts()).toEqual([]);
  await fireEvent.click(dialog().getByRole('button', { name: 'Named after the wrong swimmer' }));
  await fireEvent.click(give());
  const why = 'Named after the wrong swimmer';
  expect(lab.acts()).toEqual([{ act: 'file.give', file: 3, to: trace('S01-1'), why }]);
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
});

it('sets a file aside with a reason, and brings one back', async () => {
  const lab = await show();
  await press('Give elsewhere… S01-1.csv');
  await type(/^Reason/, 'Another swimmer pushed off');
  await fireEvent.click(dialog().getByRole('button', { name: 'Set aside' }));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  await press('Bring back… test.csv');
  await choose('Trial', 'dry-run');
  await type(/^Reason/, 'It was the dry run');
  await fireEvent.click(dialog().getByRole('button', { name: 'Give to dry run, trace' }));
  expect(lab.acts()).toEqual([
    { act: 'file.give', file: 1, to: null, why: 'Another swimmer pushed off' },
    { act: 'file.give', file: 7, to: trace('dry-run'), why: 'It was the dry run' },
  ]);
});

it('shows why an act was not taken, and keeps what was typed', async () => {
  const error = { code: 'bad_input', says: 'S03-1 is gone.', todo: 'Look again.' } as const;
  await show(deckLab(filesView(), { answers: { 'deck.act': () => failed(error) } }));
  await press('Give elsewhere… S02-1.csv');
  await choose('Trial', 'S03-1');
  await type(/^Reason/, 'wrong one');
  await fireEvent.click(dialog().getByRole('button', { name: /^Give to/ }));
  expect(plain(await dialog().findByRole('alert'))).toContain('S03-1 is gone. Look again.');
  expect(dialog().getByLabelText<HTMLInputElement>(/^Reason/).value).toBe('wrong one');
});

it('follows files on their way, stops one and takes a stopped one after all', async () => {
  const arriving = [
    { name: 'big.mp4', bytes: 4e9, copied: 1e9, state: 'copying', says: '' },
    { name: 'slow.csv', bytes: 2e6, copied: null, state: 'growing', says: '' },
    { name: 'left.mp4', bytes: 1e6, copied: null, state: 'stopped', says: 'stopped by AB' },
  ] as const;
  const watch = { folder: '/pool/incoming', state: 'watching', says: 'Watching.', arriving } as const;
  const lab = await show(deckLab(filesView({ watch })));
  expect(screen.getByRole<HTMLProgressElement>('progressbar', { name: 'Copying big.mp4' }).value).toBe(1e9);
  expect(plain(document.body)).toContain('copying, 1 GB of 4 GB');
  expect(plain(document.body)).toContain('still growing, 2 MB so far');
  expect(plain(document.body)).toContain('stopped: stopped by AB');
  await press('Stop big.mp4');
  await press('Take after all left.mp4');
  const asked = lab.calls.filter(({ name }) => name === 'deck.file').map(({ input }) => input);
  expect(asked).toEqual([
    { day: 1, name: 'big.mp4', take: false },
    { day: 1, name: 'left.mp4', take: true },
  ]);
});

it('chooses the folder to watch, and stops watching', async () => {
  const place = { path: '/pool/incoming', parent: null, isDay: false, entries: [] };
  const places = {
    path: null,
    parent: null,
    isDay: false,
    entries: [{ name: 'incoming', path: '/pool/incoming', isDay: false }],
  };
  const off = { folder: null, state: 'off', says: 'No folder is watched.', arriving: [] } as const;
  const lab = deckLab(filesView({ watch: off }), {
    answers: { 'places.list': ({ path }) => done(path === null ? places : place) },
  });
  await show(lab);
  await press('Choose the folder…');
  await fireEvent.click(await dialog().findByRole('button', { name: /^incoming/ }));
  await fireEvent.click(await dialog().findByRole('button', { name: 'Watch this folder' }));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  expect(lab.calls).toContainEqual({ name: 'deck.watch', input: { day: 1, path: '/pool/incoming' } });
  expect(lab.desk.message).toBe('/pool/incoming is watched.');
  cleanup();
  const on = await show();
  await press('Stop watching');
  expect(on.calls).toContainEqual({ name: 'deck.watch', input: { day: 1, path: null } });
});

it('says what a folder out of reach means', async () => {
  const watch = {
    folder: '/pool/incoming',
    state: 'gone',
    says: 'The folder cannot be reached since 09:41; it goes on by itself once it is there again.',
    arriving: [],
  } as const;
  await show(deckLab(filesView({ watch })));
  expect(plain(screen.getByRole('region', { name: 'Watched folder' }))).toContain(
    'Out of reach /pool/incoming The folder cannot be reached since 09:41',
  );
});

// Putting right.

it('lists trials that were swum with trace, films, sensors, section and verdict', async () => {
  await show();
  const first = row('Review S01-1');
  expect(first).toContain('S01-1.csvA: S01-1.mp4');
  expect(first).toContain('left K-1, right K-2');
  expect(first).toContain('12.300 to 17.850 s, gates, ± 0.001 s (standard)');
  expect(first).toContain('Good Every limit of the protocol holds.');
  expect(row('Review S02-1')).toContain('! no film');
  expect(row('Review S02-1')).toContain('! no section times');
  expect(row('Review S04-1')).toContain('Films are kept out of sight: Measuring ✓ givenFilming ✕ withheld');
  expect(screen.queryByRole('rowheader', { name: 'Review S01-2' })).toBeNull();
});

it('corrects the sensors from a trial on, and swaps its hands', async () => {
  const lab = await show();
  await press('Put right… trial S02-1');
  expect(await axeFaults()).toEqual([]);
  const keep = dialog().getByRole('button', { name: 'Keep these sensors' });
  expect(keep.getAttribute('aria-disabled')).toBe('true');
  await choose('Left hand', 'K-2');
  expect(dialog().getByText(/One sensor cannot be on both hands/)).toBeTruthy();
  await choose('Right hand', 'K-1');
  await fireEvent.click(dialog().getByRole('radio', { name: 'This one and all swum after it' }));
  await fireEvent.click(dialog().getByRole('button', { name: 'Keep these sensors' }));
  await fireEvent.click(dialog().getByRole('button', { name: /Each hand wore the other’s sensor/ }));
  expect(lab.acts()).toEqual([
    { act: 'trial.worn', trial: 'S02-1', worn: { left: 'K-2', right: 'K-1' }, onward: true },
    { act: 'trial.hands', trial: 'S02-1', swapped: true },
  ]);
});

it('takes section times as start and duration, with the protocol’s uncertainty of the method', async () => {
  const lab = await show();
  await press('Put right… trial S02-1');
  await fireEvent.click(dialog().getByRole('radio', { name: 'Start and duration' }));
  await fireEvent.click(dialog().getByRole('radio', { name: 'stopwatch' }));
  // The fixture's protocol gives a stopwatch 0.1 s.
  expect(dialog().getByLabelText<HTMLInputElement>(/^Standard uncertainty/).value).toBe('0.1');
  await type('Start, s', '10,1');
  await type('Duration, s', '5.2');
  await fireEvent.click(dialog().getByRole('button', { name: 'Keep these times' }));
  const section = { startS: 10.1, endS: 15.3, method: 'stopwatch', uS: 0.1 };
  expect(lab.acts()).toEqual([{ act: 'sections.set', rows: [{ trial: 'S02-1', section }] }]);
});

it('refuses a section that ends before it starts, and takes times away', async () => {
  const lab = await show();
  await press('Put right… trial S01-1');
  expect(dialog().getByLabelText<HTMLInputElement>('Start, s').value).toBe('12.3');
  await type('End, s', '12');
  expect(dialog().getByText(/The section must end after it starts/)).toBeTruthy();
  expect(dialog().getByRole<HTMLButtonElement>('button', { name: 'Keep these times' }).disabled).toBe(true);
  await fireEvent.click(dialog().getByRole('button', { name: 'Take the times away' }));
  expect(lab.acts()).toEqual([{ act: 'sections.set', rows: [{ trial: 'S01-1', section: null }] }]);
});

it('keeps what is typed while files come in', async () => {
  const lab = await show();
  await press('Put right… trial S02-1');
  await type('Start, s', '10.1');
  lab.put(filesView({ day: 'quay-evening' }));
  await waitFor(() => expect(lab.calls.filter(({ name }) => name === 'deck.get').length).toBeGreaterThan(1));
  expect(dialog().getByLabelText<HTMLInputElement>('Start, s').value).toBe('10.1');
});

it('adds a trial that only the camera caught', async () => {
  const lab = await show();
  await press('A trial that only the camera caught…');
  expect(await axeFaults()).toEqual([]);
  await choose('Swimmer', 'S02');
  expect(dialog().getByLabelText<HTMLSelectElement>('Film that shows it').value).toBe('4');
  await fireEvent.click(dialog().getByRole('button', { name: 'Add this trial' }));
  const act: DeckAct = { act: 'trial.caught', participant: 'S02', condition: null, file: 4, camera: 'A' };
  expect(lab.acts()).toEqual([act]);
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
});

const MATCH: SectionMatch = {
  columns: ['Run', 'In', 'Out', 'Note'],
  matching: { trial: 'Run', start: 'In' },
  fields: [
    { field: 'trial', needed: true, says: 'The trial’s code, such as P01-1.' },
    { field: 'start', needed: false, says: 'Start of the section on the trial’s clock, s.' },
    { field: 'end', needed: true, says: 'End of the section on the trial’s clock, s.' },
  ],
  rows: [],
};

it('takes section times from a pasted table after its columns are matched and its rows looked at', async () => {
  const section = { startS: 10.1, endS: 15.3, method: 'gate', uS: 0.001 } as const;
  const lab = deckLab(filesView(), {
    answers: {
      'deck.sections': ({ matching }) =>
        done(
          matching === null
            ? MATCH
            : {
                ...MATCH,
                matching,
                rows: [
                  { line: 2, value: { trial: 'S02-1', section }, problems: [] },
                  { line: 3, value: null, problems: ['There is no trial S99-1 on the board.'] },
                ],
              },
        ),
    },
  });
  await show(lab);
  await press('Section times from a table…');
  await type(/^Or paste the table here/, 'Run,In,Out\nS02-1,10.1,15.3\nS99-1,1,2\n');
  await fireEvent.click(dialog().getByRole('button', { name: 'Read the table' }));
  await dialog().findByText('! Say which column it is.');
  await choose('End (needed)', 'Out');
  expect(await dialog().findByText(/There is no trial S99-1 on the board/)).toBeTruthy();
  expect(await axeFaults()).toEqual([]);
  const lastAsked = lab.calls.findLast(({ name }) => name === 'deck.sections')!.input;
  expect(lastAsked).toMatchObject({ matching: { trial: 'Run', start: 'In', end: 'Out' } });
  expect(dialog().getByText(/1.row cannot be used and will be left out/)).toBeTruthy();
  await fireEvent.click(dialog().getByRole('button', { name: /^Take the times of 1.trial/ }));
  expect(lab.acts()).toEqual([{ act: 'sections.set', rows: [{ trial: 'S02-1', section }] }]);
});

it('reads a chosen file', async () => {
  const lab = deckLab(filesView(), { answers: { 'deck.sections': () => done(MATCH) } });
  await show(lab);
  await press('Section times from a table…');
  const text = 'Run;In;Out\nS02-1;10,1;15,3\n';
  const file = Object.assign(new File([text], 'gates.csv'), { text: async () => text });
  await fireEvent.change(dialog().getByLabelText(/^Choose a file/), { target: { files: [file] } });
  await waitFor(() =>
    expect(lab.calls).toContainEqual({ name: 'deck.sections', input: { day: 1, text, matching: null } }),
  );
});
