/** One plan on the screen: its questions as they were stated, the one being made, its answers. */
import type { LabClient } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { PlanAnswer, PlanQuestion, PlanView, StatedQuestion } from '../../../core/contract/plans.ts';
import { fitsOf, type Fit, type PlanDesign } from '../../../core/findings/planning.ts';
import type { TestName } from '../../../core/findings/plan.ts';
import { Loaded } from '../../loaded.svelte.ts';
import { Sources } from '../sources.svelte.ts';

type About = 'groups' | 'line' | 'repeats';

export class PlanDesk {
  readonly #client: LabClient;
  readonly #say: (message: string) => void;
  readonly name: string;
  readonly sources: Sources;
  readonly plans = new Loaded<readonly PlanView[]>();
  readonly design = new Loaded<PlanDesign>();
  readonly answer = new Loaded<PlanAnswer>();
  #problem = $state.raw<LabError | null>(null);
  busy = $state(false);
  words = $state('');
  about = $state<About>('groups');
  outcome = $state('');
  by = $state('');
  on = $state('');
  /** Groups that are left away. */
  without = $state.raw<readonly string[]>([]);
  #test = $state<TestName | null>(null);
  #why = $state<string | null>(null);
  margin = $state<number | null>(null);

  constructor(client: LabClient, name: string, say: (message: string) => void) {
    this.#client = client;
    this.#say = say;
    this.name = name;
    this.sources = new Sources(client);
  }

  readonly plan = $derived.by(() => this.plans.value?.find(({ plan }) => plan === this.name) ?? null);
  readonly column = $derived.by(
    () => this.design.value?.columns.find(({ name }) => name === this.by) ?? null,
  );
  readonly groups = $derived.by(() =>
    (this.column?.groups ?? []).filter(({ name }) => !this.without.includes(name)),
  );
  readonly fits = $derived.by((): readonly Fit[] => {
    const design = this.design.value;
    if (design === null) return [];
    if (this.about === 'line') return this.on === '' ? [] : fitsOf({ about: 'line' });
    if (this.about === 'repeats') return fitsOf({ about: 'repeats', repeated: design.repeated });
    if (this.column === null || this.groups.length < 2) return [];
    return fitsOf({ about: 'groups', groups: this.groups, inSeveral: this.column.inSeveral });
  });
  readonly fit = $derived.by(() => this.fits.find(({ test }) => test === this.#test) ?? this.fits[0] ?? null);

  /** Why the test fits: the design's reason until a person writes their own. */
  get why(): string {
    return this.#why ?? this.fit?.why ?? '';
  }

  set why(text: string) {
    this.#why = text;
  }

  take(test: TestName): void {
    this.#test = test;
    this.#why = null;
  }

  get problem(): LabError | null {
    return this.#problem;
  }

  /** What is still to be said before the question can be stated; empty where nothing is. */
  readonly lacks = $derived.by(() => {
    if (this.words.trim() === '') return 'Say the question in words.';
    if (this.outcome === '') return 'Choose what is compared.';
    if (this.fit === null)
      return this.about === 'line' ? 'Choose the other number.' : 'Choose two groups or more.';
    if (this.why.trim() === '') return 'Say why the test fits.';
    if (this.fit.test === 'equivalence' && !((this.margin ?? 0) > 0))
      return 'Give the margin: the largest difference that counts as none.';
    return '';
  });

  async load(): Promise<void> {
    await Promise.all([this.plans.take(this.#client('plans.list', {})), this.sources.load()]);
    await this.look();
  }

  /** Asks what the source allows; no value is shown. */
  async look(): Promise<void> {
    const { source } = this.sources;
    if (source !== null) await this.design.take(this.#client('plans.design', { source }));
  }

  /** States the question that is being made. Returns whether the lab took it. */
  async stateQuestion(): Promise<boolean> {
    const { fit, column } = this;
    if (this.lacks !== '' || fit === null) return false;
    const before = (this.plan?.questions ?? []).map(asked);
    const next = 1 + before.reduce((most, { id }) => Math.max(most, Number(id.slice(1)) || 0), 0);
    const question: PlanQuestion = {
      id: `q${next}`,
      words: this.words.trim(),
      why: this.why.trim(),
      test: fit.test,
      outcome: this.outcome,
      ...(this.about === 'line' && { on: this.on }),
      ...(this.about === 'groups' &&
        column !== null && { by: column.name, groups: this.groups.map(({ name }) => name) }),
      ...(fit.test === 'equivalence' && { margin: this.margin! }),
    };
    if (!(await this.#state([...before, question]))) return false;
    this.words = '';
    this.#why = null;
    return true;
  }

  /** Asks a question no longer; the plan shows that it was. */
  async drop(id: string): Promise<void> {
    await this.#state((this.plan?.questions ?? []).map(asked).filter((one) => one.id !== id));
  }

  async #state(questions: readonly PlanQuestion[]): Promise<boolean> {
    this.busy = true;
    const seen = this.plan?.sha256 ?? null;
    const outcome = await this.#client('plans.state', { plan: this.name, seen, questions });
    this.busy = false;
    this.#problem = outcome.ok ? null : outcome.error;
    await this.plans.take(this.#client('plans.list', {}));
    if (outcome.ok) this.#say(`Plan ${this.name} stated: ${outcome.value.versions.at(-1)!.says}.`);
    return outcome.ok;
  }

  async ask(): Promise<void> {
    const { source } = this.sources;
    if (source === null) return;
    this.busy = true;
    const isIt = await this.answer.take(this.#client('plans.answer', { plan: this.name, source }));
    this.busy = false;
    await this.plans.take(this.#client('plans.list', {}));
    if (isIt) this.#say(`Plan ${this.name} answered.`);
  }
}

function asked({ kind: _kind, statedAt: _at, ...question }: StatedQuestion): PlanQuestion {
  return question;
}
