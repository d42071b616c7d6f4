import { describe, expect, it } from 'vitest';
import type { BoardTrial } from '../../../../core/deck/deck.ts';
import type { DeckTrialView } from '../../../../core/deck/views.ts';
import type { DeckView } from '../../../../core/contract/deck.ts';
import {
  moveTarget,
  primaryOf,
  restOf,
  restWords,
  trialToAnswer,
  trialToNote,
  waitingSentence,
} from '../../../../renderer/deck/board/boardrules.ts';
import { clockText } from '../../../../renderer/deck/board/boardwords.ts';
import { arrivingWords, placeWords, watchWords } from '../../../../renderer/deck/board/filewords.ts';
import { bodyFacts } from '../../../../renderer/deck/board/swimmerwords.ts';
import { boardTrial, deckSwimmer, deckTrial, deckView, swumTrial } from '../fixture.ts';

/** Text with plain spaces. */
const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const NOW_MS = Date.UTC(2026, 2, 14, 9, 30);

/** A day with these runs; traces came for those that are named. */
function day(
  swims: readonly BoardTrial[],
  traces: readonly string[] = [],
  wish: Partial<DeckView> = {},
): DeckView {
  const view = deckView(wish, NOW_MS);
  const trials: DeckTrialView[] = swims.map(({ trial }) =>
    deckTrial(trial, traces.includes(trial) ? { trace: 1, report: { verdict: 'look', says: 'Look.' } } : {}),
  );
  const planned = swims.find(({ state }) => state === 'swimming' || state === 'planned');
  return { ...view, board: { ...view.board, trials: swims }, trials, now: planned?.trial ?? null, ...wish };
}

describe('the one thing to do now', () => {
  const begun = boardTrial('S03-1', { state: 'swimming', beganMs: NOW_MS });
  it('goes from Begin to Ended to the answer to the next Begin', () => {
    const [first, next] = [boardTrial('S01-1'), boardTrial('S02-1')];
    expect(primaryOf(day([first, next]), null)).toMatchObject({ kind: 'begin', swim: first });
    const on = { ...first, state: 'swimming' as const };
    expect(primaryOf(day([on, next]), null)).toMatchObject({ kind: 'end', swim: on });
    const swum = swumTrial('S01-1', NOW_MS);
    // Its trace has not come: the queue need not wait for it.
    expect(primaryOf(day([swum, next]), 'S01-1')).toMatchObject({ kind: 'begin', swim: next });
    expect(primaryOf(day([swum, next], ['S01-1']), 'S01-1')).toMatchObject({ kind: 'answer', swim: swum });
    const kept = { ...swum, answer: { what: 'keep' as const, reason: '' } };
    expect(primaryOf(day([kept, next], ['S01-1']), null)).toMatchObject({ kind: 'begin', swim: next });
  });

  it('ends a trial before anything else, and offers the look at one that came while another is shown', () => {
    const [first, second] = [swumTrial('S01-1', NOW_MS), swumTrial('S02-1', NOW_MS)];
    expect(primaryOf(day([first, begun], ['S01-1']), 'S01-1')).toMatchObject({ kind: 'end', swim: begun });
    expect(primaryOf(day([first, second], ['S02-1']), 'S01-1')).toMatchObject({ kind: 'look', swim: second });
  });

  it('says what is missing in place of Begin, and when all is over or closed', () => {
    const ready = [{ what: 'checklist', done: false, needed: true, says: 'Two items are open.' }] as const;
    expect(primaryOf(day([boardTrial('S01-1')], [], { ready }), null)).toEqual({
      kind: 'prepare',
      missing: ready,
    });
    const advice = [{ what: 'watch', done: false, needed: false, says: 'No folder is watched.' }] as const;
    expect(primaryOf(day([boardTrial('S01-1')], [], { ready: advice }), null).kind).toBe('begin');
    expect(primaryOf(day([boardTrial('S01-1', { state: 'skipped' })]), null)).toEqual({ kind: 'finished' });
    const { board } = day([boardTrial('S01-1')]);
    const closed = { ...board, closed: { initials: 'AB', atMs: NOW_MS } };
    expect(primaryOf({ ...day([boardTrial('S01-1')]), board: closed }, null)).toEqual({ kind: 'closed' });
  });
});

describe('the verdict on the screen', () => {
  const [first, second] = [swumTrial('S01-1', NOW_MS), swumTrial('S02-1', NOW_MS)];
  it('is the one whose trace came first, else of the trial swum last', () => {
    expect(trialToAnswer(day([first, second]), null)).toBe('S02-1');
    expect(trialToAnswer(day([first, second], ['S01-1']), null)).toBe('S01-1');
    expect(trialToAnswer(day([boardTrial('S03-1')]), null)).toBeNull();
  });

  it('stays until it has been answered, whatever else arrives', () => {
    expect(trialToAnswer(day([first, second], ['S01-1']), 'S02-1')).toBe('S02-1');
    const answered = { ...second, answer: { what: 'keep' as const, reason: '' } };
    expect(trialToAnswer(day([first, answered], ['S01-1']), 'S02-1')).toBe('S01-1');
  });
});

describe('rest', () => {
  it('is told as rested of whole, and what is left', () => {
    const view = deckView({ restUntilMs: { S02: NOW_MS + 99_500 } }, NOW_MS);
    const rest = restOf(view, 'S02', NOW_MS)!;
    // The protocol asks for 180 s; 99.5 s are left, so 80.5 s are rested.
    expect(rest).toEqual({ restedMs: 80_500, wholeMs: 180_000, leftMs: 99_500 });
    expect(restWords(rest)).toBe('rested 1:20 of 3:00, 1:40 to go');
    expect(restOf(view, 'S02', NOW_MS + 99_500)).toBeNull();
    expect(restOf(view, 'S01', NOW_MS)).toBeNull();
  });

  it('never counts below zero', () => {
    expect(clockText(-5)).toBe('0:00');
    expect(clockText(3_599_999)).toBe('59:59');
  });
});

describe('moving a planned run', () => {
  const view = day([
    swumTrial('S09-1', NOW_MS),
    boardTrial('S01-1'),
    boardTrial('S02-1'),
    boardTrial('S03-1'),
  ]);
  it('goes one place up or down among the planned ones', () => {
    expect(moveTarget(view, 'S02-1', 'up')).toBe('S01-1');
    expect(moveTarget(view, 'S01-1', 'down')).toBe('S03-1');
    expect(moveTarget(view, 'S02-1', 'down')).toBeNull();
  });
  it('does not go beyond the ends, nor move what was swum', () => {
    expect(moveTarget(view, 'S01-1', 'up')).toBeUndefined();
    expect(moveTarget(view, 'S03-1', 'down')).toBeUndefined();
    expect(moveTarget(view, 'S09-1', 'down')).toBeUndefined();
  });
});

it('puts a note on the trial in the water, then on the one shown, swum last, or on now', () => {
  const swum = swumTrial('S01-1', NOW_MS, { answer: { what: 'keep', reason: '' } });
  const on = boardTrial('S02-1', { state: 'swimming' });
  expect(trialToNote(day([swum, on]), 'S01-1')).toBe('S02-1');
  expect(trialToNote(day([swum, boardTrial('S02-1')]), null)).toBe('S01-1');
  expect(trialToNote(day([boardTrial('S02-1')]), null)).toBe('S02-1');
});

describe('what has not arrived', () => {
  const swim = swumTrial('S01-1', NOW_MS);
  const withFound = (found: Partial<DeckTrialView>, wish: Partial<DeckView> = {}) => {
    const view = day([swim], [], wish);
    return { ...view, trials: [deckTrial('S01-1', found)] };
  };
  it('is said with what has', () => {
    expect(waitingSentence(withFound({}), swim)).toBe(
      'Waiting for the trace and the film of camera A; nothing has come yet.',
    );
    expect(waitingSentence(withFound({ films: [{ camera: 'A', file: 4 }] }), swim)).toBe(
      'Waiting for the trace; the film of camera A is here.',
    );
    expect(waitingSentence(withFound({ trace: 3, films: [{ camera: 'A', file: 4 }] }), swim)).toBeNull();
  });
  it('counts no film of a swimmer who is not to be filmed', () => {
    const { plan } = deckView();
    const consents = { measuring: 'given', filming: 'withheld', sharing: 'withheld' } as const;
    const unfilmed = { ...plan, swimmers: [deckSwimmer('S01', { consents })] };
    expect(waitingSentence(withFound({ trace: 3 }, { plan: unfilmed }), swim)).toBeNull();
  });
});

it('tells progress and places in words', () => {
  const file = { name: 'a.mp4', bytes: 200, copied: 50, state: 'copying', says: '' } as const;
  expect(plain(arrivingWords(file))).toBe('copied 25 %');
  expect(arrivingWords({ ...file, copied: null, state: 'growing' })).toBe('still growing');
  expect(arrivingWords({ ...file, state: 'waiting', says: 'the disk is full' })).toBe(
    'waits: the disk is full',
  );
  const watch = { folder: '/pool/incoming/', state: 'watching', says: '', arriving: [] } as const;
  expect(watchWords(watch)).toBe('Watching incoming.');
  expect(watchWords({ ...watch, folder: null, state: 'off' })).toContain('No folder is watched');
  expect(watchWords({ ...watch, state: 'gone', says: 'The share is gone.' })).toBe('The share is gone.');
  expect(placeWords({ trial: 'S01-1', as: 'film', camera: 'B' })).toBe('S01-1, film of camera B');
  expect(placeWords({ trial: 'dry-run', as: 'trace', camera: null })).toBe('the dry run, trace');
});

it('tells a body with units and leaves out what is not known', () => {
  const facts = bodyFacts(deckSwimmer('S01', { massKg: null, handAreaUCm2: null, heightCm: 171.5 }));
  expect(facts.map(({ name, text }) => `${name} ${text === null ? '—' : plain(text)}`)).toEqual([
    'Height 171.5 cm',
    'Mass —',
    'Left hand 142 cm²',
    'Right hand 145 cm²',
    'Sex female',
    'Born 2004',
  ]);
});
