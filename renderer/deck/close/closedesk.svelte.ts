/** Closing a testing day: what is still missing, the long work that belongs to it, and how far each step is. */
import { untrack } from 'svelte';
import type { DeckAct } from '../../../core/deck/deck.ts';
import type { CloseView } from '../../../core/deck/views.ts';
import { JobRun } from '../../job.svelte.ts';
import { Loaded } from '../../loaded.svelte.ts';
import type { Desk } from '../../desk.svelte.ts';
import { DeckDesk } from '../deckdesk.svelte.ts';
import { firstOpen, stepStates, type StepName } from './steps.ts';

export class CloseDesk {
  readonly deck: DeckDesk;
  readonly found = new Loaded<CloseView>();
  readonly backup: JobRun;
  readonly dataset: JobRun;
  /** Of the person at the desk: typed once, used for every tick and for closing. */
  initials = $state('');
  #open = $state<'backup' | 'dataset' | 'folder' | null>(null);

  readonly states = $derived.by(() => {
    const view = this.deck.value;
    return view === null ? null : stepStates(view, this.found.value);
  });
  /** The step to do now; null once the day is closed. */
  readonly next = $derived.by((): StepName | null => (this.states === null ? null : firstOpen(this.states)));

  /** To be made while a component is set up. */
  constructor(desk: Desk, id: number) {
    this.deck = new DeckDesk(desk, id);
    const nothing = () => {};
    this.backup = new JobRun(desk.client, nothing);
    this.dataset = new JobRun(desk.client, nothing);
    $effect(() => {
      // Whatever changed the day may have mended something, or made it missing.
      void this.deck.value?.version;
      void (this.backup.job?.state === 'done');
      untrack(() => void this.found.take(desk.client('deck.close', { day: id })));
    });
    $effect(() => () => {
      this.backup.leave();
      this.dataset.leave();
    });
  }

  get open(): 'backup' | 'dataset' | 'folder' | null {
    return this.#open;
  }

  show(open: 'backup' | 'dataset' | 'folder'): void {
    this.#open = open;
  }

  shut(): void {
    this.#open = null;
  }

  act(act: DeckAct, says: string): Promise<boolean> {
    return this.deck.act(act, says);
  }

  /** Copies the lab folder below a place, and reads the copy back. True where that began. */
  startBackup(path: string): Promise<boolean> {
    const { client, id } = this.deck;
    return this.backup.follow(client('deck.backup', { day: id, path }));
  }

  /** Writes the day folder and its dataset. True where that began. */
  startDataset(path: string): Promise<boolean> {
    const { client, id } = this.deck;
    return this.dataset.follow(client('days.dataset', { day: id, path }));
  }
}
