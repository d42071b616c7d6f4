/** Typed section times before they are set; they follow the trial's while nothing else was typed. */
import type { SectionWord } from '../../../core/marking/words.ts';
import { formatValue } from '../../format.ts';
import type { SectionDesk } from './sectiondesk.svelte.ts';

type Method = NonNullable<SectionWord['method']>;

export class SectionForm {
  readonly #desk: () => SectionDesk;
  readonly #stepS: () => number | null;
  startS = $derived.by(() => this.#desk().ends.startS);
  endS = $derived.by(() => this.#desk().ends.endS);
  method = $derived.by((): Method => this.#desk().section?.method ?? 'video');
  uMs = $derived.by(() => {
    const uS = this.#desk().section?.uS ?? null;
    return uS === null ? null : 1000 * uS;
  });
  /** What reading to the nearest frame or sample and placing gives, where the method is video; null where it gives nothing. */
  readonly offer = $derived.by(() => {
    const uS = this.#offeredS;
    return uS === null
      ? null
      : `Reading to the nearest frame or sample and placing it there gives ${formatValue(1000 * uS, 'ms', 1)} (interval / √12, and what the protocol says of placing).`;
  });

  constructor(desk: () => SectionDesk, stepS: () => number | null) {
    this.#desk = desk;
    this.#stepS = stepS;
  }

  takeOffer(): void {
    const uS = this.#offeredS;
    if (uS !== null) this.uMs = 1000 * uS;
  }

  readonly submit = (event: SubmitEvent): void => {
    event.preventDefault();
    const { startS, endS, method, uMs } = this;
    if (startS !== null && endS !== null)
      this.#desk().type({ startS, endS, method, uS: uMs === null ? null : uMs / 1000 });
  };

  get #offeredS(): number | null {
    return this.method === 'video' ? this.#desk().readingUS(this.#stepS()) : null;
  }
}
