/** A testing day on deck as its screens are used: looked at through the lab's answers, acted on by clicks alone. */
import type { Locator } from 'playwright-core';
import type { CallInput, CallName, CallOutput, CallResult } from '../../core/contract/contract.ts';
import type { BoardTrial } from '../../core/deck/deck.ts';
import type { DeckView } from '../../core/contract/deck.ts';
import type { FileView } from '../../core/deck/views.ts';
import type { Scene } from './journey.ts';

const LOOK_EVERY_MS = 150;
/** A file is quiet for two seconds before it is taken; a busy machine takes its time for the rest. */
const MOST_LOOKS = 800;

/** What the lab answers to a call of the window. */
export async function ask<N extends CallName>(
  scene: Scene,
  name: N,
  input: CallInput<N>,
): Promise<CallOutput<N>> {
  const answer = (await scene.page.evaluate(
    async ([call, what]) => {
      const headers = { 'content-type': 'application/json' };
      const asked = await fetch(`/call/${call}`, { method: 'POST', headers, body: JSON.stringify(what) });
      return (await asked.json()) as unknown;
    },
    [name, input] as const,
  )) as CallResult<N>;
  if (!answer.ok) throw new Error(`${name}: ${answer.error.says} ${answer.error.todo}`);
  return answer.value;
}

/** A text of the screen on one line, with plain spaces. */
export function plain(text: string | null): string {
  return (text ?? '').replaceAll('\u00a0', ' ').replaceAll(/\s+/g, ' ');
}

/** Goes through the folder chooser to a folder of the person's home and takes it. */
export async function chooseFolder(scene: Scene, folder: string, action: string): Promise<void> {
  const dialog = scene.page.getByRole('dialog');
  await dialog.getByRole('listitem').getByRole('button').first().click();
  await dialog.getByRole('listitem').getByRole('button', { name: folder, exact: true }).click();
  await dialog.getByRole('button', { name: action }).click();
  await dialog.waitFor({ state: 'detached' });
}

export const boardTrialOf = (view: DeckView, trial: string): BoardTrial | undefined =>
  view.board.trials.find((swim) => swim.trial === trial);

export const fileOf = (view: DeckView, name: string): FileView | undefined =>
  view.files.findLast((file) => file.name === name);

export const hasTrace = (view: DeckView, trial: string): boolean =>
  view.trials.some((one) => one.trial === trial && one.trace !== null);

/** One day on deck in a window. */
export class DeckJourney {
  readonly #scene: Scene;
  readonly #day: number;

  constructor(scene: Scene, day: number) {
    this.#scene = scene;
    this.#day = day;
  }

  /** The day as the lab answers it to the window. */
  look(): Promise<DeckView> {
    return ask(this.#scene, 'deck.get', { day: this.#day });
  }

  /** Looks until the day is as wanted. */
  async until(what: string, wanted: (view: DeckView) => boolean): Promise<DeckView> {
    for (let looks = 0; looks < MOST_LOOKS; looks++) {
      const view = await this.look();
      if (wanted(view)) return view;
      await this.#scene.page.waitForTimeout(LOOK_EVERY_MS);
    }
    const { files, board, watch } = await this.look();
    throw new Error(
      `Never came: ${what}\n${JSON.stringify({ watch, files, trials: board.trials }, null, 1)}`,
    );
  }

  async go(part: 'prepare' | 'deck' | 'files' | 'close'): Promise<void> {
    await this.#scene.go(`#/day/${this.#day}/${part}`);
    const here = this.#scene.page.getByRole('navigation', { name: 'Parts of this testing day' });
    await here.locator(`a[href$="/${part}"][aria-current="page"]`).waitFor();
  }

  /** Code of the trial that is on, as the Now card shows it; null where nobody is. */
  async now(): Promise<string | null> {
    const { now } = await this.look();
    await this.part('deck-now')
      .locator('.code')
      .getByText(now ?? 'Nobody', { exact: true })
      .waitFor();
    return now;
  }

  /** A part of the screen, by the id of its title. */
  part(title: string): Locator {
    return this.#scene.page.locator(`section[aria-labelledby="${title}"]`);
  }

  async begin(trial: string): Promise<void> {
    await this.#press(
      this.#button(`Begin ${trial}`),
      (view) => boardTrialOf(view, trial)?.state === 'swimming',
    );
  }

  async end(trial: string): Promise<void> {
    await this.#press(this.#button('Ended'), (view) => boardTrialOf(view, trial)?.state === 'swum');
  }

  /** Answers a trial that was swum, with its verdict on the screen. */
  async answer(trial: string, what: 'Accept' | 'Swim again' | 'Exclude', reason = ''): Promise<void> {
    const { page } = this.#scene;
    const here = page.getByRole('heading', { name: trial, exact: true });
    if (!(await here.isVisible()))
      await page
        .getByRole('group', { name: 'Other trials that wait for an answer' })
        .getByRole('button', { name: trial })
        .click();
    await here.waitFor();
    const verdict = page.getByRole('region', { name: trial, exact: true }).locator('.verdict .verdict');
    if (hasTrace(await this.look(), trial)) await verdict.waitFor();
    if (reason !== '') await page.getByLabel('Why it is swum again or excluded').fill(reason);
    const button = page
      .getByRole('group', { name: `Answer for ${trial}` })
      .getByRole('button', { name: what });
    await this.#press(button, (view) => boardTrialOf(view, trial)?.answer !== null);
  }

  /** Presses until it was taken: a press so soon after another is passed over, as a bounce of a wet finger. */
  async #press(button: Locator, taken: (view: DeckView) => boolean): Promise<void> {
    await button.waitFor();
    for (let presses = 0; presses < MOST_LOOKS; presses++) {
      if (await button.isVisible()) await button.click();
      await this.#scene.page.waitForTimeout(LOOK_EVERY_MS);
      if (taken(await this.look())) return;
    }
    throw new Error(`Pressing ${String(button)} never did anything.`);
  }

  #button(name: string): Locator {
    return this.part('deck-now').getByRole('button', { name });
  }
}
