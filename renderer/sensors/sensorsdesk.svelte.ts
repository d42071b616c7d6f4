/** The lab's sensors on the screen: asked for, changed, and asked for again when something was taken back. */
import { untrack } from 'svelte';
import type { BenchView, SensorView } from '../../core/contract/bench.ts';
import type { SensorCard } from '../../core/sensor/draft.ts';
import type { BenchLimits } from '../../core/sensor/limits.ts';
import type { LabClient } from '../../core/contract/contract.ts';
import type { LabError } from '../../core/base/refusal.ts';
import { changes } from '../changes.svelte.ts';
import { Loaded } from '../loaded.svelte.ts';

export class SensorsDesk {
  readonly #client: LabClient;
  readonly #say: (message: string) => void;
  readonly loaded = new Loaded<BenchView>();

  constructor(client: LabClient, say: (message: string) => void) {
    this.#client = client;
    this.#say = say;
  }

  /** Asks the lab, first or again. Returns whether it answered. */
  load(): Promise<boolean> {
    return this.loaded.take(this.#client('bench.get', {}));
  }

  /** For an `$effect`: loads now, and again whenever something was taken back. */
  readonly follow = (): void => {
    void changes.version;
    void untrack(() => this.load());
  };

  find(sensor: string): SensorView | null {
    return this.loaded.value?.sensors.find(({ card }) => card.sensor === sensor) ?? null;
  }

  /** Registers a sensor or changes its card; the error where the lab did not take it. */
  async save(card: SensorCard, seen: SensorCard | null): Promise<LabError | null> {
    const outcome = await this.#client('sensors.save', { card, seen });
    if (!outcome.ok) return outcome.error;
    this.#say(seen === null ? `Sensor ${card.sensor} registered.` : `Card of ${card.sensor} changed.`);
    await this.load();
    return null;
  }

  async setLimits(limits: BenchLimits): Promise<LabError | null> {
    const outcome = await this.#client('bench.setLimits', { limits });
    if (!outcome.ok) return outcome.error;
    this.#say('The limits of the bench were changed.');
    await this.load();
    return null;
  }
}
