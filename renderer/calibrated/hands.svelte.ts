/** The hand areas of a day: which hand is looked at, keeping another area for it, and taking back to the roster's. */
import type { DayAreasView, HandAreaView } from '../../core/contract/bench.ts';
import type { HandArea } from '../../core/force/handarea.ts';
import type { Hand } from '../../core/base/hand.ts';
import type { Desk } from '../desk.svelte.ts';
import { areaText } from './areawords.ts';
import { DayPart } from './daypart.svelte.ts';

export class HandsDesk {
  readonly part: DayPart<DayAreasView>;
  #chosen = $state.raw<{ readonly participant: string; readonly hand: Hand } | null>(null);

  /** The hand that is looked at, as it stands now. */
  readonly chosen = $derived.by(() => this.part.value?.areas.find((area) => this.isChosen(area)) ?? null);
  readonly swimmers = $derived.by(() => [
    ...Map.groupBy(this.part.value?.areas ?? [], ({ participant }) => participant),
  ]);

  constructor(desk: Desk, day: number) {
    this.part = new DayPart(desk, day, () => desk.client('areas.get', { day }));
  }

  isChosen({ participant, hand }: Pick<HandAreaView, 'participant' | 'hand'>): boolean {
    return participant === this.#chosen?.participant && hand === this.#chosen.hand;
  }

  choose({ participant, hand }: HandAreaView): void {
    this.part.forgetProblem();
    this.#chosen = { participant, hand };
  }

  /**
   * Keeps an area for the chosen hand; null takes back to the roster's.
   * @param sure true where the person said that an unusual area is right
   */
  async keep(area: HandArea | null, sure = false): Promise<boolean> {
    if (this.chosen === null) return false;
    const { participant, hand, kept: seen } = this.chosen;
    return this.part.change(
      this.part.client('areas.keep', {
        day: this.part.day,
        participant,
        hand,
        area,
        seen,
        ...(sure ? { sure } : {}),
      }),
      area === null
        ? `${participant}, ${hand} hand: the roster’s area stands again.`
        : `${participant}, ${hand} hand: ${areaText(area.cm2, area.uCm2)} kept.`,
    );
  }
}
