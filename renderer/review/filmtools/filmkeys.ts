/** Keys for the picture and for the two cursors. */
import type { KeyAction } from '../../keys.svelte.ts';
import type { TrialReview } from '../trialreview.svelte.ts';

/** The actions that move and magnify the picture, and part the cursors. */
export function filmKeys(review: TrialReview): readonly KeyAction[] {
  const { picture, playback } = review;
  const group = 'Trial: the picture';
  const line = (id: string, key: string, label: string, run: () => void): KeyAction => ({
    id: `review.${id}`,
    key,
    label,
    group,
    run,
    when: () => playback.player !== null,
  });
  return [
    line('picture-larger', 'E', 'Picture larger', () => picture.zoomBy(1)),
    line('picture-smaller', 'Shift+E', 'Picture smaller', () => picture.zoomBy(-1)),
    line('picture-left', 'Alt+Shift+ArrowLeft', 'Picture left', () => picture.step(-1, 0)),
    line('picture-right', 'Alt+Shift+ArrowRight', 'Picture right', () => picture.step(1, 0)),
    line('picture-up', 'Alt+Shift+ArrowUp', 'Picture up', () => picture.step(0, -1)),
    line('picture-down', 'Alt+Shift+ArrowDown', 'Picture down', () => picture.step(0, 1)),
    line('picture-reset', 'Shift+V', 'Picture as recorded', () => picture.reset()),
    line('picture-tall', 'V', 'Picture at full height', () => (picture.tall = !picture.tall)),
    line('beside', 'Shift+C', 'The next camera beside the film, or none', () => review.beside?.turn()),
    line('part', 'K', 'Part or join the cursors of film and trace', () =>
      playback.apart ? playback.join() : playback.part(),
    ),
  ];
}
