/** Choosing a day folder among the places a person allows; the folders are listed by the lab. */
import type { LabClient } from '../core/contract/contract.ts';
import type { LabError } from '../core/base/refusal.ts';
import type { Outcome } from '../core/base/refusal.ts';
import type { PlaceList } from '../core/contract/views.ts';

/** A step of the way down from the list of places; `path` null is that list. */
interface Step {
  readonly name: string;
  readonly path: string | null;
}

const PLACES: Step = { name: 'Places', path: null };

/** The last part of a path, whatever its slashes. */
export function folderName(path: string): string {
  return path.split(/[\\/]/).findLast((part) => part !== '') ?? path;
}

export class Places {
  readonly #client: LabClient;
  #list = $state.raw<PlaceList | null>(null);
  #way = $state.raw<readonly Step[]>([PLACES]);
  #problem = $state.raw<LabError | null>(null);
  #typedProblem = $state.raw<LabError | null>(null);
  #latest = 0;

  constructor(client: LabClient) {
    this.#client = client;
  }

  get list(): PlaceList | null {
    return this.#list;
  }

  /** From the list of places down to the folder listed. */
  get way(): readonly Step[] {
    return this.#way;
  }

  /** Why the folder could not be listed or opened. */
  get problem(): LabError | null {
    return this.#problem;
  }

  /** Why the typed path could not be allowed. */
  get typedProblem(): LabError | null {
    return this.#typedProblem;
  }

  async show(path: string | null): Promise<void> {
    const outcome = await this.#ask(this.#client('places.list', { path }));
    if (outcome === null) return;
    this.#problem = outcome.ok ? null : outcome.error;
    if (outcome.ok) this.#take(outcome.value);
  }

  /** Allows a typed path. Returns whether the lab took it. */
  async allow(path: string): Promise<boolean> {
    const outcome = await this.#ask(this.#client('places.allow', { path }));
    if (outcome === null) return false;
    this.#typedProblem = outcome.ok ? null : outcome.error;
    if (outcome.ok) this.#take(outcome.value);
    return outcome.ok;
  }

  async forbid(path: string): Promise<void> {
    const outcome = await this.#ask(this.#client('places.forbid', { path }));
    if (outcome === null) return;
    this.#problem = outcome.ok ? null : outcome.error;
    if (outcome.ok) this.#take(outcome.value);
  }

  /** Shows an error that came of opening what is listed. */
  blame(error: LabError): void {
    this.#problem = error;
  }

  async #ask(answer: Promise<Outcome<PlaceList, LabError>>): Promise<Outcome<PlaceList, LabError> | null> {
    const turn = ++this.#latest;
    const outcome = await answer;
    return turn === this.#latest ? outcome : null;
  }

  #take(list: PlaceList): void {
    this.#list = list;
    const { path } = list;
    if (path === null) {
      this.#way = [PLACES];
      return;
    }
    const known = this.#way.findIndex((step) => step.path === path);
    const above = this.#way.findIndex((step) => step.path !== null && step.path === list.parent);
    const step = { name: folderName(path), path };
    if (known >= 0) this.#way = this.#way.slice(0, known + 1);
    else if (above >= 0) this.#way = [...this.#way.slice(0, above + 1), step];
    else if (list.parent !== null)
      this.#way = [PLACES, { name: folderName(list.parent), path: list.parent }, step];
    else this.#way = [PLACES, step];
  }
}
