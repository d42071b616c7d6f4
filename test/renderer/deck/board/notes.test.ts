/** Notes, incidents and the files on their way in, as the screen on deck shows them. */
import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { axeFaults } from '../../axe.ts';
import { plain } from '../../calibrated/stage.ts';
import { press, showDeck } from '../boardstage.ts';
import { asTheLab, deckFile, deckLab, deckView } from '../fixture.ts';

vi.mock('../../../../renderer/review/forcechart.ts', () => ({
  openForceChart: () => ({ draw: () => undefined, close: () => undefined }),
}));
afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

const part = (name: string) => within(screen.getByRole('region', { name }));

describe('notes', () => {
  it('are one tap on the trial in question, with the caution beside the incident', async () => {
    const lab = await showDeck(deckLab(deckView(), { applied: asTheLab }));
    const notes = part('Note on S02-1');
    expect(notes.getByText(/Pain stops the trial at once, and no repeat is proposed/)).toBeTruthy();
    await fireEvent.click(notes.getByRole('button', { name: /^Goggles slipped/ }));
    await waitFor(() => expect(lab.acts()).toHaveLength(1));
    press('5');
    await waitFor(() => expect(lab.acts()).toHaveLength(2));
    const about = { trial: 'S02-1', participant: 'S02' };
    expect(lab.acts()).toEqual([
      { act: 'note.add', kind: 'note', ...about, says: 'Goggles slipped' },
      { act: 'trial.stop', trial: 'S02-1', says: 'shoulder pain' },
    ]);
    const list = await notes.findByRole('list', { name: /^What was noted/ });
    await waitFor(() =>
      expect(plain(within(list).getAllByRole('listitem')[0]!)).toMatch(
        /AB S02-1 Incident Stopped: shoulder pain$/,
      ),
    );
  });

  it('are typed, too', async () => {
    const lab = await showDeck(deckLab(deckView(), { applied: asTheLab }));
    press('n');
    const field = screen.getByRole<HTMLInputElement>('textbox', { name: 'Another note' });
    expect(document.activeElement).toBe(field);
    await fireEvent.input(field, { target: { value: ' Cap came off ' } });
    await fireEvent.click(screen.getByRole('button', { name: 'Note it' }));
    await waitFor(() => expect(lab.acts()[0]).toMatchObject({ kind: 'note', says: 'Cap came off' }));
    await waitFor(() => expect(field.value).toBe(''));
  });
});

describe('files on their way in', () => {
  const arriving = [
    { name: 'S03-1.csv', bytes: 2_000_000, copied: null, state: 'growing', says: '' },
    { name: 'S03-1.mp4', bytes: 800_000_000, copied: 200_000_000, state: 'copying', says: '' },
    { name: 'odd.mp4', bytes: 10, copied: 0, state: 'stopped', says: 'stopped by AB' },
  ] as const;
  const offered = deckFile(9, 'take-7.mp4', {
    kind: 'film',
    state: 'offered',
    offers: [
      { trial: 'S02-1', as: 'film', camera: 'A' },
      { trial: 'S01-1', as: 'film', camera: 'A' },
      { trial: 'S03-1', as: 'film', camera: 'A' },
    ],
    says: 'Its name tells no trial.',
  });
  const bad = deckFile(10, 'broken.csv', { state: 'unreadable', says: 'It has no column left.' });

  it('are told with progress, can be stopped and taken after all', async () => {
    const view = deckView();
    const lab = await showDeck(deckLab({ ...view, watch: { ...view.watch, arriving }, files: [bad] }));
    const files = part('Files');
    const list = plain(screen.getByRole('region', { name: 'Files' }));
    expect(list).toContain('S03-1.csv 2 MB, still growing');
    expect(list).toContain('S03-1.mp4 800 MB, copied 25 %');
    expect(list).toContain('odd.mp4 10 B, stopped: stopped by AB');
    expect(list).toContain('1 file could not be read: broken.csv. It has no column left.');
    expect(await axeFaults()).toEqual([]);
    await fireEvent.click(files.getByRole('button', { name: 'Stop S03-1.mp4' }));
    await fireEvent.click(files.getByRole('button', { name: 'Take odd.mp4 after all' }));
    expect(lab.calls.filter(({ name }) => name === 'deck.file').map(({ input }) => input)).toEqual([
      { day: 1, name: 'S03-1.mp4', take: false },
      { day: 1, name: 'odd.mp4', take: true },
    ]);
  });

  it('are given to a trial with one tap, the likeliest two offered', async () => {
    const lab = await showDeck(deckLab({ ...deckView(), files: [offered] }));
    const files = part('Files');
    expect(files.getAllByRole('button').map((button) => plain(button))).toEqual([
      'Belongs to S02-1, film of camera A',
      'Belongs to S01-1, film of camera A',
    ]);
    await fireEvent.click(files.getByRole('button', { name: 'Belongs to S02-1, film of camera A' }));
    await waitFor(() =>
      expect(lab.acts()).toEqual([
        { act: 'file.give', file: 9, to: { trial: 'S02-1', as: 'film', camera: 'A' }, why: '' },
      ]),
    );
    expect(files.getByRole('link', { name: 'Somewhere else' }).getAttribute('href')).toBe('#/day/1/files');
  });
});
