/** Section times from a table: its text, which column gives what, its rows one by one, and taking them. */
import type { SectionMatch } from '../../../core/lists/sections.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { Loaded } from '../../loaded.svelte.ts';
import { counted } from '../../format.ts';
import type { FilesDesk } from './filesdesk.svelte.ts';

/** The lab takes tables up to this length, in characters. */
const MOST_CHARACTERS = 4_000_000;

export class SectionsFile {
  readonly #files: FilesDesk;
  readonly match = new Loaded<SectionMatch>();
  text = $state('');
  #problem = $state.raw<LabError | null>(null);

  readonly good = $derived.by(
    () => this.match.value?.rows.flatMap(({ value }) => (value === null ? [] : [value])) ?? [],
  );
  readonly bad = $derived.by(() => this.match.value?.rows.filter(({ value }) => value === null).length ?? 0);

  constructor(files: FilesDesk) {
    this.#files = files;
  }

  /** Why the text could not be read. */
  get problem(): LabError | null {
    return this.#problem ?? this.match.problem;
  }

  /** Takes a chosen file's text and reads it. */
  async open(file: File): Promise<void> {
    this.#problem = file.size > MOST_CHARACTERS ? TOO_LONG : null;
    if (this.#problem !== null) return;
    this.text = await file.text();
    await this.read(null);
  }

  /** Reads the text with a matching; null asks the lab for a guess. */
  async read(matching: Readonly<Record<string, string>> | null): Promise<void> {
    this.#problem = this.text.length > MOST_CHARACTERS ? TOO_LONG : null;
    if (this.#problem !== null) return;
    const { client, id } = this.#files.deck;
    await this.match.take(client('deck.sections', { day: id, text: this.text, matching }));
  }

  /** Says which column gives a field; an empty one is no column. */
  async choose(field: string, column: string): Promise<void> {
    const now = this.match.value;
    if (now === null) return;
    const { [field]: _old, ...others } = now.matching;
    await this.read(column === '' ? others : { ...others, [field]: column });
  }

  /** Takes every row that can be used; one step of the day. */
  take(): Promise<boolean> {
    const rows = this.good.map(({ trial, section }) => ({ trial, section }));
    const says = `Section times of ${counted(rows.length, 'trial')} taken.`;
    return this.#files.act({ act: 'sections.set', rows }, says);
  }
}

const TOO_LONG: LabError = {
  code: 'bad_input',
  says: 'The table is longer than 4 million characters.',
  todo: 'Give only the rows of this day.',
};
