import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, onTestFinished, test } from 'vitest';
import { openStore, type Store } from '../../../main/store/store.ts';
import { aDay, AT, decideOn, errorOf, opened, scratch, valueOf, WHO } from './support.ts';

const LATER = '2026-03-02T10:00:00.000Z';

describe('decisions', () => {
  test('are kept with who, when, before and after; undone ones stay with who took them back', () => {
    const store = opened(scratch());
    const day = aDay(store);
    const made = {
      day,
      trial: 'T1',
      subject: 'trial.status',
      key: 'T1',
      says: 'T1 excluded',
      who: WHO,
      at: AT,
    };
    const after = { status: 'excluded', reason: 'sensor wet' };
    const decision = valueOf(store.decide({ ...made, before: null, after }));
    expect(decision).toEqual({ ...made, id: 1, shape: 1, before: null, after, undone: null });
    expect(store.inForce(day).get('trial.status')?.get('T1')).toEqual(decision);
    const undone = { who: 'CD', at: LATER };
    expect(valueOf(store.undo(day, 'CD', LATER))).toEqual({ ...decision, undone });
    expect(store.history(day)).toEqual([{ ...decision, undone }]);
    expect(store.inForce(day).size).toBe(0);
    expect(valueOf(store.undo(day, 'CD', LATER))).toBeNull();
    expect(valueOf(store.redo(day, 'CD', LATER))).toEqual(decision);
    expect(valueOf(store.redo(day, 'CD', LATER))).toBeNull();
  });

  test('after an undo put the undone ones out of reach of redo, for good', () => {
    const store = opened(scratch());
    const day = aDay(store);
    valueOf(decideOn(store, day, 'k', null, 'first'));
    valueOf(decideOn(store, day, 'k', 'first', 'second'));
    valueOf(store.undo(day, WHO, LATER));
    valueOf(decideOn(store, day, 'k', 'first', 'third'));
    expect(store.canRedo(day)).toBe(false);
    valueOf(store.undo(day, WHO, LATER));
    expect(valueOf(store.redo(day, WHO, LATER))?.after).toBe('third');
    expect(store.history(day).map(({ after, undone }) => [after, undone !== null])).toEqual([
      ['first', false],
      ['second', true],
      ['third', false],
    ]);
  });

  test('of one day leave another alone', () => {
    const store = opened(scratch());
    const [one, two] = [aDay(store, 'D1'), aDay(store, 'D2')];
    valueOf(decideOn(store, one, 'k', null, 1));
    expect(store.canUndo(two)).toBe(false);
    expect(valueOf(store.undo(two, WHO, LATER))).toBeNull();
    valueOf(decideOn(store, two, 'k', null, 2));
    expect(valueOf(store.undo(one, WHO, LATER))?.after).toBe(1);
    expect(store.inForce(two).get('test')?.get('k')?.after).toBe(2);
  });

  test('made on what is no longer in force are refused and leave no trace', () => {
    const store = opened(scratch());
    const day = aDay(store);
    expect(errorOf(decideOn(store, day, 'k', 'accepted', 1)).code).toBe('changed_meanwhile');
    valueOf(decideOn(store, day, 'k', null, { b: 1, a: [2] }));
    expect(errorOf(decideOn(store, day, 'k', null, 2)).says).toContain('k becomes 2');
    expect(store.history(day)).toHaveLength(1);
    valueOf(decideOn(store, day, 'k', { a: [2], b: 1 }, 2));
  });

  test('JSON cannot hold are a bug, not a silent null', () => {
    const store = opened(scratch());
    const day = aDay(store);
    expect(() => decideOn(store, day, 'k', null, { forceN: NaN })).toThrow('JSON cannot hold NaN');
    expect(() => decideOn(store, day, 'k', null, undefined)).toThrow('without a value');
    expect(() => decideOn(store, 99, 'k', null, 1)).toThrow(/FOREIGN KEY/);
  });

  test.each(['UPDATE decision SET says = 1', 'DELETE FROM decision_turn', 'DELETE FROM day_revision'])(
    'cannot be altered, not even by hand: %s',
    (sql) => {
      const folder = scratch();
      const store = opened(folder);
      valueOf(decideOn(store, aDay(store), 'k', null, 1));
      const db = new BetterSqlite(join(folder, 'lab.sqlite'));
      onTestFinished(() => {
        db.close();
      });
      expect(() => db.exec(sql)).toThrow('is only ever added to');
    },
  );
});

/** What undo is, plainly: a list and a cursor. A decision cuts off what lies beyond the cursor. */
interface Model {
  line: { key: string; after: number }[];
  cursor: number;
  made: number;
}

type Step = { readonly does: 'decide'; readonly key: string } | { readonly does: 'undo' | 'redo' | 'reopen' };

const steps = fc.array(
  fc.oneof(
    fc.record({ does: fc.constant('decide' as const), key: fc.constantFrom('a', 'b', 'c') }),
    fc.record({ does: fc.constantFrom('undo' as const, 'redo' as const, 'undo' as const) }),
    { arbitrary: fc.record({ does: fc.constant('reopen' as const) }), weight: 1 },
  ),
  { maxLength: 40 },
);

function valuesInForce({ line, cursor }: Model): Record<string, number> {
  return Object.fromEntries(line.slice(0, cursor).map(({ key, after }) => [key, after]));
}

/** Takes a step in both; what the store gave and what the model says it should. */
function take(store: Store, day: number, model: Model, step: Step): [unknown, unknown] {
  if (step.does === 'decide') {
    const after = (model.made += 1);
    const before = valuesInForce(model)[step.key] ?? null;
    model.line = [...model.line.slice(0, model.cursor), { key: step.key, after }];
    model.cursor += 1;
    return [valueOf(decideOn(store, day, step.key, before, after)).after, after];
  }
  if (step.does === 'undo') {
    const expected = model.line[model.cursor - 1]?.after ?? null;
    model.cursor = Math.max(0, model.cursor - 1);
    return [valueOf(store.undo(day, WHO, LATER))?.after ?? null, expected];
  }
  const expected = model.line[model.cursor]?.after ?? null;
  model.cursor = Math.min(model.line.length, model.cursor + 1);
  return [valueOf(store.redo(day, WHO, LATER))?.after ?? null, expected];
}

test('undo and redo are a list with a cursor, also across restarts', () => {
  const folder = scratch();
  let store = valueOf(openStore(folder));
  onTestFinished(() => store.close());
  let run = 0;
  fc.assert(
    fc.property(steps, (taken) => {
      const day = aDay(store, `run${(run += 1)}`);
      const model: Model = { line: [], cursor: 0, made: 0 };
      for (const step of taken) {
        if (step.does === 'reopen') {
          store.close();
          store = valueOf(openStore(folder));
        } else {
          const [given, expected] = take(store, day, model, step);
          expect(given).toBe(expected);
        }
        const inForce = [...(store.inForce(day).get('test') ?? [])].map(([key, { after }]) => [key, after]);
        expect(Object.fromEntries(inForce)).toEqual(valuesInForce(model));
        expect(store.canUndo(day)).toBe(model.cursor > 0);
        expect(store.canRedo(day)).toBe(model.cursor < model.line.length);
      }
      expect(store.history(day).map(({ after }) => after)).toEqual(
        Array.from({ length: model.made }, (_, n) => n + 1),
      );
      expect(store.history(day).filter(({ undone }) => undone === null)).toHaveLength(model.cursor);
    }),
    { numRuns: 60 },
  );
});
