/** Where a file is to go, as it is being chosen: trial, kind, camera, and why. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';
import { DRY_RUN, type FileTarget } from '../../../core/deck/deck.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import type { FileView } from '../../../core/deck/views.ts';
import { holderOf, isSamePlace } from './listed.ts';

/** Reasons that come up on deck, to be taken with one tap. */
export const REASONS = [
  'Named after the wrong swimmer',
  'Named after the wrong attempt',
  'A test shot',
  'Recorded twice',
] as const;

export class Placement {
  readonly #file: FileView;
  trial = $state('');
  as = $state<'trace' | 'film'>('trace');
  camera = $state<string>(MAIN_CAMERA);
  why = $state('');

  constructor(view: DeckView, file: FileView) {
    this.#file = file;
    const first = file.place ?? file.offers[0];
    this.trial = first?.trial ?? view.now ?? view.board.trials[0]?.trial ?? DRY_RUN;
    this.as = first?.as ?? (file.kind === 'film' ? 'film' : 'trace');
    this.camera = first?.camera ?? MAIN_CAMERA;
  }

  get place(): FileTarget {
    return { trial: this.trial, as: this.as, camera: this.as === 'film' ? this.camera : null };
  }

  /** A file that has its place, or was set aside, is moved for a reason only. */
  get needsWhy(): boolean {
    return this.#file.state !== 'offered';
  }

  get lacksWhy(): boolean {
    return this.needsWhy && this.why.trim() === '';
  }

  /** True where the file lies there already. */
  get isThere(): boolean {
    const { place, state } = this.#file;
    return state === 'placed' && place !== null && isSamePlace(place, this.place);
  }

  /** What lies at that place now, beside this file; null where nothing does. */
  taken(view: DeckView): FileView | null {
    return holderOf(view, this.#file, this.place);
  }
}
