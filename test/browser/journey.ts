/** One journey: the program, a window on it, and nothing going wrong unseen meanwhile. */
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, inject } from 'vitest';
import {
  joinBrowser,
  makeWorkplace,
  missingBrowser,
  startProgram,
  type Program,
  type Workplace,
} from './app.ts';

/** What a lab call was answered, as text. */
export interface Heard {
  readonly call: string;
  readonly answer: string;
}

export class Scene {
  place!: Workplace;
  program!: Program;
  page!: Page;
  readonly #heard: Promise<Heard | null>[] = [];
  /** What went wrong in a window: errors of its scripts and of its console. */
  readonly faults: string[] = [];
  #browser!: Browser;
  #context!: BrowserContext;

  async open(args: readonly string[]): Promise<void> {
    this.place = makeWorkplace();
    this.program = await startProgram(this.place, ...args);
    this.#browser = await joinBrowser(inject('browser')!);
    await this.freshWindow();
  }

  /** A window without memory of earlier ones, let in by a link. */
  async freshWindow(link = this.program.link): Promise<void> {
    await this.#context?.close();
    this.#context = await this.#browser.newContext({ viewport: { width: 1280, height: 800 } });
    // A busy machine takes its time; what never comes is told of all the same.
    this.#context.setDefaultTimeout(60_000);
    this.page = await this.#window(link);
  }

  /** A further window of the same browser. */
  anotherWindow(hash: string): Promise<Page> {
    return this.#window(`${this.program.origin}/${hash}`);
  }

  /** Starts the program again on the same lab folder, with a fresh window. */
  async startAgain(): Promise<void> {
    this.program = await startProgram(this.place);
    await this.freshWindow();
  }

  /** Every answer of the lab to any window of this journey. */
  async heard(): Promise<readonly Heard[]> {
    return (await Promise.all(this.#heard)).filter((one) => one !== null);
  }

  /** Goes to a place in the program, as an address does. */
  async go(hash: string): Promise<void> {
    await this.page.evaluate((to) => (window.location.hash = to), hash);
  }

  /** Opens a part of the trial that is shown. */
  part(name: string): Promise<void> {
    return this.page.getByRole('tab', { name, exact: true }).click();
  }

  async close(): Promise<void> {
    await this.#browser?.close();
    await this.program?.end();
    this.place?.remove();
  }

  async #window(address: string): Promise<Page> {
    const page = await this.#context.newPage();
    page.on('pageerror', (error) => this.faults.push(error.stack ?? error.message));
    page.on('console', (message) => {
      if (message.type() === 'error') this.faults.push(`${message.text()} ${message.location().url}`);
    });
    page.on('response', (response) => {
      const call = new URL(response.url()).pathname.replace(/^\/call\//, '');
      // An answer whose window is gone has no text any more.
      if (response.url().includes('/call/'))
        this.#heard.push(
          response.text().then(
            (answer) => ({ call, answer }),
            () => null,
          ),
        );
    });
    await page.goto(address);
    return page;
  }
}

/** Describes a journey; `args` are the program's. Reported as skipped, with the reason, where there is no browser. */
export function journey(title: string, args: readonly string[], body: (scene: Scene) => void): void {
  const skipped = missingBrowser === null ? '' : `: skipped, ${missingBrowser}`;
  describe.skipIf(missingBrowser !== null)(`${title}${skipped}`, () => {
    const scene = new Scene();
    beforeAll(() => scene.open(args));
    afterEach(() => expect(scene.faults.splice(0)).toEqual([]));
    afterAll(() => scene.close());
    body(scene);
  });
}
