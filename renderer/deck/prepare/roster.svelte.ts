/** Taking swimmers from a table of the lab's own: its text, which column gives what, and what can be used of it. */
import type { LabError } from '../../../core/base/refusal.ts';
import type { RosterMatch } from '../../../core/lists/roster.ts';
import { counted } from '../../format.ts';
import type { Preparation } from './preparation.svelte.ts';
import { decodeTable, tableFault } from './tabletext.ts';

export class RosterTable {
  readonly #prep: Preparation;
  /** As pasted, or as read from the chosen file. */
  text = $state('');
  #file = $state<string | null>(null);
  #match = $state.raw<RosterMatch | null>(null);
  #fault = $state<string | null>(null);
  #problem = $state.raw<LabError | null>(null);
  #latest = 0;

  constructor(prep: Preparation) {
    this.#prep = prep;
  }

  /** Name of the file that was chosen; null where text was pasted. */
  get file(): string | null {
    return this.#file;
  }

  /** The table as the lab reads it; null before it was asked. */
  get match(): RosterMatch | null {
    return this.#match;
  }

  /** Why there is nothing to ask the lab. */
  get fault(): string | null {
    return this.#fault;
  }

  /** Why the lab could not read it. */
  get problem(): LabError | null {
    return this.#problem;
  }

  readonly good = $derived.by(() => this.#match?.rows.flatMap(({ value }) => value ?? []) ?? []);
  readonly leftOut = $derived.by(() => (this.#match?.rows.length ?? 0) - this.good.length);

  /** Such as `Take 6 swimmers; 2 rows left out`. */
  get says(): string {
    const take = `Take ${counted(this.good.length, 'swimmer')}`;
    return this.leftOut === 0 ? take : `${take}; ${counted(this.leftOut, 'row')} left out`;
  }

  async choose(file: File): Promise<void> {
    this.text = decodeTable(new Uint8Array(await file.arrayBuffer()));
    this.#file = file.name;
    await this.read();
  }

  /** Reads the text with the columns guessed. */
  async read(): Promise<void> {
    this.#fault = tableFault(this.text);
    if (this.#fault === null) await this.#ask(null);
  }

  /** Gives a field another column, which no other field keeps; null leaves it without one. */
  async give(field: string, column: string | null): Promise<void> {
    if (this.#match === null) return;
    const others = Object.entries(this.#match.matching).filter(
      ([name, of]) => name !== field && of !== column,
    );
    await this.#ask(Object.fromEntries(column === null ? others : [...others, [field, column]]));
  }

  /** Back to the text. */
  again(): void {
    this.#latest++;
    this.#match = null;
    this.#problem = null;
    this.#file = null;
  }

  /** Puts the rows that can be used on the list. True where the lab took them. */
  take(): Promise<boolean> {
    const swimmers = [...this.good];
    return this.#prep.act(
      'swimmers',
      { act: 'swimmers.add', swimmers },
      `${counted(swimmers.length, 'swimmer')} added.`,
    );
  }

  async #ask(matching: Readonly<Record<string, string>> | null): Promise<void> {
    const { deck } = this.#prep;
    const turn = ++this.#latest;
    const asked = deck.client('deck.roster', { day: deck.id, text: this.text, matching });
    const outcome = await asked;
    if (turn !== this.#latest) return;
    this.#problem = outcome.ok ? null : outcome.error;
    if (outcome.ok) this.#match = outcome.value;
  }
}
