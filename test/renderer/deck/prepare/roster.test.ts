import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, expect, it } from 'vitest';
import PrepareScreen from '../../../../renderer/deck/prepare/PrepareScreen.svelte';
import { decodeTable } from '../../../../renderer/deck/prepare/tabletext.ts';
import { axeFaults } from '../../axe.ts';
import { plain, stage } from '../../calibrated/stage.ts';
import { deckSwimmer } from '../fixture.ts';
import { preparedLab } from './preparelab.ts';

afterEach(cleanup);

const ROSTER = [
  'Schwimmer;Jahrgang;height_cm;Gewicht;Einwilligung;Vorname',
  'S01;2004;171,5;63;given;x',
  'S02;2010;164;55;;x',
  'zwei Worte;2003;180;80;given;x',
  'S04;2001;190;85;given;x',
].join('\n');

async function open() {
  const lab = preparedLab({ plan: { swimmers: [deckSwimmer('S04')] } });
  stage(PrepareScreen, { desk: lab.desk, id: 1 });
  await fireEvent.click(await screen.findByRole('button', { name: 'Take from a table…' }));
  return { ...lab, dialog: within(await screen.findByRole('dialog')) };
}

it('matches the columns of a pasted table, tells each row’s problem, and takes the good rows', async () => {
  const { dialog, acts, calls } = await open();
  await fireEvent.click(dialog.getByRole('button', { name: 'Read this table' }));
  expect(plain(document.querySelector('dialog'))).toContain('There is nothing in it.');
  expect(await axeFaults()).toEqual([]);
  await fireEvent.input(dialog.getByLabelText('or paste the table'), { target: { value: ROSTER } });
  await fireEvent.click(dialog.getByRole('button', { name: 'Read this table' }));
  const heading = await dialog.findByRole('heading', { name: 'Which column gives what' });
  expect(document.activeElement).toBe(heading);
  // The guess is chosen already, in the words of the file.
  expect(dialog.getByLabelText<HTMLSelectElement>(/^Code/).value).toBe('Schwimmer');
  expect(dialog.getByLabelText<HTMLSelectElement>(/^Year of birth/).value).toBe('Jahrgang');
  const rows = () => within(dialog.getByRole('table')).getAllByRole('row').slice(1).map(plain);
  const heads = within(dialog.getByRole('table')).getAllByRole('columnheader').map(plain);
  expect(heads).toEqual(expect.arrayContaining(['Measuring', 'Filming', 'Showing film']));
  expect(rows()[0]).toMatch(/^2✓ S01/);
  expect(rows()[2]).toMatch(/^4✕ Left out\. .* holds no code/);
  expect(rows()[3], 'there already').toMatch(/^5✕ Left out\./);
  expect(await axeFaults()).toEqual([]);
  await fireEvent.change(dialog.getByLabelText(/^Height/), { target: { value: '' } });
  await waitFor(() => expect(rows()[0]).toContain('—, 63'));
  const asked = calls.filter(({ name }) => name === 'deck.roster').map(({ input }) => input);
  expect(asked[0]).toMatchObject({ matching: null });
  expect(asked[1]).toMatchObject({ matching: expect.not.objectContaining({ height_cm: 'height_cm' }) });
  await fireEvent.change(dialog.getByLabelText(/^Height/), { target: { value: 'height_cm' } });
  await waitFor(() => expect(rows()[0]).toContain('171.5, 63'));
  await fireEvent.click(dialog.getByRole('button', { name: /^Take 2.swimmers; 2.rows left out$/ }));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  expect(acts()).toMatchObject([
    {
      act: 'swimmers.add',
      swimmers: [
        {
          participant: 'S01',
          birthYear: 2004,
          heightCm: 171.5,
          massKg: 63,
          consents: { measuring: 'given' },
        },
        { participant: 'S02', birthYear: 2010, consents: { measuring: 'missing' } },
      ],
    },
  ]);
});

it('reads a chosen file, and one column gives one field only', async () => {
  const { dialog } = await open();
  const file = new File([ROSTER], 'roster.csv', { type: 'text/csv' });
  file.arrayBuffer = async () => new TextEncoder().encode(ROSTER).buffer as ArrayBuffer;
  await fireEvent.change(dialog.getByLabelText('File from this computer'), { target: { files: [file] } });
  await dialog.findByRole('heading', { name: 'Which column gives what · roster.csv' });
  await fireEvent.change(dialog.getByLabelText(/^Mass/), { target: { value: 'height_cm' } });
  await waitFor(() => expect(dialog.getByLabelText<HTMLSelectElement>(/^Height/).value).toBe(''));
  await fireEvent.change(dialog.getByLabelText(/^Code/), { target: { value: '' } });
  const take = await dialog.findByRole<HTMLButtonElement>('button', {
    name: /^Take 0.swimmers; 4.rows left out$/,
  });
  expect(take.disabled).toBe(true);
  await fireEvent.click(dialog.getByRole('button', { name: 'Another table' }));
  expect(dialog.getByLabelText<HTMLTextAreaElement>('or paste the table').value).toBe(ROSTER);
});

// WHATWG Encoding Standard: 0xFC is ü in windows-1252; UTF-16 as by its byte order mark.
it('reads UTF-8, UTF-16 with a byte order mark, and the Windows code page', () => {
  const text = 'Schwimmer;für\n';
  expect(decodeTable(new TextEncoder().encode(text))).toBe(text);
  const wide = new Uint8Array([0xff, 0xfe, ...[...text].flatMap((letter) => [letter.charCodeAt(0), 0])]);
  expect(decodeTable(wide)).toBe(text);
  expect(decodeTable(new Uint8Array([0x66, 0xfc, 0x72]))).toBe('für');
});
