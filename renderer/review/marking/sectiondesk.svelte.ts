/** Setting the section's times: each end from the cursor, or both typed with how they were measured. */
import type { SectionWord } from '../../../core/marking/words.ts';
import { formatValue } from '../../format.ts';
import type { TrialEdits } from './edits.svelte.ts';
import {
  readingUS,
  sectionFault,
  type Placing,
  sectionWords,
  withReadEnd,
  type HalfSection,
  type Read,
  type SectionEnd,
} from './sectionset.ts';

/** Where a moment would be read now, or why none can be. */
export type Reading =
  { readonly ok: true; readonly value: Read } | { readonly ok: false; readonly says: string };

export class SectionDesk {
  readonly #edits: TrialEdits;
  readonly #placing: () => Placing;
  readonly #reading: () => Reading;
  /** Ends set while there is no whole section yet. */
  #half = $state.raw<HalfSection>({ startS: null, endS: null });
  #fault = $state<string | null>(null);

  /**
   * @param placing what the protocol says of placing a mark
   * @param reading the moment at the cursor, on the clock that marks go on
   */
  constructor(edits: TrialEdits, placing: () => Placing, reading: () => Reading) {
    this.#edits = edits;
    this.#placing = placing;
    this.#reading = reading;
  }

  get section(): SectionWord | null {
    return this.#edits.section;
  }

  /** Both ends as far as they are set, s. */
  get ends(): HalfSection {
    const { section } = this;
    return { startS: section?.startS ?? this.#half.startS, endS: section?.endS ?? this.#half.endS };
  }

  /** Why the latest try did not set anything; null where it did. */
  get fault(): string | null {
    return this.#fault;
  }

  /** Standard uncertainty of an end read to a frame or sample so long and placed there, s; null where not known. */
  readingUS(stepS: number | null): number | null {
    return readingUS(stepS, this.#placing());
  }

  get canSet(): boolean {
    return this.#edits.canSetSection;
  }

  /** Sets an end at the cursor: method video, with the uncertainty of reading a frame or sample and placing it. */
  setHere(end: SectionEnd): void {
    const reading = this.#reading();
    if (!this.canSet) return;
    if (!reading.ok) {
      this.#fault = reading.says;
      return;
    }
    const { timeS } = reading.value;
    const ends = end === 'start' ? { ...this.ends, startS: timeS } : { ...this.ends, endS: timeS };
    this.#fault = sectionFault(ends);
    if (this.#fault !== null) return;
    const whole = withReadEnd(this.section, this.#half, end, reading.value, this.#placing());
    if (whole === null) this.#half = ends;
    else this.#keep(whole, `Section ${end} ${formatValue(timeS, 's', 4)}, from ${reading.value.from}`);
  }

  /** Takes typed times. Returns whether they make a section. */
  type(section: SectionWord): boolean {
    this.#fault = sectionFault(section);
    if (this.#fault !== null) return false;
    this.#keep(section, sectionWords(section));
    return true;
  }

  clear(): void {
    if (this.section !== null) this.#keep(null, 'Section times taken away');
    this.#half = { startS: null, endS: null };
  }

  #keep(section: SectionWord | null, says: string): void {
    this.#half = { startS: null, endS: null };
    this.#edits.putSection(section, says);
  }
}
