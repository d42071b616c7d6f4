import { expect, it } from 'vitest';
import type { LabClient } from '../../core/contract/contract.ts';
import { done } from '../../core/base/refusal.ts';
import { History } from '../../renderer/history.svelte.ts';

const step = { id: 1, at: '2026-05-01T08:00:00.000Z', who: 'AB', says: 'Trial P01-1 excluded', undone: null };
const client = (() => Promise.resolve(done(step))) as unknown as LabClient;
const day = { id: 1, day: 'quay-evening', canUndo: true, canRedo: false };

it('offers the way back as soon as a step is told of, before the lab has told of the day again', async () => {
  const seen: string[] = [];
  const history: History = new History(client, (says) => {
    const { canUndo, canRedo } = history.stepsOf(1);
    seen.push(`${says.split(':')[0]!}, ${canUndo}, ${canRedo}`);
  });
  history.observe('days.get', { day: 1 }, day, 0);
  await history.undo(1);
  history.observe('days.get', { day: 1 }, { ...day, canUndo: false, canRedo: true }, history.turns);
  await history.redo(1);
  expect(seen).toEqual(['Taken back, true, true', 'Done again, true, true']);
});

it('does not take for the newest what was asked for before the latest turn', async () => {
  const history = new History(client, () => {});
  history.observe('days.get', { day: 1 }, day, 0);
  const asked = history.turns;
  await history.undo(1);
  history.observe('days.get', { day: 1 }, { ...day, canUndo: true, canRedo: false }, asked);
  expect(history.stepsOf(1).canRedo).toBe(true);
});
