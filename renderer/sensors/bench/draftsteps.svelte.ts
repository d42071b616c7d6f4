/**
 * Steps back and forth through a calibration being made. Typing on in one field is one step. What the lab itself
 * recorded meanwhile (a change of the limits) is a step in the same order, and taken back by the lab.
 */
import type { BenchDraft } from '../../../core/sensor/draft.ts';

type Step =
  | {
      readonly kind: 'draft';
      readonly before: BenchDraft;
      readonly after: BenchDraft;
      readonly field: string | null;
    }
  | { readonly kind: 'lab' };

export class DraftSteps {
  #past = $state.raw<readonly Step[]>([]);
  #future = $state.raw<readonly Step[]>([]);

  get canUndo(): boolean {
    return this.#past.length > 0;
  }

  get canRedo(): boolean {
    return this.#future.length > 0;
  }

  /** @param field what was typed in, so that typing on joins the step; null for a step of its own */
  add(before: BenchDraft, after: BenchDraft, field: string | null): void {
    const last = this.#past.at(-1);
    const joins = field !== null && last?.kind === 'draft' && last.field === field;
    const step: Step = { kind: 'draft', before: joins ? last.before : before, after, field };
    this.#past = [...(joins ? this.#past.slice(0, -1) : this.#past), step];
    this.#future = [];
  }

  addOfLab(): void {
    this.#past = [...this.#past, { kind: 'lab' }];
    this.#future = [];
  }

  /** Forgets everything: what follows begins anew. */
  clear(): void {
    this.#past = [];
    this.#future = [];
  }

  /** The draft to go back to, or `lab` where the lab is to take the step back; null where there is none. */
  back(): BenchDraft | 'lab' | null {
    const step = this.#past.at(-1);
    if (step === undefined) return null;
    this.#past = this.#past.slice(0, -1);
    this.#future = [...this.#future, step];
    return step.kind === 'lab' ? 'lab' : step.before;
  }

  forth(): BenchDraft | 'lab' | null {
    const step = this.#future.at(-1);
    if (step === undefined) return null;
    this.#future = this.#future.slice(0, -1);
    this.#past = [...this.#past, step];
    return step.kind === 'lab' ? 'lab' : step.after;
  }
}
