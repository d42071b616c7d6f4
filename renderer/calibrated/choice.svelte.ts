/** Which calibration the sensors of a day use: the rule that is kept, and one that is only tried. */
import type { ChoicePreview, ChoiceView } from '../../core/contract/bench.ts';
import type { CalibrationRule } from '../../core/sensor/choice.ts';
import { Loaded } from '../loaded.svelte.ts';
import type { Desk } from '../desk.svelte.ts';
import { DayPart } from './daypart.svelte.ts';
import { RULE_WORDS } from './rulewords.ts';

export class ChoiceDesk {
  readonly part: DayPart<ChoiceView>;
  readonly preview = new Loaded<ChoicePreview>();
  #tried = $state<CalibrationRule | null>(null);

  constructor(desk: Desk, day: number) {
    this.part = new DayPart(desk, day, () => desk.client('choice.get', { day }));
  }

  /** The rule on trial; null while only the kept one is shown. */
  get tried(): CalibrationRule | null {
    return this.#tried === this.part.value?.rule ? null : this.#tried;
  }

  /** What the rule on trial would change; null while it is worked out. */
  get shown(): ChoicePreview | null {
    const preview = this.preview.value;
    return preview !== null && preview.choice.rule === this.tried ? preview : null;
  }

  try(rule: CalibrationRule): void {
    this.#tried = rule;
    this.part.forgetProblem();
    if (this.tried !== null)
      void this.preview.take(this.part.client('choice.try', { day: this.part.day, rule }));
  }

  /** Keeps the rule on trial; true where the lab took it. */
  async keep(): Promise<boolean> {
    const [rule, seen] = [this.tried, this.part.value?.rule];
    if (rule === null || seen === undefined) return false;
    const kept = await this.part.change(
      this.part.client('choice.keep', { day: this.part.day, rule, seen }),
      `Calibration rule kept: ${RULE_WORDS[rule].name}.`,
    );
    if (kept) this.#tried = null;
    return kept;
  }
}
