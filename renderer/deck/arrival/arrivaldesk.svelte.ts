/** The verdict on the screen: what was found, which finding is looked at, and a person's answer with its reason. */
import { untrack } from 'svelte';
import type { ArrivalReport } from '../../../core/arrival/report.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { BoardTrial, TrialAnswer } from '../../../core/deck/deck.ts';
import type { DeckArrivalView } from '../../../core/contract/deck.ts';
import type { DeckTrialView } from '../../../core/deck/views.ts';
import { Loaded } from '../../loaded.svelte.ts';
import type { BoardDesk } from '../board/board.svelte.ts';
import { boardTrialOf, trialOf } from '../board/boardrules.ts';
import { reasonFrom } from './arrivalwords.ts';
import { Evidence } from './evidence.svelte.ts';

/** The field for the reason, by its id. */
export const REASON_ID = 'deck-reason';

export class ArrivalDesk {
  readonly board: BoardDesk;
  readonly evidence = new Evidence();
  readonly #loaded = new Loaded<DeckArrivalView>();
  #typed = $state.raw<{ readonly trial: string; readonly reason: string } | null>(null);
  #chosen = $state<number | null>(null);
  /** The answer that was asked for without a reason; null where none is missing. */
  #lacksReason = $state<TrialAnswer | null>(null);

  /** The trial with everything its report depends on, so that it is asked again only where that changed. */
  readonly #asked = $derived.by(() => {
    const { swim, found } = this;
    if (swim === null || found?.report == null) return null;
    const { trial, worn, handsSwapped, participant } = swim;
    const swimmer = this.board.view!.plan.swimmers.find((one) => one.participant === participant);
    return JSON.stringify([trial, worn, handsSwapped, found, swimmer]);
  });

  /** To be made while a component is set up. */
  constructor(board: BoardDesk) {
    this.board = board;
    $effect(() => {
      void this.#asked;
      untrack(() => void this.#ask());
    });
    $effect(() => () => this.evidence.close());
  }

  get swim(): BoardTrial | null {
    return this.board.view === null ? null : boardTrialOf(this.board.view, this.board.shown);
  }

  get found(): DeckTrialView | null {
    return this.swim === null ? null : trialOf(this.board.view!, this.swim.trial);
  }

  /** What was found; null before the lab has answered for this trial. */
  get report(): ArrivalReport | null {
    const answer = this.#loaded.value;
    const isOfThis = answer !== null && answer.trial === this.swim?.trial && this.found?.report != null;
    return isOfThis ? answer.report : null;
  }

  get problem(): LabError | null {
    return this.#asked === null ? null : this.#loaded.problem;
  }

  /** Index of the finding whose stretch is shown; null for the whole trace. */
  get chosen(): number | null {
    return this.#chosen;
  }

  /** Why the trial is swum again or left out: as a person wrote it, else the worst finding. */
  get reason(): string {
    const trial = this.swim?.trial;
    if (this.#typed !== null && this.#typed.trial === trial) return this.#typed.reason;
    const answered = this.swim?.answer?.reason ?? '';
    return answered !== '' || this.report === null ? answered : reasonFrom(this.report);
  }

  set reason(reason: string) {
    const trial = this.swim?.trial;
    if (trial !== undefined) this.#typed = { trial, reason };
    if (reason.trim() !== '') this.#lacksReason = null;
  }

  get lacksReason(): TrialAnswer | null {
    return this.#lacksReason;
  }

  /** Shows a finding's stretch; null shows the whole trace. */
  choose(index: number | null): void {
    const finding = index === null ? undefined : this.report?.findings[index];
    if (finding?.startS == null || finding.endS === null) {
      this.#chosen = null;
      this.evidence.showAll();
    } else {
      this.#chosen = index;
      this.evidence.show(finding.startS, finding.endS);
    }
  }

  /** Goes to the next finding with a stretch, round and round. */
  step(direction: 1 | -1): void {
    const places = (this.report?.findings ?? []).flatMap(({ startS }, index) =>
      startS === null ? [] : [index],
    );
    if (places.length === 0) return;
    const at = this.#chosen === null ? -1 : places.indexOf(this.#chosen);
    const next = at < 0 && direction < 0 ? places.length - 1 : at + direction;
    this.choose(places[(next + places.length) % places.length]!);
  }

  async answer(what: TrialAnswer): Promise<boolean> {
    const { swim } = this;
    if (swim === null) return false;
    const reason = what === 'keep' ? '' : this.reason.trim();
    if (what !== 'keep' && reason === '') {
      this.#lacksReason = what;
      document.getElementById(REASON_ID)?.focus();
      return false;
    }
    this.#lacksReason = null;
    return this.board.answer(swim.trial, what, reason);
  }

  async #ask(): Promise<void> {
    const { swim, board } = this;
    this.#chosen = null;
    if (swim === null || this.#asked === null) {
      this.evidence.close();
      return;
    }
    const { client, id: day } = board.deck;
    const { trial } = swim;
    if (!(await this.#loaded.take(client('deck.arrival', { day, trial })))) return;
    const { report } = this;
    if (report !== null) await this.evidence.ask(client, day, swim, report, board.view!.plan.sensors);
  }
}
