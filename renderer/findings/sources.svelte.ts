/** What can be compared: all days as they stand now, one of them, or a release. */
import type { LabClient } from '../../core/contract/contract.ts';
import type { FindingsDayName } from '../../core/contract/cleaning.ts';
import type { PlanSource } from '../../core/contract/plans.ts';
import type { ReleaseView } from '../../core/contract/releases.ts';
import { Loaded } from '../loaded.svelte.ts';

export class Sources {
  readonly #client: LabClient;
  readonly days = new Loaded<readonly FindingsDayName[]>();
  readonly releases = new Loaded<readonly ReleaseView[]>();
  /** `all`, `day ID` or `release NAME`. */
  chosen = $state('all');

  constructor(client: LabClient) {
    this.#client = client;
  }

  async load(): Promise<void> {
    await Promise.all([
      this.days.take(this.#client('findings.days', {})),
      this.releases.take(this.#client('releases.list', {})),
    ]);
  }

  readonly choices = $derived.by(() => [
    { value: 'all', text: 'All days as they stand now' },
    ...(this.releases.value ?? []).map(({ name }) => ({ value: `release ${name}`, text: `Release ${name}` })),
    ...(this.days.value ?? []).map(({ id, day }) => ({
      value: `day ${id}`,
      text: `${day} as it stands now`,
    })),
  ]);

  /** Null before the days are known, and where there is none. */
  readonly source = $derived.by((): PlanSource | null => {
    const [kind, name] = this.chosen.split(' ');
    if (kind === 'release') return { release: name! };
    if (kind === 'day') return { days: [Number(name)] };
    const days = (this.days.value ?? []).map(({ id }) => id);
    return days.length === 0 ? null : { days };
  });
}
