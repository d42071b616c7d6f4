/** Where a part of a day is rendered in tests: in `main`, as the window does, without sizes, which jsdom has not. */
import { render } from '@testing-library/svelte';
import type { Component } from 'svelte';
import '../browser.ts';

class NoSizes {
  observe(): void {}
  unobserve(): void {}
  disconnect(): void {}
}
globalThis.ResizeObserver ??= NoSizes;

export function stage<P extends Record<string, unknown>>(component: Component<P>, props: P): void {
  document.documentElement.lang = 'en';
  document.title = 'A part of a day';
  const target = document.createElement('main');
  render(component, { target: document.body.appendChild(target), props }, { baseElement: target });
}

/** Text as a person reads it: one space wherever there is any. */
export function plain(element: Element | null): string {
  return element!.textContent.replaceAll(/\s+/g, ' ').trim();
}
