import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { BenchDraft } from '../../core/sensor/draft.ts';
import type { LabError } from '../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../core/base/refusal.ts';
import { Saver } from '../../renderer/saver.svelte.ts';
import { DraftSteps } from '../../renderer/sensors/bench/draftsteps.svelte.ts';
import { DRAFT } from './sensors/fixture.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const noted = (notes: string): BenchDraft => ({ ...DRAFT, notes });
const STOPPED: LabError = { code: 'not_found', says: 'The program has stopped.', todo: 'Start it again.' };

it('sends within 300 ms of the last change, and the latest only', async () => {
  const sent: string[] = [];
  const saver = new Saver<BenchDraft>(async (draft) => {
    sent.push(draft.notes);
    return done(null);
  });
  for (const notes of ['a', 'ab', 'abc']) saver.put(noted(notes));
  expect(saver.waiting).toBe(true);
  await vi.advanceTimersByTimeAsync(300);
  expect(sent).toEqual(['abc']);
  expect(saver.waiting).toBe(false);
});

it('never lets an earlier state overtake a later one', async () => {
  const sent: string[] = [];
  const answers: (() => void)[] = [];
  const saver = new Saver<BenchDraft>((draft) => {
    sent.push(draft.notes);
    return new Promise<Outcome<null, LabError>>((resolve) => answers.push(() => resolve(done(null))));
  });
  saver.put(noted('first'));
  await vi.advanceTimersByTimeAsync(300);
  saver.put(noted('second'));
  await vi.advanceTimersByTimeAsync(300);
  expect(sent).toEqual(['first']);
  answers[0]!();
  await vi.advanceTimersByTimeAsync(1);
  expect(sent).toEqual(['first', 'second']);
  answers[1]!();
  expect(await saver.flush()).toBe(true);
});

it('keeps what could not be sent, says why, and sends it when asked', async () => {
  const sent: string[] = [];
  let works = false;
  const saver = new Saver<BenchDraft>(async (draft) => {
    if (!works) return failed(STOPPED);
    sent.push(draft.notes);
    return done(null);
  });
  saver.put(noted('precious'));
  await vi.advanceTimersByTimeAsync(300);
  expect(saver.problem).toEqual(STOPPED);
  expect(saver.waiting).toBe(true);
  works = true;
  expect(await saver.flush()).toBe(true);
  expect(sent).toEqual(['precious']);
  expect(saver.problem).toBeNull();
});

it('steps back and forth one change at a time, typing in one field being one', () => {
  const steps = new DraftSteps();
  steps.add(noted(''), noted('a'), 'notes');
  steps.add(noted('a'), noted('ab'), 'notes');
  steps.addOfLab();
  steps.add(noted('ab'), noted('c'), null);
  expect(steps.back()).toEqual(noted('ab'));
  expect(steps.back()).toBe('lab');
  expect(steps.back()).toEqual(noted(''));
  expect(steps.back()).toBeNull();
  expect(steps.forth()).toEqual(noted('ab'));
  steps.add(noted('ab'), noted('x'), null);
  expect(steps.canRedo).toBe(false);
});
