/** A calibration being made: its setting, its points, what comes of them while they come in, and its keeping. */
import { untrack } from 'svelte';
import { assessDraft } from '../../../core/sensor/assess.ts';
import type { BenchDraft, BenchPointEntry, KeptCalibration } from '../../../core/sensor/draft.ts';
import type { BenchView } from '../../../core/contract/bench.ts';
import { leftOutBecause, pointFaults, settingFaults, type BenchEntry } from '../../../core/sensor/entry.ts';
import type { BenchLimits } from '../../../core/sensor/limits.ts';
import type { LabClient } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { waterOf } from '../../../core/sensor/hydrostatics.ts';
import { toKpa } from '../../../core/sensor/hydrostatics.ts';
import { changes } from '../../changes.svelte.ts';
import { Loaded } from '../../loaded.svelte.ts';
import type { Steps } from '../../steps.ts';
import { Saver } from '../../saver.svelte.ts';
import { DraftSteps } from './draftsteps.svelte.ts';
import { lastReference, newDraft } from './newdraft.ts';

export class Bench {
  readonly #client: LabClient;
  readonly #say: (message: string) => void;
  readonly sensor: string;
  readonly loaded = new Loaded<BenchView>();
  readonly saver: Saver<BenchDraft>;
  readonly #steps = new DraftSteps();
  /** What the person changed; null while the screen shows what the lab has. */
  #changed = $state.raw<BenchDraft | null>(null);
  #kept = $state.raw<KeptCalibration | null>(null);
  #keepProblem = $state.raw<LabError | null>(null);

  constructor(client: LabClient, say: (message: string) => void, sensor: string) {
    this.#client = client;
    this.#say = say;
    this.sensor = sensor;
    this.saver = new Saver<BenchDraft>((draft) =>
      client('bench.draft', { sensor, draft: this.#isUntouched(draft) ? null : draft }),
    );
  }

  readonly view = $derived.by(
    () => this.loaded.value?.sensors.find(({ card }) => card.sensor === this.sensor) ?? null,
  );
  readonly draft = $derived.by(() => this.#changed ?? this.view?.draft ?? this.#fresh());
  readonly setting = $derived.by(() => ({
    columnHeightM: this.draft.columnHeightM,
    waterTemperatureC: this.draft.waterTemperatureC,
    water: waterOf(this.draft),
    rawMin: this.view?.card.rawMin ?? null,
    rawMax: this.view?.card.rawMax ?? null,
    historyRawPerKpa: this.view?.history?.meanRawPerKpa ?? null,
  }));
  readonly settingFaults = $derived.by(() => settingFaults(this.setting));
  /** The assessment so far, its verdict by the lab's limits, and every fault; null before the lab has answered. */
  readonly assessed = $derived.by(() => {
    const { view } = this;
    const limits = this.loaded.value?.limits;
    if (view === null || limits === undefined) return null;
    return assessDraft(this.draft, view.card, limits, view.history?.meanRawPerKpa ?? null);
  });

  /** The calibration just kept; null while one is being made. */
  get kept(): KeptCalibration | null {
    return this.#kept;
  }

  get keepProblem(): LabError | null {
    return this.#keepProblem;
  }

  /** For an `$effect`: asks the lab now and whenever something was taken back. */
  readonly follow = (): void => {
    void changes.version;
    void untrack(() => this.load());
  };

  async load(): Promise<void> {
    const came = await this.loaded.take(this.#client('bench.get', {}));
    // A calibration that was taken back lies as a draft again.
    if (came && this.view?.draft != null) this.#kept = null;
  }

  /** Changes the draft. @param field what was typed in, so that typing on is one step to undo */
  change(next: BenchDraft, field: string | null = null): void {
    this.#steps.add(this.draft, next, field);
    this.#show(next);
  }

  set(part: Partial<BenchDraft>, field: string): void {
    this.change({ ...this.draft, ...part }, field);
  }

  /** Another way of making the pressure is another reference: the one last used with it, or none yet. */
  chooseMethod(method: BenchDraft['method']): void {
    if (method === this.draft.method) return;
    this.set({ method, reference: lastReference(method, this.loaded.value?.sensors ?? []) }, 'method');
  }

  addPoint(point: BenchPointEntry): void {
    this.#kept = null;
    this.change({ ...this.draft, points: [...this.draft.points, point] });
    this.#say(`Point ${this.draft.points.length} taken.`);
  }

  changePoint(index: number, part: Partial<BenchPointEntry>): void {
    const points = this.draft.points.map((point, k) => (k === index ? { ...point, ...part } : point));
    this.change({ ...this.draft, points });
  }

  /** Why a point takes no part in the line; null where it does. */
  leftOut(entry: BenchEntry): string | null {
    return leftOutBecause(entry, this.setting);
  }

  faultsOf(entry: BenchEntry) {
    return pointFaults(entry, this.setting);
  }

  kpaOf({ applied, appliedUnit }: Pick<BenchPointEntry, 'applied' | 'appliedUnit'>): number | null {
    return toKpa(applied, appliedUnit, this.setting.water);
  }

  /** Puts everything typed away and begins with an empty bench; it can be undone. */
  beginAgain(): void {
    this.change(this.#fresh());
    this.#say('The bench is empty again; Undo brings the points back.');
  }

  /** Begins another calibration after one was kept. */
  beginAnother(): void {
    this.#kept = null;
  }

  async setLimits(limits: BenchLimits): Promise<LabError | null> {
    const outcome = await this.#client('bench.setLimits', { limits });
    if (!outcome.ok) return outcome.error;
    this.#steps.addOfLab();
    this.#say('The limits of the bench were changed.');
    await this.load();
    return null;
  }

  async keep(): Promise<void> {
    this.#keepProblem = null;
    if (this.#changed !== null) this.saver.put(this.draft);
    if (!(await this.saver.flush())) return;
    const outcome = await this.#client('bench.keep', { sensor: this.sensor });
    if (!outcome.ok) {
      this.#keepProblem = outcome.error;
      return;
    }
    this.#steps.clear();
    await this.loaded.take(this.#client('bench.get', {}));
    this.#changed = null;
    this.#kept = outcome.value;
    this.#say(`Calibration of ${this.sensor} kept.`);
  }

  /** Undo and redo here: what was typed first, then what the lab recorded. */
  steps(lab: Steps): Steps {
    const turn = async (way: 'back' | 'forth') => {
      const step = this.#steps[way]();
      if (step === null || step === 'lab') return way === 'back' ? lab.undo() : lab.redo();
      this.#show(step);
      this.#say(way === 'back' ? 'Taken back: the latest change at the bench' : 'Done again');
    };
    return {
      canUndo: this.#steps.canUndo || lab.canUndo,
      canRedo: this.#steps.canRedo || lab.canRedo,
      undo: () => turn('back'),
      redo: () => turn('forth'),
      label: 'Undo the latest change at the bench',
    };
  }

  /** True for a draft that says no more than the next one would begin with. */
  #isUntouched(draft: BenchDraft): boolean {
    return JSON.stringify(draft) === JSON.stringify(this.#fresh());
  }

  #fresh(): BenchDraft {
    return newDraft(this.sensor, this.loaded.value?.sensors ?? []);
  }

  #show(draft: BenchDraft): void {
    this.#changed = draft;
    this.saver.put(draft);
  }
}
