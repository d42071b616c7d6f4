/** Judging the stroke at the cursor: entry position, breath, and leaving it out with a reason. */
import type { JudgementRow } from '../../../core/marking/words.ts';
import type { TrialEdits } from './edits.svelte.ts';
import { judgementOf, judgementWords, withJudgement, type Judged, type StrokeName } from './judging.ts';

export class StrokeJudge {
  readonly #edits: TrialEdits;
  readonly #stroke: () => StrokeName | null;
  /** True while the reason for leaving the stroke out is asked for. */
  #asking = $state(false);

  readonly row = $derived.by((): JudgementRow | null => {
    const stroke = this.#stroke();
    return stroke === null ? null : judgementOf(this.#edits.judgements, stroke);
  });

  /** @param stroke the stroke that is judged: that of the arm in hand at the cursor */
  constructor(edits: TrialEdits, stroke: () => StrokeName | null) {
    this.#edits = edits;
    this.#stroke = stroke;
  }

  get stroke(): StrokeName | null {
    return this.#stroke();
  }

  get asking(): boolean {
    return this.#asking && this.stroke !== null;
  }

  /** Judges by a key: the same key again takes the judgement back. */
  turn(judged: Judged): void {
    const { row } = this;
    if (row === null) return;
    const turned = Object.entries(judged).map(([name, value]) => [
      name,
      row[name as keyof Judged] === value ? null : value,
    ]);
    this.put(Object.fromEntries(turned) as Judged);
  }

  /** Judges a stroke, that at the cursor unless another is named; what is judged so already is left alone. */
  put(judged: Judged, stroke = this.stroke): void {
    if (stroke === null) return;
    const row = judgementOf(this.#edits.judgements, stroke);
    const isSame = Object.entries(judged).every(([name, value]) => row[name as keyof Judged] === value);
    if (isSame) return;
    this.#edits.putJudgements(
      withJudgement(this.#edits.judgements, stroke, judged),
      judgementWords(stroke, judged),
    );
  }

  /** Asks why the stroke is left out; lets it count again where it was. */
  ask(): void {
    if (this.row?.exclusionReason != null) this.put({ exclusionReason: null });
    else this.#asking = true;
  }

  leaveOut(reason: string): void {
    const said = reason.trim();
    if (said === '') return;
    this.#asking = false;
    this.put({ exclusionReason: said });
  }

  cancel(): void {
    this.#asking = false;
  }
}
