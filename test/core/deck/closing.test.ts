/** Closing a day: every thing that is missing is one sentence. Common practice, no source. */
import { describe, expect, test } from 'vitest';
import { closeView, type CloseSource } from '../../../core/deck/closing.ts';
import type { Deck } from '../../../core/deck/act.ts';
import type { DeckTrialView, FileView } from '../../../core/deck/views.ts';
import { after, newDeck, PROTOCOL, readyDeck, swimmer } from './build.ts';

const WHOLE: Omit<DeckTrialView, 'trial'> = {
  trace: 1,
  films: [{ camera: 'A', file: 2 }],
  report: { verdict: 'good', says: '' },
  section: { startS: 3, endS: 9, method: 'video', uS: null },
  zerosRead: true,
};

const BARE: Omit<DeckTrialView, 'trial'> = {
  trace: null,
  films: [],
  report: null,
  section: null,
  zerosRead: false,
};

function source(deck: Deck, more: Partial<CloseSource> = {}): CloseSource {
  return {
    protocol: { content: PROTOCOL },
    ...deck,
    trials: deck.board.trials.map(({ trial, state }) => ({ trial, ...(state === 'planned' ? BARE : WHOLE) })),
    files: [],
    knownPressures: [],
    lastBackup: { says: '3 files.', at: '2026-03-14T17:00:00.000Z', isToday: true },
    lastVerification: null,
    ...more,
  };
}

function sentences(deck: Deck, more?: Partial<CloseSource>): readonly string[] {
  const { missing } = closeView(source(deck, more));
  for (const { says } of missing) expect(says).toMatch(/[.”]$/);
  return missing.map(({ says }) => says);
}

/** One swimmer, both runs swum and kept, everything ticked. */
function whole(): Deck {
  return after(readyDeck(['S1']), [
    { act: 'trial.begin', trial: 'S1-1' },
    { act: 'trial.end', trial: 'S1-1' },
    { act: 'trial.answer', trial: 'S1-1', what: 'keep', reason: '' },
    { act: 'trial.begin', trial: 'S1-2' },
    { act: 'trial.end', trial: 'S1-2' },
    { act: 'trial.answer', trial: 'S1-2', what: 'keep', reason: '' },
    { act: 'line.tick', list: 'close', item: 'Sensors rinsed', initials: 'KL' },
  ]);
}

test('a day that has everything lacks nothing', () => {
  const view = closeView(source(whole()));
  expect(view.missing).toEqual([]);
  expect(view.counts).toEqual({ planned: 2, swum: 2, kept: 2, again: 0, skipped: 0, withdrawn: 0 });
  expect(view.lastBackup).toEqual({ says: '3 files.', at: '2026-03-14T17:00:00.000Z' });
});

describe('of a trial', () => {
  test.each<[string, Partial<DeckTrialView>, RegExp]>([
    ['trace', { trace: null }, /^S1-1 has no trace/],
    ['film', { films: [] }, /^S1-1 has no film of camera A/],
    ['section times', { section: null }, /^S1-1 has no section times/],
    ['zeros', { zerosRead: false }, /^S1-1 has not both zeros/],
  ])('a missing %s', (_what, lack, says) => {
    const trials = [
      { trial: 'S1-1', ...WHOLE, ...lack },
      { trial: 'S1-2', ...WHOLE },
    ];
    const { missing } = closeView(source(whole(), { trials }));
    expect(missing).toHaveLength(1);
    expect(missing[0]!.says).toMatch(says);
    expect(missing[0]!.trial).toBe('S1-1');
  });

  test('what was not swum, not ended, not answered; what was skipped is no lack', () => {
    const deck = after(readyDeck(), [
      { act: 'trial.begin', trial: 'S1-1' },
      { act: 'trial.end', trial: 'S1-1' },
      { act: 'trial.skip', trial: 'S2-1', why: 'ill' },
      { act: 'trial.begin', trial: 'S3-1' },
    ]);
    const said = sentences(deck).filter((says) => says.startsWith('S'));
    expect(said.map((says) => says.split(':')[0])).toEqual([
      'S1-1 has no answer',
      'S3-1 was begun and not ended',
      'S1-2 was not swum',
      'S2-2 was not swum',
      'S3-2 was not swum',
    ]);
    expect(closeView(source(deck)).counts).toMatchObject({ planned: 6, swum: 1, skipped: 1 });
  });

  test('what has files though nobody began it', () => {
    const deck = readyDeck(['S1']);
    const trials = [
      { trial: 'S1-1', ...WHOLE },
      { trial: 'S1-2', ...BARE },
    ];
    expect(sentences(deck, { trials })[0]).toContain('S1-1 has files but was not begun on the board');
    const swum = after(deck, [{ act: 'trial.swum', trial: 'S1-1' }]);
    expect(sentences(swum, { trials })[0]).toContain('S1-1 has no answer');
  });

  test('a trial to be swum again without a repeat on the board', () => {
    const deck = after(readyDeck(['S1']), [
      { act: 'trial.begin', trial: 'S1-1' },
      { act: 'trial.end', trial: 'S1-1' },
      { act: 'trial.answer', trial: 'S1-1', what: 'again', reason: 'gap' },
    ]);
    expect(sentences(deck).join()).not.toContain('no repeat');
    const swims = deck.board.trials.filter(({ repeatOf }) => repeatOf === null);
    expect(sentences({ ...deck, board: { ...deck.board, trials: swims } }).join()).toContain(
      'S1-1 is to be swum again and has no repeat on the board',
    );
  });

  test('a trial that is left out need not have section times and zeros', () => {
    const deck = after(whole(), [{ act: 'trial.answer', trial: 'S1-2', what: 'leave', reason: 'rope' }]);
    const trials = [
      { trial: 'S1-1', ...WHOLE },
      { trial: 'S1-2', ...WHOLE, section: null, zerosRead: false },
    ];
    expect(sentences(deck, { trials })).toEqual([]);
  });

  test('film is asked for only where filming is allowed, and questioned where it is not', () => {
    const consents = { measuring: 'given', filming: 'not_asked', sharing: 'not_asked' } as const;
    const deck = after(whole(), [
      { act: 'swimmer.change', participant: 'S1', swimmer: swimmer('S1', { consents }) },
    ]);
    const unfilmed = deck.board.trials.map(({ trial }) => ({ trial, ...WHOLE, films: [] }));
    expect(sentences(deck, { trials: unfilmed })).toEqual([]);
    expect(sentences(deck)).toEqual([
      expect.stringContaining('S1-1 has a film, and the swimmer’s consent to filming is not noted'),
      expect.stringContaining('S1-2 has a film'),
    ]);
  });
});

describe('of the day', () => {
  test('runs that are not on the board at all', () => {
    const board = { ...whole().board, trials: whole().board.trials.slice(0, 1) };
    expect(sentences({ ...whole(), board })).toEqual([
      'S1 has 1 of 2 planned trials on the board: add what is missing on deck, or note why.',
    ]);
  });

  test('planned runs count every condition', () => {
    const content = { ...PROTOCOL, conditions: ['free', 'paddles', 'fist'] };
    expect(closeView(source(whole(), { protocol: { content } })).counts.planned).toBe(6);
  });

  test('files without a place', () => {
    const file: FileView = {
      id: 9,
      name: 'GX01.mp4',
      bytes: 1,
      at: '',
      kind: 'film',
      state: 'offered',
      place: null,
      by: null,
      offers: [],
      says: '',
    };
    const files = [file, { ...file, name: 'b.mp4', state: 'aside' as const }];
    expect(sentences(whole(), { files })).toEqual([
      'The file GX01.mp4 has no place: give it to a trial or set it aside, under Files.',
    ]);
  });

  test('sensors without end zero or check reading, and those that want a look', () => {
    const check = {
      sensor: 'K-1',
      zeroStartRaw: 500,
      zeroEndRaw: null,
      zeroShiftKpa: null,
      readings: [],
      verdict: 'missing' as const,
      says: '',
    };
    const look = {
      ...check,
      sensor: 'K-2',
      zeroEndRaw: 900,
      readings: [{ when: 'end' as const, appliedKpa: 5, readKpa: 6, errorKpa: 1 }],
      verdict: 'look' as const,
      says: 'It reads 1 kPa too much.',
    };
    expect(sentences(whole(), { knownPressures: [check, look] })).toEqual([
      'Sensor K-1 has no zero from the end of the day: read it here.',
      'Sensor K-1 has no known pressure read at the end: put a known pressure on it and read it here.',
      'Sensor K-2 wants a look: It reads 1 kPa too much.',
    ]);
  });

  test('open lines of the checklists, the dry run, the backup', () => {
    const said = sentences(newDeck(), { lastBackup: null });
    expect(said).toEqual([
      'The dry run was not confirmed: note why.',
      'Not ticked, before the first trial: “Lifeguard is here”.',
      'Not ticked, before the first trial: “Battery power only”.',
      'Not ticked, at the end of the day: “Sensors rinsed”.',
      'No backup of the lab folder is known: make one, best on another disk.',
    ]);
    const lastBackup = { says: '', at: '2026-03-13T17:00:00.000Z', isToday: false };
    expect(sentences(whole(), { lastBackup })).toEqual([
      'There is no backup of the lab folder from today: make one, best on another disk.',
    ]);
  });

  test('nothing of a swimmer who withdrew, who is a count', () => {
    const deck = after(readyDeck(), [{ act: 'swimmer.withdraw', participant: 'S1' }]);
    const view = closeView(source(deck, { trials: [] }));
    expect(JSON.stringify(view.missing)).not.toMatch(/\bS1\b/);
    expect(view.counts).toMatchObject({ planned: 4, withdrawn: 1 });
  });
});
