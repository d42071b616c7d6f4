/**
 * Hands on the keyboard: after every key the focus is somewhere (WCAG 2.2, 2.1.1) and can be seen (2.4.7).
 */
import type { Scene } from './journey.ts';

/** More presses of Tab than any screen here has stops. */
export const MOST_STOPS = 90;

interface Focus {
  readonly tag: string;
  readonly name: string;
  /** Whether an outline of 2 px or more is drawn round it, or round the picture that stands for a radio button. */
  readonly outlined: boolean;
}

export function focusOf(scene: Scene): Promise<Focus> {
  return scene.page.evaluate(() => {
    const element = document.activeElement!;
    const isOutlined = (drawn: Element) => {
      const { outlineStyle, outlineWidth, outlineColor, opacity } = getComputedStyle(drawn);
      const isSeen = opacity !== '0' && !/, 0\)$|transparent/.test(outlineColor);
      return isSeen && outlineStyle !== 'none' && parseFloat(outlineWidth) >= 2;
    };
    const picture = element.matches('input[type="radio"]') ? element.nextElementSibling : null;
    const label = (element as HTMLInputElement).labels?.[0]?.innerText;
    return {
      tag: element.tagName.toLowerCase(),
      name: (element.getAttribute('aria-label') ?? label ?? (element as HTMLElement).innerText).trim(),
      outlined: isOutlined(element) || (picture !== null && isOutlined(picture)),
    };
  });
}

export class Hands {
  readonly #scene: Scene;
  /** Moments at which the focus was nowhere, or could not be seen. */
  readonly faults: string[] = [];

  constructor(scene: Scene) {
    this.#scene = scene;
  }

  async press(key: string): Promise<Focus> {
    const on =
      key === 'Enter' || key === 'Space' ? ` on "${(await focusOf(this.#scene)).name.slice(0, 60)}"` : '';
    await this.#scene.page.keyboard.press(key);
    await this.#scene.page.waitForTimeout(30);
    return this.look(`after ${key}${on}`);
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
