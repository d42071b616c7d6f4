/** Section times of one trial as they are typed: start with end, or start with duration. */
import type { DeckView } from '../../../core/contract/deck.ts';
import type { TimingMethod } from '../../../core/protocol/content.ts';
import type { SectionWord } from '../../../core/marking/words.ts';
import { typedNumber, typedText } from '../../fields/numberfield.ts';

type Timing = DeckView['protocol']['content']['timing'];

export class SectionEntry {
  readonly #timing: Timing;
  start = $state('');
  end = $state('');
  duration = $state('');
  u = $state('');
  by = $state<'end' | 'duration'>('end');
  #method = $state<TimingMethod>('stopwatch');

  constructor(timing: Timing) {
    this.#timing = timing;
  }

  /** Puts what is kept in the fields. */
  show(section: SectionWord | null): void {
    this.#method = section?.method ?? this.#timing.method;
    this.start = typedText(section?.startS ?? null);
    this.end = typedText(section?.endS ?? null);
    this.duration = '';
    this.by = 'end';
    this.u = section === null ? this.#usual(this.#method) : typedText(section.uS);
  }

  get method(): TimingMethod {
    return this.#method;
  }

  /** Another method brings the uncertainty that the protocol gives for it, unless another one was typed. */
  set method(method: TimingMethod) {
    if (this.u === this.#usual(this.#method)) this.u = this.#usual(method);
    this.#method = method;
  }

  /** The section times; null while something is missing or wrong. */
  get section(): SectionWord | null {
    const startS = typedNumber(this.start);
    const endS = this.#endS(startS);
    const uS = this.u.trim() === '' ? null : typedNumber(this.u);
    if (startS === null || endS === null || endS <= startS) return null;
    if (this.u.trim() !== '' && (uS === null || uS < 0)) return null;
    return { startS, endS, method: this.#method, uS };
  }

  /** What is wrong between the two times; null where nothing is, or one is not there yet. */
  get fault(): string | null {
    const startS = typedNumber(this.start);
    const endS = this.#endS(startS);
    if (startS === null || endS === null || endS > startS) return null;
    return 'The section must end after it starts.';
  }

  #endS(startS: number | null): number | null {
    if (this.by === 'end') return typedNumber(this.end);
    const duration = typedNumber(this.duration);
    // Floating point would add digits nobody typed.
    return startS === null || duration === null ? null : Number((startS + duration).toPrecision(12));
  }

  #usual(method: TimingMethod): string {
    const { gateUS, stopwatchUS } = this.#timing;
    return { gate: typedText(gateUS), stopwatch: typedText(stopwatchUS), video: '' }[method];
  }
}
