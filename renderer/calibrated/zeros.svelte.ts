/** The zeros of a day: which reading is looked at, what is proposed for it, and confirming, typing and taking back. */
import type { DayZerosView, ZeroProposals, ZeroReadingView } from '../../core/contract/bench.ts';
import { Loaded } from '../loaded.svelte.ts';
import type { Desk } from '../desk.svelte.ts';
import { DayPart } from './daypart.svelte.ts';
import { rawText, zeroSeries, type ZeroMoment } from './zeroseries.ts';

export class ZerosDesk {
  readonly part: DayPart<DayZerosView>;
  readonly proposals = new Loaded<ZeroProposals>();
  #chosen = $state.raw<{ readonly trial: string; readonly sensor: string } | null>(null);

  readonly series = $derived.by(() => zeroSeries(this.part.value?.readings ?? []));
  /** The reading that is looked at, as it stands now. */
  readonly chosen = $derived.by(
    () => this.part.value?.readings.find((reading) => this.#isChosen(reading)) ?? null,
  );
  readonly chosenSeries = $derived.by(
    () => this.series.find(({ sensor }) => sensor === this.chosen?.sensor) ?? null,
  );

  constructor(desk: Desk, day: number) {
    this.part = new DayPart(desk, day, () => desk.client('zeros.get', { day }));
  }

  choose({ trial, sensor, hand }: ZeroReadingView): void {
    this.part.forgetProblem();
    this.#chosen = { trial, sensor };
    void this.proposals.take(this.part.client('zeros.propose', { day: this.part.day, trial, hand }));
  }

  leave(): void {
    this.#chosen = null;
  }

  /** Confirms a zero of the chosen reading, raw; null takes back to what the day's file says. */
  async confirm(when: ZeroMoment, raw: number | null): Promise<boolean> {
    const reading = this.chosen;
    if (reading === null) return false;
    const { trial, sensor } = reading;
    const what = `Zero of ${sensor} ${when} trial ${trial}`;
    return this.part.change(
      this.part.client('zeros.confirm', {
        day: this.part.day,
        trial,
        sensor,
        when,
        raw,
        seen: reading[when],
      }),
      raw === null ? `${what}: the day’s file stands again.` : `${what} confirmed: ${rawText(raw)} raw.`,
    );
  }

  #isChosen({ trial, sensor }: ZeroReadingView): boolean {
    return trial === this.#chosen?.trial && sensor === this.#chosen.sensor;
  }
}
