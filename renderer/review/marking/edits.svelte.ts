/**
 * What a person marks on a trial, kept as it is made: shown at once, sent one call after another, each a step of the
 * day's history. Where the lab says no, everything not yet kept is taken back and its sentence shown.
 */
import type { LabError } from '../../../core/base/refusal.ts';
import type { Outcome } from '../../../core/base/refusal.ts';
import type { JudgementRow, MarkRow, SectionWord } from '../../../core/marking/words.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import { changes } from '../../changes.svelte.ts';

type Answer = Promise<Outcome<TrialView, LabError>>;

/** Carries edits to whoever keeps them: the lab's reported marks, or a rater's own. */
export interface Keeper {
  readonly marks: (seen: readonly MarkRow[], now: readonly MarkRow[], says: string) => Answer;
  readonly judgements: (seen: readonly JudgementRow[], now: readonly JudgementRow[], says: string) => Answer;
  /** Null where section times are not this person's to set. */
  readonly section: ((seen: SectionWord | null, now: SectionWord | null, says: string) => Answer) | null;
  /** The trial as it stands now. */
  readonly fresh: () => Answer;
}

interface Marked {
  readonly marks: readonly MarkRow[];
  readonly judgements: readonly JudgementRow[];
  readonly section: SectionWord | null;
}

interface Waiting {
  /** What the screen shows once this is made. */
  readonly shows: Marked;
  readonly says: string;
  readonly send: () => Answer;
}

export class TrialEdits {
  readonly #keeper: Keeper;
  readonly #view: () => TrialView;
  readonly #renew: (view: TrialView) => void;
  #waiting = $state.raw<readonly Waiting[]>([]);
  #problem = $state.raw<LabError | null>(null);
  #said = $state('');
  #sending = false;

  readonly #shown = $derived.by((): Marked => this.#waiting.at(-1)?.shows ?? this.#view().marking);

  /**
   * @param view the trial as the lab last told it
   * @param renew takes the lab's newer view of it
   */
  constructor(keeper: Keeper, view: () => TrialView, renew: (view: TrialView) => void) {
    this.#keeper = keeper;
    this.#view = view;
    this.#renew = renew;
  }

  get marks(): readonly MarkRow[] {
    return this.#shown.marks;
  }

  get judgements(): readonly JudgementRow[] {
    return this.#shown.judgements;
  }

  get section(): SectionWord | null {
    return this.#shown.section;
  }

  get canSetSection(): boolean {
    return this.#keeper.section !== null;
  }

  /** Why the latest edit was not kept; null where it was. */
  get problem(): LabError | null {
    return this.#problem;
  }

  /** What was done last, for those who do not see the screen. */
  get said(): string {
    return this.#said;
  }

  putMarks(now: readonly MarkRow[], says: string): void {
    const seen = this.marks;
    this.#add({ marks: now }, says, () => this.#keeper.marks(seen, now, says));
  }

  putJudgements(now: readonly JudgementRow[], says: string): void {
    const seen = this.judgements;
    this.#add({ judgements: now }, says, () => this.#keeper.judgements(seen, now, says));
  }

  putSection(now: SectionWord | null, says: string): void {
    const { section: send } = this.#keeper;
    const seen = this.section;
    if (send !== null) this.#add({ section: now }, says, () => send(seen, now, says));
  }

  #add(change: Partial<Marked>, says: string, send: () => Answer): void {
    const { marks, judgements, section } = this.#shown;
    const shows = { marks, judgements, section, ...change };
    this.#problem = null;
    this.#said = says;
    this.#waiting = [...this.#waiting, { shows, says, send }];
    if (this.#sending) return;
    this.#sending = true;
    changes.hold(new Promise<void>((resolve) => void this.#sendAll().finally(resolve)));
  }

  async #sendAll(): Promise<void> {
    try {
      for (let next = this.#waiting[0]; next !== undefined; next = this.#waiting[0]) {
        const outcome = await next.send();
        if (!outcome.ok) {
          await this.#takeBack(outcome.error, next.says);
          continue;
        }
        this.#renew(outcome.value);
        this.#waiting = this.#waiting.slice(1);
      }
    } finally {
      this.#waiting = [];
      this.#sending = false;
    }
  }

  async #takeBack(error: LabError, says: string): Promise<void> {
    if (error.code === 'changed_meanwhile') {
      const fresh = await this.#keeper.fresh();
      if (fresh.ok) this.#renew(fresh.value);
    }
    const lost = this.#waiting.length;
    const more = lost > 1 ? ` Nor was what followed it (${lost - 1}).` : '';
    this.#waiting = [];
    this.#said = '';
    this.#problem = { ...error, says: `“${says}” was not kept: ${error.says}${more}` };
  }
}
