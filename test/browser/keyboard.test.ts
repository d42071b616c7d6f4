/**
 * Without a mouse: from the first start to excluding a trial and taking it back. After every key the focus is somewhere
 * (WCAG 2.2, 2.1.1) and can be seen (2.4.7).
 */
import { expect, it } from 'vitest';
import { journey, type Scene } from './journey.ts';

const TRIAL = 'P06-1';
/** More presses of Tab than any screen here has stops. */
const MOST_STOPS = 90;

interface Focus {
  readonly tag: string;
  readonly name: string;
  /** Whether an outline of 2 px or more is drawn round it, or round the picture of a radio button. */
  readonly outlined: boolean;
}

function focusOf(scene: Scene): Promise<Focus> {
  return scene.page.evaluate(() => {
    const element = document.activeElement!;
    const drawn = element.matches('input[type="radio"]') ? element.nextElementSibling! : element;
    const { outlineStyle, outlineWidth, outlineColor } = getComputedStyle(drawn);
    const label = (element as HTMLInputElement).labels?.[0]?.innerText;
    return {
      tag: element.tagName.toLowerCase(),
      name: (element.getAttribute('aria-label') ?? label ?? (element as HTMLElement).innerText).trim(),
      outlined:
        outlineStyle !== 'none' && parseFloat(outlineWidth) >= 2 && !/, 0\)$|transparent/.test(outlineColor),
    };
  });
}

class Hands {
  readonly #scene: Scene;
  /** Moments at which the focus was nowhere, or could not be seen. */
  readonly faults: string[] = [];

  constructor(scene: Scene) {
    this.#scene = scene;
  }

  async press(key: string): Promise<Focus> {
    await this.#scene.page.keyboard.press(key);
    await this.#scene.page.waitForTimeout(30);
    return this.look(`after ${key}`);
  }

  async look(when: string): Promise<Focus> {
    const focus = await focusOf(this.#scene);
    // Past the last stop the focus is in the browser's own bar, and comes in again from there.
    const leaves = when.endsWith('Tab');
    if (focus.tag === 'body') {
      if (!leaves) this.faults.push(`${when}: the focus is nowhere`);
      return focus;
    }
    // The whole screen takes the focus when it changes, to be read from its beginning; it is no control.
    if (!focus.outlined && focus.tag !== 'main')
      this.faults.push(`${when}: ${focus.tag} "${focus.name.slice(0, 60)}" is not outlined`);
    return focus;
  }

  async tabTo(name: string | RegExp, key = 'Tab'): Promise<Focus> {
    const is = (focus: Focus) => (typeof name === 'string' ? focus.name === name : name.test(focus.name));
    const seen: string[] = [];
    for (let stop = 0; stop < MOST_STOPS; stop++) {
      const focus = await this.press(key);
      if (is(focus)) return focus;
      seen.push(focus.name.slice(0, 30));
    }
    throw new Error(`${key} never came to ${name}: ${seen.join(' › ')}`);
  }
}

journey('the keyboard alone', [], (scene) => {
  const status = (says: string) => scene.page.getByRole('status').filter({ hasText: says }).waitFor();

  it('opens the sample day from the first start', async () => {
    const hands = new Hands(scene);
    await scene.page.getByRole('button', { name: 'Open the sample day' }).waitFor();
    expect((await hands.press('Tab')).name).toBe('Skip to the screen');
    await hands.press('Enter');
    await hands.tabTo('Open the sample day');
    await hands.press('Enter');
    await scene.page.getByRole('progressbar', { name: /^Opening/ }).waitFor();
    await scene.page.waitForTimeout(100);
    await hands.look('while the day is being opened');
    await scene.page.waitForURL(/#\/day\/1$/);
    await scene.page.getByRole('heading', { name: 'harbour-morning' }).waitFor();
    await hands.look('on the day');
    expect(hands.faults).toEqual([]);
  });

  it('excludes a trial with a reason on the day, and takes it back', async () => {
    const hands = new Hands(scene);
    await hands.tabTo('P01-1');
    for (let trial = 1; trial < 6; trial++) await hands.press('ArrowDown');
    expect((await focusOf(scene)).name).toBe(TRIAL);
    await hands.tabTo(`Exclude ${TRIAL}…`);
    await hands.press('Enter');
    await hands.tabTo('Reason');
    await scene.page.keyboard.type('The swimmer stopped');
    await hands.tabTo(`Exclude ${TRIAL}`);
    await hands.press('Enter');
    await status(`${TRIAL} excluded: The swimmer stopped`);
    await scene.page.getByRole('dialog').waitFor({ state: 'detached' });
    await hands.look('after the decision');
    await hands.press('Control+z');
    await status(`Taken back: Trial ${TRIAL} excluded`);
    await hands.look('after undo');
    await hands.tabTo('Redo', 'Shift+Tab');
    await hands.press('Enter');
    await status('Done again');
    await hands.look('after redo');
    await hands.tabTo('Undo', 'Shift+Tab');
    await hands.press('Enter');
    await status('Taken back');
    await hands.look('after undo by its button');
    expect(hands.faults).toEqual([]);
  });

  it('goes to a trial, moves through it, excludes it and takes it back', async () => {
    const hands = new Hands(scene);
    await hands.tabTo(TRIAL);
    await hands.press('Enter');
    await scene.page.getByRole('heading', { name: `Trial ${TRIAL}`, exact: true }).waitFor();
    await hands.look('on the trial');
    const cursor = () =>
      scene.page
        .locator('[role="slider"]')
        .evaluate((slider) => Number(slider.getAttribute('aria-valuenow')));
    for (const [key, way] of [
      ['ArrowRight', 1],
      ['m', 1],
      ['Shift+S', -1],
      ['ArrowLeft', -1],
    ] as const) {
      const before = await cursor();
      await hands.press(key);
      expect(Math.sign((await cursor()) - before), key).toBe(way);
    }
    await hands.press('Space');
    await scene.page.getByRole('button', { name: 'Pause' }).waitFor();
    await hands.press('Space');
    await scene.page.getByRole('button', { name: 'Play', exact: true }).waitFor();
    await hands.tabTo('Cursor on the time axis');
    const before = await cursor();
    await hands.press('PageUp');
    expect(await cursor()).toBeGreaterThan(before);
    await hands.tabTo('Exclude…', 'Shift+Tab');
    await hands.press('Enter');
    await scene.page.keyboard.type('The lane rope was touched');
    await hands.press('Enter');
    await status(`Trial ${TRIAL} is excluded.`);
    await hands.look('after the decision');
    await hands.press('Control+z');
    await status('Taken back');
    await scene.page.getByText('Recorded, not decided yet').waitFor();
    await hands.look('after undo');
    expect(hands.faults).toEqual([]);
  });

  it('opens and closes every dialog, and the focus comes back', async () => {
    const hands = new Hands(scene);
    for (const [opener, title] of [
      ['Cautions', 'Cautions'],
      ['Keys', 'Keys'],
      [/^At work/, 'Who is at work'],
    ] as const) {
      const from = await hands.tabTo(opener, 'Shift+Tab');
      await hands.press('Enter');
      await scene.page.getByRole('dialog', { name: title }).waitFor();
      for (let stop = 0; stop < 3; stop++) await hands.press('Tab');
      await hands.press('Escape');
      expect((await focusOf(scene)).name).toBe(from.name);
    }
    await hands.press('?');
    await scene.page.getByRole('dialog', { name: 'Keys' }).waitFor();
    await hands.press('Escape');
    expect(hands.faults).toEqual([]);
  });

  it('reaches every control of the trial screen, forward and back', async () => {
    const hands = new Hands(scene);
    await scene.page.evaluate(() => document.getElementById('main')!.focus());
    // Of radio buttons with one name the chosen one alone is a stop; what is not a stop by its own word is none.
    const controls = await scene.page.evaluate(() => {
      const all = [...document.querySelectorAll('*')];
      return [
        ...document.querySelectorAll<HTMLElement>(
          'main button, main select, main input, main summary, main [tabindex="0"]',
        ),
      ]
        .filter(
          (one) =>
            one.checkVisibility() && !one.matches(':disabled, [tabindex="-1"], [type=radio]:not(:checked)'),
        )
        .map(
          (one) =>
            `${all.indexOf(one)} ${one.tagName} ${one.getAttribute('aria-label') ?? one.textContent.trim().slice(0, 40)}`,
        );
    });
    const seen = new Set<string>();
    for (let stop = 0; stop < MOST_STOPS; stop++) {
      await hands.press('Tab');
      const inside = await scene.page.evaluate(() => {
        const element = document.activeElement!;
        if (element.closest('main') === null) return null;
        return [...document.querySelectorAll('*')].indexOf(element);
      });
      if (inside === null) break;
      seen.add(String(inside));
    }
    expect(controls.filter((one) => !seen.has(one.split(' ')[0]!))).toEqual([]);
    expect(hands.faults).toEqual([]);
  });
});
