/**
 * What happens on the testing day, trial by trial: what is swum, which files the acquisition computer drops of it and
 * how they go wrong, and what the person on deck does about it. It does not matter in which order the trials come.
 */
import { expect } from 'vitest';
import { Recorder } from './deckfiles.ts';
import { DeckJourney, fileOf, hasTrace, boardTrialOf } from './deckjourney.ts';
import { LEAVING, recordedAs, type Answered } from './decksample.ts';
import type { Scene } from './journey.ts';

export const AGAIN = 'touched the lane rope';
export const STOPPED = 'stopped before the wall';
/** Bytes of a film whose copy broke off. */
export const CUT = 100_000;

export class DeckStory {
  readonly #scene: Scene;
  readonly #deck: DeckJourney;
  readonly #recorder: Recorder;
  /** In the order of swimming. */
  readonly swum: string[] = [];
  readonly #answers = new Map<string, Pick<Answered, 'status' | 'reason'>>();
  /** Files that are still being written. */
  readonly #writing: Promise<void>[] = [];
  /** The trial that was swum last and waits for an answer. */
  #last: string | null = null;

  constructor(scene: Scene, deck: DeckJourney, recorder: Recorder) {
    this.#scene = scene;
    this.#deck = deck;
    this.#recorder = recorder;
  }

  /** What was swum, and what was answered. */
  answered(): readonly Answered[] {
    return this.swum.map((trial) => ({
      trial,
      ...(this.#answers.get(trial) ?? { status: 'recorded', reason: '' }),
    }));
  }

  /** Swims or skips the trial that is on; then the trial before it is answered, whose files have come meanwhile. */
  async next(): Promise<void> {
    const trial = (await this.#deck.now())!;
    if (trial === 'P04-2') return this.#skip(trial);
    await this.#deck.begin(trial);
    if (trial === 'P02-2') await this.#button('Breathed late').click();
    await this.#deck.end(trial);
    await this.#record(trial);
    await this.answerLast();
    this.noteSwum(trial);
  }

  noteSwum(trial: string): void {
    this.swum.push(trial);
    this.#last = trial === LEAVING_FIRST ? null : trial;
  }

  /** Swims until the order is through, also what an answer put back into it. */
  async finish(): Promise<void> {
    do {
      while ((await this.#deck.now()) !== null) await this.next();
      await this.answerLast();
    } while ((await this.#deck.now()) !== null);
    await Promise.all(this.#writing);
  }

  async answerLast(): Promise<void> {
    const trial = this.#last;
    this.#last = null;
    if (trial === null) return;
    const { trace } = recordedAs(trial);
    await this.#deck.until(`a check of ${trial}`, (view) => {
      const found = view.trials.find((one) => one.trial === trial)!;
      return found.report !== null && (trace === null || found.trace !== null);
    });
    if (trial === 'P02-2') return;
    if (trial === 'P01-2') return this.#answer(trial, 'Swim again', AGAIN);
    if (trial === 'P04-1') return this.#answer(trial, 'Exclude', STOPPED);
    await this.#answer(trial, 'Accept', '');
    if (trial === 'P06-1') await this.#undoAndRedo(trial);
  }

  async #answer(trial: string, what: 'Accept' | 'Swim again' | 'Exclude', reason: string): Promise<void> {
    await this.#deck.answer(trial, what, reason);
    this.#answers.set(trial, {
      status: what === 'Accept' ? 'accepted' : 'excluded',
      reason: what === 'Swim again' ? `swum again: ${reason}` : reason,
    });
  }

  async #undoAndRedo(trial: string): Promise<void> {
    const answer = (what: string | null) =>
      this.#deck.until(
        `${trial} answered ${what}`,
        (view) => (boardTrialOf(view, trial)!.answer?.what ?? null) === what,
      );
    await this.#button('Undo').click();
    await answer(null);
    await this.#button('Redo').click();
    await answer('keep');
  }

  async #skip(trial: string): Promise<void> {
    await this.#deck.part('deck-now').getByRole('button', { name: 'Skip…' }).click();
    await this.#button('Feels unwell').click();
    await this.#button(`Skip ${trial}`).click();
    await this.#deck.until(`${trial} skipped`, (view) => boardTrialOf(view, trial)!.state === 'skipped');
  }

  async #record(trial: string): Promise<void> {
    const { trace, film } = recordedAs(trial);
    const filmName = `${trial}.${film.split('.').at(-1)!}`;
    if (trial === LEAVING_FIRST) return this.#withdraw(trial);
    if (trial === 'P04-1') return this.#recordUnderAnother(trial);
    if (trial === 'P06-2') return this.#recordWithoutName(trial);
    if (trial === 'P02-1') {
      this.#writing.push(this.#recorder.dropSlowly(trace!, `${trial}.csv`, 8));
    } else if (trace !== null) this.#recorder.drop(trace, `${trial}.csv`);
    if (trial === 'P01-1') {
      this.#recorder.drop(film, 'P01-1-A.mp4');
      this.#recorder.drop('video/P01-1-B.webm', 'P01-1-B.webm');
    } else if (trial !== 'P03-1') this.#recorder.drop(film, filmName);
    if (trial === 'P02-2') {
      await this.#scene.page.getByLabel('Another note').fill('A child ran along the lane');
      await this.#button('As an incident').click();
      this.#recorder.drop('traces/P02-1.csv', 'P02-1 (copy).csv');
    }
  }

  /** The swimmer withdraws once the trace has come; what comes later stays where it is. */
  async #withdraw(trial: string): Promise<void> {
    const { trace, film } = recordedAs(trial);
    this.#recorder.drop(trace!, `${trial}.csv`);
    await this.#deck.until(`the trace of ${trial}`, (view) => hasTrace(view, trial));
    await this.#deck.part('deck-order').getByRole('button', { name: trial }).click();
    await this.#button(`Swimmer ${LEAVING}…`).click();
    const dialog = this.#scene.page.getByRole('dialog');
    await dialog.getByRole('button', { name: `Withdraw ${LEAVING}…` }).click();
    await dialog.getByRole('button', { name: `Withdraw ${LEAVING} now` }).click();
    await dialog.waitFor({ state: 'detached' });
    this.#recorder.drop(film, `${trial}.webm`);
    this.#recorder.drop('traces/P05-2.csv', `${LEAVING}-2.csv`);
    this.#recorder.drop('video/P05-2.mp4', `${LEAVING}-2.mp4`);
  }

  /** The trace is named after another swimmer's trial; it is given to the right one under Files. */
  async #recordUnderAnother(trial: string): Promise<void> {
    const { page } = this.#scene;
    const { trace, film } = recordedAs(trial);
    const { board } = await this.#deck.look();
    const other = board.trials.find(
      ({ state, participant }) => state === 'planned' && ![LEAVING, 'P04'].includes(participant),
    )!.trial;
    this.#recorder.drop(trace!, `${other}.csv`);
    this.#recorder.drop(film, `${trial}.mp4`);
    await this.#deck.until(`the trace at ${other}`, (view) => hasTrace(view, other));
    await this.#deck.go('files');
    await this.#button(`Give elsewhere… ${other}.csv`).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel('Trial', { exact: true }).selectOption(trial);
    await dialog.getByRole('button', { name: 'Named after the wrong swimmer' }).click();
    await dialog.getByRole('button', { name: `Give to ${trial}, trace` }).click();
    await dialog.waitFor({ state: 'detached' });
    const view = await this.#deck.look();
    expect([hasTrace(view, trial), hasTrace(view, other)]).toEqual([true, false]);
    await this.#deck.go('deck');
  }

  /** What is named after the trial is no trace; the trace's name matches nothing and is placed with one tap. */
  async #recordWithoutName(trial: string): Promise<void> {
    const { trace, film } = recordedAs(trial);
    this.#recorder.dropText(`${trial}.csv`, 'Battery low, written at the pool.\n');
    this.#recorder.drop(trace!, 'run_0012.csv');
    this.#recorder.drop(film, `${trial}.mp4`);
    await this.#deck.until('the file without a name', (view) => fileOf(view, 'run_0012.csv') !== undefined);
    const offered = this.#deck
      .part('arrivals-title')
      .getByRole('listitem')
      .filter({ hasText: 'run_0012.csv' });
    await offered.getByRole('button', { name: `Belongs to ${trial}, trace` }).click();
    await this.#deck.until(`the trace of ${trial}`, (view) => hasTrace(view, trial));
  }

  #button(name: string) {
    return this.#scene.page.getByRole('button', { name });
  }
}

const LEAVING_FIRST = `${LEAVING}-1`;
