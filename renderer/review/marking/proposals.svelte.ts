/** Propulsion proposed from force by a rule on the screen: drawn as proposals until a person confirms or dismisses. */
import { SvelteSet } from 'svelte/reactivity';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import {
  DEFAULT_PROPULSION_RULE,
  proposePropulsion,
  type PropulsionRule,
} from '../../../core/force/propulsion.ts';
import type { MarkRow } from '../../../core/marking/words.ts';
import { isInSection } from '../../../core/stroke/stroke.ts';
import { counted } from '../../format.ts';
import type { TrialEdits } from './edits.svelte.ts';
import type { MarkDesk } from './markdesk.svelte.ts';
import { confirmed, isMarked, proposalKey, proposalWords, type Proposal } from './proposing.ts';
import { keep, kept } from './remembered.ts';
import type { UnderReview } from './underreview.ts';

const KEPT = 'lanebench.propulsion-rule';
/** Room left and right of the section when all in it are shown, as a share of its length. */
const MARGIN = 0.08;

export class ProposalDesk {
  readonly #review: UnderReview;
  readonly #edits: TrialEdits;
  readonly #desk: MarkDesk;
  #rule = $state.raw<PropulsionRule>(DEFAULT_PROPULSION_RULE);
  readonly #dismissed = new SvelteSet<string>();
  #chosenKey = $state<string | null>(null);
  /** Whether proposals are drawn. */
  #on = $state(false);
  #refusal = $state<string | null>(null);

  readonly #found = $derived.by(() => {
    const { samples, view } = this.#review;
    const ask = (hand: Hand) => {
      const values = samples[hand];
      return !this.#on || view.trace === null || values === null
        ? null
        : proposePropulsion(values, view.trace, this.#rule);
    };
    return { left: ask('left'), right: ask('right') };
  });
  /** What stands open: neither dismissed nor marked already, in order of time. */
  readonly open = $derived.by((): readonly Proposal[] =>
    HANDS.flatMap((hand) => {
      const found = this.#found[hand];
      if (found?.ok !== true) return [];
      const strokes = this.#desk.strokesOf(hand);
      return found.value
        .map((pulse): Proposal => ({ hand, ...pulse }))
        .filter((one) => !this.#dismissed.has(proposalKey(one)) && !isMarked(one, strokes));
    }).toSorted((a, b) => a.startS - b.startS),
  );
  readonly inSection = $derived.by(() => {
    const { section } = this.#edits;
    return section === null
      ? []
      : this.open.filter((one) => isInSection(one.startS, section) && isInSection(one.endS, section));
  });
  readonly chosen = $derived.by(() => this.open.find((one) => proposalKey(one) === this.#chosenKey) ?? null);
  /** Why a hand has none, by hand; null where it has some, or none are asked for. */
  readonly faults = $derived.by(() =>
    HANDS.flatMap((hand) => {
      const found = this.#found[hand];
      return found === null || found.ok ? [] : { hand, ...found.error };
    }),
  );

  constructor(review: UnderReview, edits: TrialEdits, desk: MarkDesk) {
    this.#review = review;
    this.#edits = edits;
    this.#desk = desk;
    this.#rule = kept(KEPT, DEFAULT_PROPULSION_RULE);
  }

  get on(): boolean {
    return this.#on;
  }

  get rule(): PropulsionRule {
    return this.#rule;
  }

  get dismissed(): number {
    return this.#dismissed.size;
  }

  /** Why the latest key did nothing; null where it did something. */
  get refusal(): string | null {
    return this.#refusal;
  }

  show(on: boolean): void {
    this.#on = on;
    this.#refusal = null;
  }

  setRule(name: keyof PropulsionRule, value: number): void {
    this.#rule = { ...this.#rule, [name]: value };
    keep(KEPT, this.#rule);
  }

  putBack(): void {
    this.#rule = DEFAULT_PROPULSION_RULE;
    keep(KEPT, this.#rule);
    this.#dismissed.clear();
  }

  choose(proposal: Proposal): void {
    this.#chosenKey = proposalKey(proposal);
    this.#refusal = null;
    this.#review.playback.moveTo(proposal.startS);
  }

  /** Chooses the next proposal (or the one before), from the chosen one or the cursor; draws them first. */
  step(direction: 1 | -1): void {
    this.show(true);
    const { chosen, open } = this;
    const { cursorS } = this.#review;
    const at = chosen === null ? -1 : open.indexOf(chosen);
    const to =
      at >= 0
        ? at + direction
        : direction === 1
          ? open.findIndex((one) => one.startS >= cursorS)
          : open.findLastIndex((one) => one.startS <= cursorS);
    const next = open[to];
    if (next === undefined)
      this.#refusal = open.length === 0 ? NONE_OPEN : 'There is no further proposal that way.';
    else this.choose(next);
  }

  /** Confirms the chosen proposal, or one of the list, if it is in sight; film and trace go on to the next. */
  take(proposal = this.chosen): void {
    if (proposal === null) this.#refusal = 'No proposal is chosen: go to one first.';
    else if (!this.#isSeen(proposal)) {
      this.choose(proposal);
      this.#refusal = 'That proposal was not in sight: look at it, then confirm it.';
    } else this.#confirm([proposal], `Propulsion confirmed from force: ${proposalWords(proposal)}`);
  }

  /** Confirms all proposals in the section, in one step. */
  takeAll(): void {
    const wasDrawn = this.#on;
    this.show(true);
    const { inSection } = this;
    if (this.#edits.section === null)
      this.#refusal = 'The section has no times yet: set its start and end first.';
    else if (inSection.length === 0) this.#refusal = 'No proposal is open in the section.';
    else if (!wasDrawn || !inSection.every((one) => this.#isSeen(one))) {
      const { startS, endS } = this.#edits.section;
      this.#review.plot.fit({ fromS: startS, toS: endS }, MARGIN);
      this.#refusal = `${counted(inSection.length, 'proposal')} in the section are drawn on the trace now: look at them, then confirm them with the same key.`;
    } else
      this.#confirm(inSection, `${counted(inSection.length, 'proposal')} of propulsion confirmed from force`);
  }

  dismiss(proposal = this.chosen): void {
    if (proposal === null) {
      this.#refusal = 'No proposal is chosen: go to one first.';
      return;
    }
    const next = this.open[this.open.indexOf(proposal) + 1] ?? null;
    this.#dismissed.add(proposalKey(proposal));
    this.#chosenKey = next === null ? null : proposalKey(next);
    this.#refusal = null;
  }

  #confirm(proposals: readonly Proposal[], says: string): void {
    const last = proposals.at(-1)!;
    const next = this.open.find((one) => one.startS > last.startS && !proposals.includes(one)) ?? null;
    const outcome = confirmed(this.#review.view, this.#edits.marks, this.#edits.judgements, proposals);
    this.#refusal = outcome.left.length === 0 ? null : outcome.left.join(' ');
    if (outcome.taken === 0) return;
    this.#edits.putMarks(outcome.rows as readonly MarkRow[], says);
    this.#chosenKey = null;
    if (next !== null && proposals.length === 1) this.choose(next);
  }

  /** Whether the whole of a proposal is drawn in the window of the trace. */
  #isSeen({ startS, endS }: Proposal): boolean {
    const { plot } = this.#review;
    return this.#on && plot.contains(startS) && plot.contains(endS);
  }
}

const NONE_OPEN = 'No proposal is open: all are confirmed or dismissed, or the rule finds none.';
