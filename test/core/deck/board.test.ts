/** A testing day met by bad luck and ill will: odd codes, withdrawals, sensors that fell off. */
import { describe, expect, test } from 'vitest';
import type { DeckAct } from '../../../core/deck/deck.ts';
import { boardTurns, restUntil, withoutHidden } from '../../../core/deck/board.ts';
import { sensorWorn } from '../../../core/day/book.ts';
import { deckBook, deckDay, pathOfFile } from '../../../core/deck/tables.ts';
import { after, newDeck, PROTOCOL, readyDeck, refusalOf, swimmer } from './build.ts';

const swim = (trial: string): DeckAct[] => [
  { act: 'trial.begin', trial },
  { act: 'trial.end', trial },
];

describe('codes', () => {
  test('that every object has words of its own for rest like any other', () => {
    const codes = ['__proto__', 'constructor', 'toString'];
    const deck = after(
      readyDeck(codes),
      codes.flatMap((code) => swim(`${code}-1`)),
    );
    const until = restUntil(deck.board.trials, 60);
    expect(Object.keys(until).toSorted()).toEqual(codes.toSorted());
    expect(Object.values(until).every((at) => Number.isFinite(at))).toBe(true);
  });

  test('that contain one another give every file a path of its own', () => {
    const paths = [
      ['P1-1', '1-A'],
      ['P1-1-1', 'A'],
      ['P1-1', '1-1-A'],
      ['P1-1-1', '1-A'],
      ['P1-1-1-1', 'A'],
    ].map(([trial, camera]) =>
      pathOfFile({ name: 'x.mp4', place: { trial: trial!, as: 'film', camera: camera! } }),
    );
    expect(new Set(paths).size).toBe(paths.length);
    expect(paths[1]).toBe('video/P1-1-1-A.mp4');
  });

  test('that differ in case alone are one: some disks do not tell their files apart', () => {
    const says = 'upper and lower case alone';
    expect(refusalOf(readyDeck(), { act: 'swimmers.add', swimmers: [swimmer('s1')] })).toContain(says);
    expect(refusalOf(newDeck(), { act: 'swimmers.add', swimmers: [swimmer('a'), swimmer('A')] })).toContain(
      says,
    );
    const deck = after(newDeck(), [{ act: 'swimmers.add', swimmers: [swimmer('a'), swimmer('b')] }]);
    const rename = (to: string): DeckAct => ({
      act: 'swimmer.change',
      participant: 'a',
      swimmer: swimmer(to),
    });
    expect(refusalOf(deck, rename('B'))).toContain(says);
    expect(after(deck, [rename('A')]).plan.swimmers[0]!.participant).toBe('A');
  });

  test('of a swimmer with notes stay, so that the notes are hidden with the swimmer', () => {
    const note: DeckAct = { act: 'note.add', kind: 'note', trial: null, participant: 'a', says: 'tired' };
    const deck = after(newDeck(), [{ act: 'swimmers.add', swimmers: [swimmer('a')] }, note]);
    const rename: DeckAct = { act: 'swimmer.change', participant: 'a', swimmer: swimmer('b') };
    expect(refusalOf(deck, rename)).toContain('has notes');
    const gone = after(deck, [{ act: 'swimmer.remove', participant: 'a' }]);
    expect(withoutHidden(gone).board.notes).toEqual([]);
  });

  test('of a camera that the protocol names twice stand once in the day', () => {
    const twice = {
      ...PROTOCOL,
      cameras: [...PROTOCOL.cameras, { ...PROTOCOL.cameras[0]!, frameRateHz: 120 }],
    };
    expect(deckDay('d', newDeck(), twice).cameras).toEqual([{ camera: 'A', frameRateHz: 50 }]);
  });
});

describe('a swimmer who withdrew', () => {
  const told = after(readyDeck(), [
    ...swim('S1-1'),
    { act: 'trial.answer', trial: 'S1-1', what: 'leave', reason: 'S2 was in the lane' },
    { act: 'trial.skip', trial: 'S3-1', why: 'waited for s2' },
    { act: 'note.add', kind: 'note', trial: null, participant: null, says: 'S2 looks cold' },
    { act: 'note.add', kind: 'note', trial: 'S1-1', participant: null, says: 'S20 is a buoy, S1-1 was fine' },
    { act: 'file.give', file: 7, to: null, why: 'only S2 warming up' },
    { act: 'swimmer.withdraw', participant: 'S2' },
  ]);

  test('is in no word about others on the board', () => {
    const { board } = withoutHidden(told);
    expect(JSON.stringify(board)).not.toMatch(/(?<![A-Z0-9])S2(?![0-9])/i);
    expect(board.notes.map(({ says }) => says)).toEqual(['S20 is a buoy, S1-1 was fine']);
    expect(board.trials[0]!.answer).toMatchObject({
      what: 'leave',
      reason: expect.stringContaining('not shown') as string,
    });
  });

  test('nor in the tables of the day', () => {
    const book = deckBook('d', told, PROTOCOL, []);
    expect(JSON.stringify(book.trials.map(({ row }) => row))).not.toContain('S2 ');
    expect(book.trials[0]!.row).toMatchObject({ status: 'excluded' });
  });

  test('fills no rest of others: a repeat waits for those who swim', () => {
    const codes = ['S1', 'S2', 'S3', 'S4'];
    const deck = after(readyDeck(codes), [
      ...swim('S1-1'),
      { act: 'trial.skip', trial: 'S1-2', why: '' },
      { act: 'swimmer.withdraw', participant: 'S2' },
      { act: 'trial.answer', trial: 'S1-1', what: 'again', reason: 'slipped' },
    ]);
    // Three minutes of rest are two turns of two minutes.
    expect(boardTurns(withoutHidden(deck).board.trials)).toEqual({
      now: 'S3-1',
      next: 'S4-1',
      after: 'S1-3',
    });
  });
});

describe('a sensor that a hand did not wear', () => {
  const none: DeckAct = {
    act: 'trial.worn',
    trial: 'S1-1',
    worn: { left: null, right: 'K-2' },
    onward: false,
  };
  const swum = after(readyDeck(), [...swim('S1-1'), ...swim('S2-1')]);

  test('gives no force in that trial, and the other trials keep theirs', () => {
    const book = deckBook('d', after(swum, [none]), PROTOCOL, []);
    const worn = book.trials.map(({ row }) => [
      sensorWorn(book.day, row, 'left'),
      sensorWorn(book.day, row, 'right'),
    ]);
    expect(worn).toEqual([
      [null, 'K-2'],
      ['K-1', 'K-2'],
    ]);
  });

  test('also where the hands were swapped', () => {
    const book = deckBook(
      'd',
      after(swum, [none, { act: 'trial.hands', trial: 'S1-1', swapped: true }]),
      PROTOCOL,
      [],
    );
    const [first, second] = book.trials;
    expect([sensorWorn(book.day, first!.row, 'left'), sensorWorn(book.day, first!.row, 'right')]).toEqual([
      'K-2',
      null,
    ]);
    expect([sensorWorn(book.day, second!.row, 'left'), sensorWorn(book.day, second!.row, 'right')]).toEqual([
      'K-1',
      'K-2',
    ]);
  });
});
