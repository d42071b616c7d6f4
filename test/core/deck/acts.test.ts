import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { DeckAct } from '../../../core/deck/deck.ts';
import { applyAct, withAllSensors } from '../../../core/deck/acts.ts';
import { type Deck } from '../../../core/deck/act.ts';
import { boardTurns, restUntil, withoutHidden } from '../../../core/deck/board.ts';
import { deckDay } from '../../../core/deck/tables.ts';
import { readyItems } from '../../../core/deck/ready.ts';
import { after, context, newDeck, PROTOCOL, readyDeck, refusalOf, swimmer } from './build.ts';

const trialsOf = ({ board }: Deck) => board.trials.map(({ trial, state }) => `${trial} ${state}`);
const swim = (trial: string): DeckAct[] => [
  { act: 'trial.begin', trial },
  { act: 'trial.end', trial },
];

describe('before the first trial', () => {
  test('says, in order, what is still to be done', () => {
    expect(readyItems(newDeck(), PROTOCOL).map(({ what, done }) => [what, done])).toEqual([
      ['swimmers', false],
      ['consent', false],
      ['sensors', false],
      ['checklist', false],
      ['order', false],
      ['dry_run', false],
    ]);
    expect(readyItems(readyDeck(), PROTOCOL).every(({ done }) => done)).toBe(true);
  });

  test('no trial begins while a line of the checklist is open', () => {
    const deck = after(readyDeck(), [{ act: 'line.untick', list: 'before', item: 'Lifeguard is here' }]);
    expect(refusalOf(deck, { act: 'trial.begin', trial: 'S1-1' })).toContain('Lifeguard is here');
  });

  test('no consent, no trial', () => {
    const missing = swimmer('S4', { consents: { measuring: 'missing', filming: 'given', sharing: 'given' } });
    const deck = after(readyDeck(), [
      { act: 'swimmers.add', swimmers: [missing] },
      { act: 'trial.add', participant: 'S4', condition: null },
    ]);
    expect(refusalOf(deck, { act: 'trial.begin', trial: 'S4-1' })).toContain('no consent');
    expect(
      trialsOf(after(deck, [{ act: 'order.make', seed: 'x' }])).some((swim) => swim.startsWith('S4')),
    ).toBe(false);
  });

  // Common practice, no source: core/rostermatch.ts.
  test('a minor with “given” alone does not swim before assent and a guardian’s consent are noted', () => {
    const young = swimmer('S4', { birthYear: 2012 });
    const deck = after(readyDeck(), [
      { act: 'swimmers.add', swimmers: [young] },
      { act: 'trial.add', participant: 'S4', condition: null },
    ]);
    const item = (of: Deck) => readyItems(of, PROTOCOL).find(({ what }) => what === 'consent');
    expect(item(deck)?.says).toContain('; under 18 with “given” alone: S4');
    // The part is not done; nobody else is held up by it.
    expect(item(deck)).toMatchObject({ done: false, needed: false });
    expect(after(deck, [{ act: 'trial.begin', trial: 'S1-1' }]).board.trials[0]!.state).toBe('swimming');
    expect(refusalOf(deck, { act: 'trial.begin', trial: 'S4-1' })).toContain('under 18');
    const consents = { ...young.consents, measuring: 'assent_and_guardian' } as const;
    const noted = after(deck, [
      { act: 'swimmer.change', participant: 'S4', swimmer: { ...young, consents } },
      { act: 'trial.begin', trial: 'S4-1' },
    ]);
    expect(item(noted)?.says).not.toContain('under 18');
    const alone = after(newDeck(), [{ act: 'swimmers.add', swimmers: [young] }]);
    expect(item(alone)).toMatchObject({ done: false });
  });

  test('a sensor without a calibration in force is not worn, nor one on both hands', () => {
    expect(refusalOf(newDeck(), { act: 'sensor.wear', hand: 'left', sensor: 'S-99' })).toContain(
      'calibration',
    );
    const deck = after(newDeck(), [{ act: 'sensor.wear', hand: 'left', sensor: 'K-1' }]);
    expect(refusalOf(deck, { act: 'sensor.wear', hand: 'right', sensor: 'K-1' })).toContain('left hand');
  });

  test('every swimmer has a code of their own', () => {
    expect(refusalOf(readyDeck(), { act: 'swimmers.add', swimmers: [swimmer('S1')] })).toContain('S1');
    expect(
      refusalOf(readyDeck(), { act: 'swimmer.change', participant: 'S1', swimmer: swimmer('S9') }),
    ).toContain('on the board');
  });
});

describe('the board', () => {
  test('goes in rounds, so that swimmers rest while others swim', () => {
    expect(trialsOf(readyDeck())).toEqual(
      ['S1-1', 'S2-1', 'S3-1', 'S1-2', 'S2-2', 'S3-2'].map((t) => `${t} planned`),
    );
    expect(boardTurns(readyDeck().board.trials)).toEqual({ now: 'S1-1', next: 'S2-1', after: 'S3-1' });
  });

  test('one trial at a time', () => {
    const deck = after(readyDeck(), [{ act: 'trial.begin', trial: 'S1-1' }]);
    expect(refusalOf(deck, { act: 'trial.begin', trial: 'S2-1' })).toContain('S1-1 is being swum');
    expect(refusalOf(deck, { act: 'trial.end', trial: 'S2-1' })).toContain('not being swum');
    expect(refusalOf(deck, { act: 'day.close', initials: 'KL' })).toContain('being swum');
  });

  test('rest counts from the end of the swimmer’s own last trial', () => {
    const deck = after(readyDeck(), swim('S1-1'), 1_000_000);
    expect(restUntil(deck.board.trials, 180)).toEqual({ S1: 1_060_000 + 180_000 });
  });

  test('a trial is skipped, put back as the next one, moved before another', () => {
    const skipped = after(readyDeck(), [{ act: 'trial.skip', trial: 'S1-1', why: 'cold' }]);
    expect(boardTurns(skipped.board.trials).now).toBe('S2-1');
    const back = after(skipped, swim('S2-1').concat({ act: 'trial.unskip', trial: 'S1-1' }));
    expect(boardTurns(back.board.trials).now).toBe('S1-1');
    const moved = after(back, [{ act: 'trial.move', trial: 'S3-2', before: 'S1-1' }]);
    expect(boardTurns(moved.board.trials).now).toBe('S3-2');
    expect(refusalOf(moved, { act: 'trial.move', trial: 'S2-1', before: null })).toContain('wait to be swum');
  });

  test('a repeat goes back into the order after its rest, and is taken away where the trial is kept after all', () => {
    const swum = after(readyDeck(), swim('S1-1'));
    expect(refusalOf(swum, { act: 'trial.answer', trial: 'S1-1', what: 'again', reason: '' })).toContain(
      'reason',
    );
    const again = after(swum, [
      { act: 'trial.answer', trial: 'S1-1', what: 'again', reason: 'left sensor slipped' },
    ]);
    // Three minutes of rest are two turns of two minutes; the swimmer’s own second trial comes after.
    expect(trialsOf(again)).toEqual([
      'S1-1 swum',
      'S2-1 planned',
      'S3-1 planned',
      'S1-3 planned',
      'S1-2 planned',
      'S2-2 planned',
      'S3-2 planned',
    ]);
    expect(again.board.trials[3]!.repeatOf).toBe('S1-1');
    const kept = after(again, [{ act: 'trial.answer', trial: 'S1-1', what: 'keep', reason: '' }]);
    expect(trialsOf(kept).some((swim) => swim.startsWith('S1-3'))).toBe(false);
  });

  test('the order is made anew around what was swum', () => {
    const deck = after(readyDeck(), [
      ...swim('S1-1'),
      { act: 'swimmers.add', swimmers: [swimmer('S4')] },
      { act: 'order.make', seed: 'again' },
    ]);
    expect(trialsOf(deck)[0]).toBe('S1-1 swum');
    expect(trialsOf(deck).filter((swim) => swim.startsWith('S1-'))).toEqual(['S1-1 swum', 'S1-2 planned']);
    expect(trialsOf(deck).filter((swim) => swim.startsWith('S4-'))).toHaveLength(2);
  });
});

describe('putting right', () => {
  const swum = after(readyDeck(), [...swim('S1-1'), ...swim('S2-1'), ...swim('S3-1')]);

  test('sensors of one trial, or from there on', () => {
    const deck = after(swum, [{ act: 'sensor.wear', hand: 'left', sensor: 'K-3' }]);
    const one = after(deck, [
      { act: 'trial.worn', trial: 'S2-1', worn: { left: 'K-3', right: 'K-2' }, onward: false },
    ]);
    expect(one.board.trials.map(({ worn }) => worn?.left)).toEqual([
      'K-1',
      'K-3',
      'K-1',
      undefined,
      undefined,
      undefined,
    ]);
    const on = after(deck, [
      { act: 'trial.worn', trial: 'S2-1', worn: { left: 'K-3', right: 'K-2' }, onward: true },
    ]);
    expect(on.board.trials.slice(0, 3).map(({ worn }) => worn?.left)).toEqual(['K-1', 'K-3', 'K-3']);
    const unknown: DeckAct = {
      act: 'trial.worn',
      trial: 'S2-1',
      worn: { left: 'S-99', right: 'K-2' },
      onward: false,
    };
    expect(refusalOf(deck, unknown)).toContain('no accepted calibration');
  });

  test('a sensor that was never put on is known from then on, in the same step', () => {
    const deck = after(swum, [
      { act: 'trial.worn', trial: 'S2-1', worn: { left: 'K-7', right: 'K-2' }, onward: false },
    ]);
    expect(deck.plan).toBe(swum.plan);
    expect(withAllSensors(deck).plan.sensors.map(({ sensor }) => sensor)).toEqual(['K-1', 'K-2', 'K-7']);
    expect(deckDay('d', withAllSensors(deck), PROTOCOL).sensors).toHaveLength(3);
    after(deck, [{ act: 'day.zero', sensor: 'K-7', when: 'end', raw: 510 }]);
  });

  test('a trial that nobody began was swum all the same', () => {
    const deck = after(swum, [{ act: 'trial.swum', trial: 'S1-2' }]);
    expect(deck.board.trials.find(({ trial }) => trial === 'S1-2')).toMatchObject({
      state: 'swum',
      beganMs: null,
      worn: { left: 'K-1', right: 'K-2' },
    });
    expect(refusalOf(deck, { act: 'trial.swum', trial: 'S1-2' })).toContain('not waiting');
  });

  test('a trial that only the camera caught takes its place after the last one swum', () => {
    const deck = after(swum, [
      { act: 'trial.caught', participant: 'S2', condition: null, file: 7, camera: 'A' },
    ]);
    expect(trialsOf(deck)[3]).toBe('S2-3 swum');
    expect(deck.board.given).toEqual([
      { file: 7, to: { trial: 'S2-3', as: 'film', camera: 'A' }, why: expect.any(String) },
    ]);
  });

  test('a file belongs where the latest word says', () => {
    const give = (to: string | null): DeckAct => ({
      act: 'file.give',
      file: 3,
      to: to === null ? null : { trial: to, as: 'trace', camera: null },
      why: '',
    });
    const deck = after(swum, [give('S1-1'), give('S2-1')]);
    expect(deck.board.given.map(({ to }) => to?.trial)).toEqual(['S2-1']);
    expect(refusalOf(swum, give('S8-1'))).toContain('no trial S8-1');
  });
});

test('a withdrawal stops the swimmer and hides all of theirs; consents can be changed without losing data', () => {
  const deck = after(readyDeck(), [
    ...swim('S1-1'),
    { act: 'note.add', kind: 'note', trial: 'S1-1', participant: 'S1', says: 'goggles slipped' },
    { act: 'swimmer.withdraw', participant: 'S1' },
  ]);
  const shown = withoutHidden(deck);
  expect(JSON.stringify(shown.board)).not.toContain('S1');
  expect(shown.plan.swimmers[0]).toMatchObject({ participant: 'S1', heightCm: null, birthYear: null });
  expect(refusalOf(deck, { act: 'trial.begin', trial: 'S1-2' })).toContain('no consent');
  const back = after(deck, [
    {
      act: 'swimmer.return',
      participant: 'S1',
      consents: { ...swimmer('S1').consents, measuring: 'given' },
      reason: 'asked again',
    },
  ]);
  expect(back.plan.swimmers[0]).toEqual(swimmer('S1'));
});

test('no act changes the day it is done to, and each gives one part', () => {
  const acts = fc.constantFrom<DeckAct>(
    { act: 'order.make', seed: 'z' },
    { act: 'trial.begin', trial: 'S1-1' },
    { act: 'trial.end', trial: 'S1-1' },
    { act: 'trial.begin', trial: 'S2-1' },
    { act: 'trial.end', trial: 'S2-1' },
    { act: 'trial.skip', trial: 'S3-1', why: 'late' },
    { act: 'trial.unskip', trial: 'S3-1' },
    { act: 'trial.answer', trial: 'S1-1', what: 'again', reason: 'gap' },
    { act: 'trial.answer', trial: 'S1-1', what: 'keep', reason: '' },
    { act: 'trial.move', trial: 'S3-2', before: 'S2-2' },
    { act: 'swimmer.withdraw', participant: 'S2' },
    { act: 'trial.add', participant: 'S3', condition: null },
    { act: 'trial.hands', trial: 'S1-1', swapped: true },
  );
  fc.assert(
    fc.property(fc.array(acts, { maxLength: 25 }), (done) => {
      let deck = readyDeck();
      for (const [index, act] of done.entries()) {
        const before = JSON.stringify(deck);
        const outcome = applyAct(deck, act, context(index * 60_000));
        expect(JSON.stringify(deck)).toBe(before);
        if (!outcome.ok) continue;
        deck = { ...deck, [outcome.value.part]: outcome.value.value };
        const codes = deck.board.trials.map(({ trial }) => trial);
        expect(new Set(codes).size).toBe(codes.length);
        const swims = withoutHidden(deck).board.trials.filter(({ state }) => state === 'swimming');
        expect(swims.length).toBeLessThanOrEqual(1);
      }
    }),
    { numRuns: 60 },
  );
});
