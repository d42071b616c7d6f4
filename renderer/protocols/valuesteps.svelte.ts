/** Steps back and forth through the states of a value. Going on in one field, until it is left, is one step. */
interface Step<T> {
  readonly before: T;
  readonly after: T;
  /** What was changed, while going on in it joins the step; null once the step is closed. */
  readonly field: string | null;
}

export class ValueSteps<T> {
  #past = $state.raw<readonly Step<T>[]>([]);
  #future = $state.raw<readonly Step<T>[]>([]);

  get canUndo(): boolean {
    return this.#past.length > 0;
  }

  get canRedo(): boolean {
    return this.#future.length > 0;
  }

  /** @param field what was changed, so that going on in it joins the step; null for a step of its own */
  add(before: T, after: T, field: string | null): void {
    const last = this.#past.at(-1);
    const joins = field !== null && last !== undefined && last.field === field;
    const step = { before: joins ? last.before : before, after, field };
    this.#past = [...(joins ? this.#past.slice(0, -1) : this.#past), step];
    this.#future = [];
  }

  /** Ends the step being made: what follows in the same field is a step of its own. */
  close(): void {
    const last = this.#past.at(-1);
    if (last === undefined || last.field === null) return;
    this.#past = [...this.#past.slice(0, -1), { ...last, field: null }];
  }

  /** Forgets everything: what follows begins anew. */
  clear(): void {
    this.#past = [];
    this.#future = [];
  }

  /** The value to go back to, wrapped, since it may be null itself; null where there is none. */
  back(): { readonly to: T } | null {
    const step = this.#past.at(-1);
    if (step === undefined) return null;
    this.#past = this.#past.slice(0, -1);
    this.#future = [...this.#future, { ...step, field: null }];
    return { to: step.before };
  }

  forth(): { readonly to: T } | null {
    const step = this.#future.at(-1);
    if (step === undefined) return null;
    this.#future = this.#future.slice(0, -1);
    this.#past = [...this.#past, step];
    return { to: step.after };
  }
}
