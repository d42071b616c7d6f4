/** A swimmer who was stopped: what follows from it. That a person decides, and none swims on unasked: common practice, no source. */
import { describe, expect, test } from 'vitest';
import type { DeckAct } from '../../../core/deck/deck.ts';
import type { Deck } from '../../../core/deck/act.ts';
import { withoutHidden } from '../../../core/deck/board.ts';
import { latestStop, restsToday } from '../../../core/deck/stopped.ts';
import { after, readyDeck, refusalOf } from './build.ts';

const trialOf = ({ board }: Deck, trial: string) => board.trials.find((swim) => swim.trial === trial)!;
const begin = (trial: string, clearedBy?: string): DeckAct => ({
  act: 'trial.begin',
  trial,
  ...(clearedBy === undefined ? {} : { clearedBy }),
});
const PAIN: DeckAct = { act: 'trial.stop', trial: 'S1-1', says: 'shoulder pain' };
const stopped = () => after(readyDeck(), [begin('S1-1'), PAIN]);

describe('a stop', () => {
  test('ends the trial at once and is noted as an incident on it', () => {
    const deck = stopped();
    const swim = trialOf(deck, 'S1-1');
    expect(swim.state).toBe('swum');
    expect(swim.endedMs).toBe(swim.stopped!.atMs);
    expect(swim.stopped!.says).toBe('shoulder pain');
    expect(deck.board.notes.at(-1)).toMatchObject({
      kind: 'incident',
      trial: 'S1-1',
      participant: 'S1',
      says: 'Stopped: shoulder pain',
    });
    // No repeat is on the board.
    expect(deck.board.trials.some(({ repeatOf }) => repeatOf === 'S1-1')).toBe(false);
  });

  test('told after the trial had ended leaves its end where it was', () => {
    const deck = after(readyDeck(), [begin('S1-1'), { act: 'trial.end', trial: 'S1-1' }, PAIN]);
    const { endedMs, stopped: stop } = trialOf(deck, 'S1-1');
    expect(stop!.atMs).toBeGreaterThan(endedMs!);
  });

  test('is of a trial that was swum', () => {
    expect(refusalOf(readyDeck(), PAIN)).toContain('not being swum');
  });

  test('lets the swimmer begin by the word of a named person alone, others as ever', () => {
    const deck = stopped();
    expect(refusalOf(deck, begin('S1-2'))).toBe('S1 was stopped in S1-1: shoulder pain.');
    const on = after(deck, [begin('S1-2', 'DR')]);
    expect(trialOf(on, 'S1-2')).toMatchObject({ state: 'swimming', clearedBy: 'DR' });
    const other = after(deck, [begin('S2-1', 'DR')]);
    // Nobody had to decide on S2.
    expect(trialOf(other, 'S2-1').clearedBy).toBeNull();
    expect(latestStop(on.board, 'S1')?.trial).toBe('S1-1');
    expect(latestStop(on.board, 'S2')).toBeNull();
  });
});

describe('stopping for today', () => {
  const REST: DeckAct = { act: 'trial.rest', participant: 'S1', why: 'shoulder pain' };

  test('skips what is planned, keeps what was swum and the consent, and lets nothing be added', () => {
    const deck = after(stopped(), [REST]);
    expect(restsToday(deck.board, 'S1')).toBe(true);
    expect(trialOf(deck, 'S1-1').state).toBe('swum');
    expect(trialOf(deck, 'S1-2')).toMatchObject({
      state: 'skipped',
      skippedWhy: 'stopped for today: shoulder pain',
    });
    expect(deck.plan.swimmers.find(({ participant }) => participant === 'S1')!.consents.measuring).toBe(
      'given',
    );
    for (const act of [
      { act: 'trial.add', participant: 'S1', condition: null },
      { act: 'trial.unskip', trial: 'S1-2' },
      REST,
    ] as const)
      expect(refusalOf(deck, act)).toContain('stopped for today');
    const anew = after(deck, [{ act: 'order.make', seed: 'tide' }]);
    expect(
      anew.board.trials.some(({ participant, state }) => participant === 'S1' && state === 'planned'),
    ).toBe(false);
  });

  test('ends by the word of a person, and then a trial can be put back', () => {
    const deck = after(stopped(), [
      REST,
      { act: 'trial.return', participant: 'S1', clearedBy: 'DR' },
      { act: 'trial.unskip', trial: 'S1-2' },
    ]);
    expect(trialOf(deck, 'S1-2').state).toBe('planned');
    expect(refusalOf(deck, begin('S1-2'))).toContain('was stopped');
  });

  test('waits until the swimmer is out of the water', () => {
    expect(refusalOf(after(readyDeck(), [begin('S1-1')]), REST)).toContain('in the water');
  });

  test('of a swimmer who withdraws is shown no more', () => {
    const deck = after(stopped(), [REST, { act: 'swimmer.withdraw', participant: 'S1' }]);
    expect(JSON.stringify(withoutHidden(deck).board)).not.toContain('S1');
  });
});
