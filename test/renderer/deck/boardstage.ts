/** Where the screen on deck is rendered in tests, and what jsdom lacks for it. */
import { screen } from '@testing-library/svelte';
import { vi } from 'vitest';
import BoardScreen from '../../../renderer/deck/board/BoardScreen.svelte';
import { keys } from '../../../renderer/keys.svelte.ts';
import { stage } from '../calibrated/stage.ts';
import { deckLab } from './fixture.ts';

/** Shows the screen of a day and waits until the day is there. */
export async function showDeck(lab = deckLab()) {
  vi.stubGlobal('fetch', () =>
    Promise.resolve({
      ok: true,
      arrayBuffer: () => Promise.resolve(new Float64Array(5001).fill(12.5).buffer),
    }),
  );
  await lab.desk.describe();
  stage(BoardScreen, { desk: lab.desk, id: 1 });
  await screen.findByRole('heading', { name: 'Now' });
  return lab;
}

/** Presses a key as the window hears it. */
export function press(key: string, more: KeyboardEventInit = {}): void {
  const event = new KeyboardEvent('keydown', { key, cancelable: true, bubbles: true, ...more });
  Object.defineProperty(event, 'target', { value: document.body });
  keys.handle(event);
}
