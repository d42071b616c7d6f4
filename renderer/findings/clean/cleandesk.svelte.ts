/** All trials of the chosen days on the screen: read day by day, found, ordered, grouped, judged by rules, decided on. */
import { SvelteMap, SvelteSet } from 'svelte/reactivity';
import type { LabClient } from '../../../core/contract/contract.ts';
import type { CleaningAct, FindingsDay, FindingsDayName } from '../../../core/contract/cleaning.ts';
import type { TrialStatus } from '../../../core/contract/views.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { groupRows, sortRows, type Sorting } from '../../../core/findings/clean/arrange.ts';
import { gridColumn, type GridColumn } from '../../../core/findings/clean/columns.ts';
import { readFilter, textsOf } from '../../../core/findings/clean/filter.ts';
import type { RuleName, Suspicion } from '../../../core/findings/clean/suspicious.ts';
import { counted } from '../../format.ts';
import { stepSentence } from '../../steps.ts';
import { Loaded } from '../../loaded.svelte.ts';
import { keptColumns, keepColumns } from './columnchoice.ts';
import { keyOf, suspicionsByKey, type GridRow } from './rows.ts';

/** What trials are held against: those of the same condition, of the same day, and so on. */
export const RULE_GROUPS = [
  { value: 'condition', text: 'of one condition', columns: ['condition'] },
  { value: 'condition-sex', text: 'of one condition and sex', columns: ['condition', 'sex'] },
  { value: 'day', text: 'of one day', columns: ['day'] },
  { value: 'all', text: 'all together', columns: [] },
] as const;
type RuleGroup = (typeof RULE_GROUPS)[number]['value'];

const NONE: readonly Suspicion[] = [];

export class CleanDesk {
  readonly #client: LabClient;
  readonly #say: (message: string) => void;
  readonly names = new Loaded<readonly FindingsDayName[]>();
  readonly acts = new Loaded<readonly CleaningAct[]>();
  readonly reasons = new Loaded<readonly string[]>();
  readonly #days = new SvelteMap<number, FindingsDay>();
  /** Days that could not be read, with the reason. */
  readonly faults = new SvelteMap<number, LabError>();
  readonly chosen = new SvelteSet<number>();
  readonly rules = new SvelteSet<RuleName>(['group', 'bounds', 'hands', 'change']);
  readonly closed = new SvelteSet<string>();
  readonly selected = new SvelteSet<string>();
  typed = $state('');
  onlySuspicious = $state(false);
  ruleGroup = $state<RuleGroup>('condition');
  sorting = $state.raw<Sorting | null>(null);
  groupBy = $state.raw<GridColumn | null>(null);
  columns = $state.raw<readonly GridColumn[]>(keptColumns());
  #reading = $state(0);
  #problem = $state.raw<LabError | null>(null);
  #left = false;

  constructor(client: LabClient, say: (message: string) => void) {
    this.#client = client;
    this.#say = say;
  }

  /** The days that are read and chosen, oldest first. */
  readonly days = $derived.by(() =>
    [...(this.names.value ?? [])]
      .toReversed()
      .flatMap(({ id }) => (this.chosen.has(id) ? (this.#days.get(id) ?? []) : [])),
  );
  readonly rows = $derived.by((): readonly GridRow[] =>
    this.days.flatMap(({ trials }) =>
      trials.map((trial) => ({ ...trial, key: keyOf(trial), texts: textsOf(trial.cells) })),
    ),
  );
  readonly #suspicions = $derived.by(() => {
    const { columns } = RULE_GROUPS.find(({ value }) => value === this.ruleGroup)!;
    return suspicionsByKey(this.rows, columns.map(gridColumn), this.rules);
  });
  readonly #sorted = $derived.by(() => sortRows(this.rows, this.sorting));
  readonly filter = $derived.by(() => readFilter(this.typed));
  readonly shown = $derived.by(() => {
    const { holds } = this.filter;
    const suspicions = this.#suspicions;
    return this.#sorted.filter(
      ({ key, cells, texts }) => holds(cells, texts) && (!this.onlySuspicious || suspicions.has(key)),
    );
  });
  readonly lines = $derived.by(() => groupRows(this.shown, this.groupBy, this.closed, this.columns));

  /** Why the latest act was not taken. */
  get problem(): LabError | null {
    return this.#problem;
  }

  /** How many chosen days are still to be read. */
  get reading(): number {
    return this.#reading;
  }

  /** How many of all rows look suspicious. */
  get suspiciousCount(): number {
    return this.#suspicions.size;
  }

  suspicionsOf(key: string): readonly Suspicion[] {
    return this.#suspicions.get(key) ?? NONE;
  }

  rowOf(key: string): GridRow | null {
    return this.rows.find((row) => row.key === key) ?? null;
  }

  /** Reads the names of the days, the acts and the reasons, then the days themselves, one after the other. */
  async load(): Promise<void> {
    void this.acts.take(this.#client('findings.acts', {}));
    void this.reasons.take(this.#client('reasons.list', {}));
    const isFirst = this.names.value === null;
    if (!(await this.names.take(this.#client('findings.days', {})))) return;
    if (isFirst) for (const { id } of this.names.value!) this.chosen.add(id);
    await this.#read(this.names.value!.map(({ id }) => id).filter((id) => this.chosen.has(id)));
  }

  /** Stops reading further days. */
  readonly leave = (): void => {
    this.#left = true;
  };

  async choose(day: number, isOn: boolean): Promise<void> {
    if (isOn) this.chosen.add(day);
    else this.chosen.delete(day);
    if (isOn && !this.#days.has(day)) await this.#read([day]);
  }

  async #read(days: readonly number[]): Promise<void> {
    this.#reading += days.length;
    for (const day of days) {
      const outcome = this.#left ? null : await this.#client('findings.day', { day });
      this.#reading -= 1;
      if (outcome?.ok === true) {
        this.#days.set(day, outcome.value);
        this.faults.delete(day);
      } else if (outcome !== null) this.faults.set(day, outcome.error);
    }
  }

  showColumns(columns: readonly GridColumn[]): void {
    this.columns = columns;
    keepColumns(columns);
  }

  /** The trials that an act is about: those selected, whether the filter shows them or not. */
  readonly chosenRows = $derived.by(() => this.rows.filter(({ key }) => this.selected.has(key)));

  /** Decides on trials as one act. Returns whether the lab took it. */
  async decide(rows: readonly GridRow[], status: TrialStatus, reason = ''): Promise<boolean> {
    this.#problem = null;
    const trials = rows.map((row) => ({ day: row.day, trial: row.trial, seen: row.status }));
    const outcome = await this.#client('findings.decide', { trials, status, reason });
    const days = rows.map(({ day }) => day).filter((day, k, all) => all.indexOf(day) === k);
    if (!outcome.ok) {
      this.#problem = outcome.error;
      if (outcome.error.code === 'changed_meanwhile') await this.#read(days);
      return false;
    }
    this.selected.clear();
    this.#say(`${outcome.value.says}.`);
    await this.#after(days);
    return true;
  }

  async #after(days: readonly number[]): Promise<void> {
    await Promise.all([this.acts.take(this.#client('findings.acts', {})), this.#read(days)]);
  }

  /** The act that undo takes back, and the one that redo does again. */
  readonly #next = $derived.by(() => {
    const acts = this.acts.value ?? [];
    const standing = acts.find(({ undone }) => !undone) ?? null;
    // Acts taken back after the latest that stands can be done again, the earliest first.
    const again = acts.filter(({ undone, act }) => undone && act > (standing?.act ?? 0)).at(-1) ?? null;
    return { undo: standing, redo: again };
  });

  get steps() {
    return {
      canUndo: this.#next.undo !== null,
      canRedo: this.#next.redo !== null,
      undo: () => this.turn('undo'),
      redo: () => this.turn('redo'),
      label: 'Undo the latest decision on trials',
    };
  }

  /** Takes back, or does again, the next act. */
  async turn(way: 'undo' | 'redo'): Promise<void> {
    const next = this.#next[way];
    if (next === null) return;
    const outcome = await this.#client(`findings.${way}`, { act: next.act });
    if (outcome.ok) {
      const { act: id, who, at, undone, says } = outcome.value;
      this.#say(stepSentence(way, { ok: true, value: { id, trial: null, says, who, at, undone } }));
    } else this.#say(stepSentence(way, outcome));
    await this.#after(next.days);
  }

  async saveReasons(reasons: readonly string[]): Promise<boolean> {
    return this.reasons.take(this.#client('reasons.save', { reasons }));
  }

  /** How many rows are shown of how many, in a sentence. */
  get sentence(): string {
    const all = counted(this.rows.length, 'trial');
    const which = this.shown.length === this.rows.length ? all : `${this.shown.length} of ${all}`;
    return `${which}, ${counted(this.days.length, 'day')}; ${this.suspiciousCount} with a suspicious value`;
  }
}
