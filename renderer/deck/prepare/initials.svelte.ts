/** Whose initials stand beside what is ticked: remembered for the session, at first those of who is at work. */
import type { Desk } from '../../desk.svelte.ts';

const KEPT = 'lanebench.initials';
const LONGEST = 12;

export class Initials {
  readonly #desk: Desk;
  #typed = $state<string | null>(sessionStorage.getItem(KEPT));

  constructor(desk: Desk) {
    this.#desk = desk;
  }

  get text(): string {
    return this.#typed ?? (this.#desk.app.value?.operator ?? '').slice(0, LONGEST);
  }

  set text(text: string) {
    this.#typed = text;
    sessionStorage.setItem(KEPT, text);
  }

  /** What is wrong with them; null where nothing is. */
  get fault(): string | null {
    const text = this.text.trim();
    if (text === '') return 'Type your initials first: they stand beside every tick.';
    return text.length > LONGEST ? `Initials have ${LONGEST} characters at most.` : null;
  }
}
