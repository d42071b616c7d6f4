/** The files of a day and what is put right afterwards: what is listed, what is open, and the acts behind it. */
import { tick } from 'svelte';
import type { DeckAct, FileTarget } from '../../../core/deck/deck.ts';
import type { FileView } from '../../../core/deck/views.ts';
import type { BenchView } from '../../../core/contract/bench.ts';
import { Loaded } from '../../loaded.svelte.ts';
import type { Desk } from '../../desk.svelte.ts';
import { DeckDesk } from '../deckdesk.svelte.ts';
import { placeText } from './filewords.ts';
import type { Listed } from './listed.ts';

/** What is being looked at in a dialog. */
type Open =
  | { readonly what: 'watch' }
  | { readonly what: 'file'; readonly file: number }
  | { readonly what: 'trial'; readonly trial: string }
  | { readonly what: 'caught' }
  | { readonly what: 'sections' };

export class FilesDesk {
  readonly deck: DeckDesk;
  /** The lab's sensors: a trial may have been swum with one that was never put on for the day. */
  readonly #register = new Loaded<BenchView>();
  listed = $state<Listed>('all');
  #open = $state.raw<Open | null>(null);

  constructor(desk: Desk, id: number) {
    this.deck = new DeckDesk(desk, id);
  }

  get open(): Open | null {
    return this.#open;
  }

  show(open: Open): void {
    this.deck.forgetProblem();
    this.#open = open;
    if (open.what === 'trial' && this.#register.value === null)
      void this.#register.take(this.deck.client('bench.get', {}));
  }

  /** Sensors in service that are not among those of the day. */
  othersInService(codes: readonly string[]): readonly string[] {
    return (this.#register.value?.sensors ?? [])
      .filter(({ card }) => card.state === 'in_service' && !codes.includes(card.sensor))
      .map(({ card }) => card.sensor);
  }

  close(): void {
    this.deck.forgetProblem();
    this.#open = null;
  }

  act(act: DeckAct, says: string): Promise<boolean> {
    return this.deck.act(act, says);
  }

  /** Says where a file belongs; null sets it aside. What had the focus is gone then: it goes to `focus`. */
  async give(file: FileView, to: FileTarget | null, why: string, focus: string): Promise<boolean> {
    const says = to === null ? `${file.name} set aside.` : `${file.name} given to ${placeText(to)}.`;
    if (!(await this.act({ act: 'file.give', file: file.id, to, why }, says))) return false;
    await tick();
    if (document.activeElement?.matches('body')) document.getElementById(focus)?.focus();
    return true;
  }

  /** Lets a folder be watched; null stops. */
  watch(path: string | null): Promise<boolean> {
    const { deck } = this;
    const says = path === null ? 'The folder is no longer watched.' : `${path} is watched.`;
    return deck.take(deck.client('deck.watch', { day: deck.id, path }), says);
  }

  /** Stops the copying of a file, or lets a stopped one be taken after all. */
  take(name: string, take: boolean): Promise<boolean> {
    const { deck } = this;
    const says = take ? `${name} is taken after all.` : `Copying of ${name} was stopped.`;
    return deck.take(deck.client('deck.file', { day: deck.id, name, take }), says);
  }
}
