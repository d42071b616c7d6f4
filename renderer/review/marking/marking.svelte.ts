/** Everything by which a trial is marked, over one queue of edits. */
import { EntryPointsDesk, type ShownFrame } from './entrypoints.svelte.ts';
import { TrialEdits, type Keeper } from './edits.svelte.ts';
import { StrokeJudge } from './judge.svelte.ts';
import { MarkDesk } from './markdesk.svelte.ts';
import { ProposalDesk } from './proposals.svelte.ts';
import { SectionDesk } from './sectiondesk.svelte.ts';
import type { UnderReview } from './underreview.ts';

/** Marking that was turned on stays on from trial to trial. */
const KEPT = 'lanebench.marking';
const ON = 'on';

export class Marking {
  readonly edits: TrialEdits;
  readonly desk: MarkDesk;
  readonly judge: StrokeJudge;
  readonly proposals: ProposalDesk;
  readonly section: SectionDesk;
  readonly entry: EntryPointsDesk;
  #on = $state(localStorage.getItem(KEPT) === ON);

  constructor(review: UnderReview, keeper: Keeper) {
    this.edits = new TrialEdits(
      keeper,
      () => review.view,
      (view) => review.renew(view),
    );
    this.desk = new MarkDesk(review, this.edits);
    this.judge = new StrokeJudge(this.edits, () => this.desk.stroke);
    this.proposals = new ProposalDesk(review, this.edits, this.desk);
    this.section = new SectionDesk(
      this.edits,
      () => review.view.protocol,
      () => {
        const found = this.desk.spot;
        if (!found.ok) return found;
        const { timeS, stepS, words } = found.spot;
        return { ok: true, value: { timeS, stepS, from: words } };
      },
    );
    this.entry = new EntryPointsDesk(
      () => shownFrame(review),
      () => this.desk.stroke,
    );
  }

  get on(): boolean {
    return this.#on;
  }

  toggle(): void {
    this.#on = !this.#on;
    localStorage.setItem(KEPT, this.#on ? ON : '');
    this.entry.stop();
  }
}

function shownFrame({ playback }: UnderReview): ShownFrame | null {
  const { player, camera, frame } = playback;
  if (player === null || camera === null || frame === null || player.fault !== null) return null;
  const { widthPx, heightPx } = player.film;
  return { camera, frame, widthPx, heightPx };
}
