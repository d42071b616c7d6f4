/** Marking itself: the arm and the clock in hand, what each key would do now, and the mark that is chosen. */
import type { Hand } from '../../../core/base/hand.ts';
import { allowedInterval, type AllowedInterval } from '../../../core/marking/edit.ts';
import type { MarkRow } from '../../../core/marking/words.ts';
import { EVENTS, type EventName } from '../../../core/stroke/stroke.ts';
import {
  aimAt,
  moveFault,
  nextEvent,
  renumberFault,
  renumbered,
  strokeBegunBy,
  strokesOfHand,
  withMark,
  type Aim,
} from './aiming.ts';
import type { TrialEdits } from './edits.svelte.ts';
import { Advance } from './advance.svelte.ts';
import { expectedAfter, expectedFirst } from './expected.ts';
import { isTimed, markKey, markName, rowMarks, type TimedMark } from './placement.ts';
import { spotAtCursor } from './cursorspot.ts';
import { AT_CURSOR_S, NO_CHOICE, NO_PICTURE, NOTHING_EXPECTED, otherHand } from './deskwords.ts';
import { nearestSpot, spotBeside, type Found, type Spot } from './spots.ts';
import type { UnderReview } from './underreview.ts';

/** Where an event of a stroke may lie. */
interface Room {
  readonly hand: Hand;
  readonly stroke: number;
  readonly event: EventName;
  readonly interval: AllowedInterval;
}

export class MarkDesk {
  readonly #review: UnderReview;
  readonly #edits: TrialEdits;
  readonly advance: Advance;
  #arm = $state<Hand>('left');
  #clock = $state<'video' | 'trace'>('video');
  /** The event that is looked at, by hovering, by focus or by a key that could not act; null: the one to come. */
  #looked = $state<EventName | null>(null);
  #chosenKey = $state<string | null>(null);
  #refusal = $state<string | null>(null);
  /** Where the chosen mark is being dragged to, s on the trial's clock; null while it is not. */
  #dragS = $state<number | null>(null);
  /** Counts the wishes to type the chosen mark's time; the field takes the focus at each. */
  #timeAsked = $state(0);

  readonly marks = $derived.by(() => rowMarks(this.#review.view, this.#edits.marks));
  readonly #strokes = $derived.by(() => ({
    left: strokesOfHand(this.marks, 'left'),
    right: strokesOfHand(this.marks, 'right'),
  }));
  /** The frame or sample that a mark would go on now. */
  readonly spot = $derived.by((): Found => spotAtCursor(this.#review, this.#clock));
  readonly aims = $derived.by((): readonly Aim[] => {
    const timeS = this.spot.ok ? this.spot.spot.timeS : this.#review.cursorS;
    return EVENTS.map((event) => aimAt(this.#strokes[this.#arm], event, timeS));
  });
  /** The event that the trace shows the room of. */
  readonly aim = $derived.by((): Aim => {
    const event = this.#looked ?? nextEvent(this.aims, this.#strokes[this.#arm]);
    return this.aims.find((aim) => aim.event === event)!;
  });
  /** Where an event may lie, for the trace to show: that of the mark being dragged, else of the event looked at. */
  readonly room = $derived.by((): Room => {
    const { aim, chosen } = this;
    if (this.#dragS === null || chosen === null)
      return { hand: this.#arm, stroke: aim.stroke, event: aim.event, interval: aim.interval };
    const { hand, stroke, event } = chosen.row;
    return { hand, stroke, event, interval: allowedInterval(this.#strokes[hand], stroke, event) };
  });
  readonly chosen = $derived.by(() => this.marks.find(({ key }) => key === this.#chosenKey) ?? null);
  /** The stroke of the arm in hand that the cursor is in; null where the arm has none. */
  readonly stroke = $derived.by(() => {
    const number = strokeBegunBy(this.#strokes[this.#arm], this.#review.cursorS);
    return number === null ? null : { hand: this.#arm, stroke: number };
  });

  constructor(review: UnderReview, edits: TrialEdits) {
    this.#review = review;
    this.#edits = edits;
    this.advance = new Advance(review, () => this.#clock);
    const film = review.playback.player;
    if (film === null || film.film.fault !== null) this.#clock = 'trace';
  }

  get arm(): Hand {
    return this.#arm;
  }

  get clock(): 'video' | 'trace' {
    return this.#clock;
  }

  /** Why the latest key did nothing; null where it did something. */
  get refusal(): string | null {
    return this.#refusal;
  }

  get dragS(): number | null {
    return this.#dragS;
  }

  get timeAsked(): number {
    return this.#timeAsked;
  }

  strokesOf(hand: Hand) {
    return this.#strokes[hand];
  }

  chooseArm(arm: Hand): void {
    this.#arm = arm;
    this.#settle();
  }

  otherArm(): void {
    this.chooseArm(otherHand(this.#arm));
  }

  /** Goes to where the first event that the arm in hand lacks is expected. */
  goToExpected(): void {
    const arm = this.#arm;
    const next = expectedFirst(this.#strokes[arm], this.#strokes[otherHand(arm)]);
    if (next === null) this.#refusal = NOTHING_EXPECTED;
    else this.advance.goTo(next);
  }

  chooseClock(clock: 'video' | 'trace'): void {
    this.#clock = clock;
    this.#settle();
  }

  otherClock(): void {
    this.chooseClock(this.#clock === 'video' ? 'trace' : 'video');
  }

  /** Looks at an event: its room is shown on the trace; null goes back to the one to come. */
  look(event: EventName | null): void {
    this.#looked = event;
  }

  /**
   * Marks an event of the arm in hand on the frame or sample at the cursor. A film that plays is paused first, and a
   * mark waits until the picture is that of the stated frame.
   */
  place(event: EventName): void {
    const { playback, turns } = this.#review;
    playback.pause();
    const { player } = playback;
    if (this.#clock === 'trace' || player === null || !playback.settling) this.#place(event);
    else
      turns.hold(
        player.settled().then((settled) => {
          if (settled) this.#place(event);
          else this.#refusal = NO_PICTURE;
        }),
      );
  }

  #place(event: EventName): void {
    const found = this.spot;
    const aim = this.aims.find((one) => one.event === event)!;
    if (!found.ok || !aim.isPossible) {
      this.#looked = event;
      this.#refusal = found.ok ? aim.says : found.says;
      return;
    }
    const { spot } = found;
    const hand = this.#arm;
    const fault = renumberFault(this.#edits.judgements, hand, aim.renumber);
    if (fault !== null) {
      this.#refusal = fault;
      return;
    }
    const row = rowAt({ hand, stroke: aim.stroke, event }, spot);
    const says = `${markName(row)}, on ${spot.words}`;
    const rows = withMark(renumbered(this.#edits.marks, hand, aim.renumber), row);
    this.#edits.putMarks(rows, aim.replaces ? `${markName(row)} moved to ${spot.words}` : says);
    this.#chosenKey = markKey(row);
    this.#settle();
    if (this.advance.on)
      this.advance.goTo(expectedAfter(this.#strokes[hand], this.#strokes[otherHand(hand)], row));
  }

  choose(key: string | null): void {
    this.#chosenKey = key;
    this.#settle();
    const { chosen } = this;
    if (chosen === null) return;
    this.#arm = chosen.row.hand;
    if (chosen.timeS !== null) this.#review.playback.moveTo(chosen.timeS);
  }

  /** Chooses the next mark in time (or the one before) from the cursor. */
  chooseNext(direction: 1 | -1): void {
    const timed = this.marks.filter(isTimed);
    const { cursorS } = this.#review;
    const at = timed.findIndex(
      ({ key, timeS }) => key === this.#chosenKey && Math.abs(timeS - cursorS) < AT_CURSOR_S,
    );
    const from =
      at >= 0
        ? at + direction
        : direction === 1
          ? timed.findIndex(({ timeS }) => timeS >= cursorS)
          : timed.findLastIndex(({ timeS }) => timeS <= cursorS);
    const next = timed[from];
    if (next !== undefined) this.choose(next.key);
  }

  /** Moves the chosen mark by frames or samples of its own clock. */
  nudge(steps: number): void {
    const { chosen } = this;
    if (chosen === null) this.#refusal = NO_CHOICE;
    else this.#moveTo(spotBeside(this.#review.view, chosen.row, chosen.row.timeS, steps));
  }

  /** Puts the chosen mark on the frame or sample nearest to a moment on the trial's clock, s. */
  moveChosenTo(timeS: number): void {
    const { chosen } = this;
    if (chosen !== null) this.#moveTo(nearestSpot(this.#review.view, chosen.row, timeS));
  }

  /** Puts the chosen mark on the frame or sample nearest to a moment on its own clock, s. */
  typeTime(ownS: number): void {
    const { chosen } = this;
    if (chosen !== null) this.#moveTo(spotBeside(this.#review.view, chosen.row, ownS, 0));
  }

  askTime(): void {
    if (this.chosen === null) this.#refusal = NO_CHOICE;
    else this.#timeAsked += 1;
  }

  /** Calls the chosen mark unsure, or sure again. */
  turnUnsure(): void {
    const { chosen } = this;
    if (chosen === null) {
      this.#refusal = NO_CHOICE;
      return;
    }
    const { unsure, ...sure } = chosen.row;
    const row: MarkRow = unsure === true ? sure : { ...sure, unsure: true };
    const says = `${markName(row)} ${unsure === true ? 'sure again' : 'unsure'}`;
    this.#edits.putMarks(withMark(this.#edits.marks, row), says);
    this.#refusal = null;
  }

  remove(): void {
    const { chosen } = this;
    if (chosen === null) {
      this.#refusal = NO_CHOICE;
      return;
    }
    const rows = this.#edits.marks.filter((row) => markKey(row) !== chosen.key);
    this.#edits.putMarks(rows, `${markName(chosen.row)} removed`);
    this.#chosenKey = null;
    this.#settle();
  }

  /** Drags the chosen mark: shows where it would go, and why it cannot where it cannot. */
  dragTo(timeS: number): void {
    const { chosen } = this;
    if (chosen === null || !isTimed(chosen)) return;
    const found = nearestSpot(this.#review.view, chosen.row, timeS);
    this.#dragS = found.ok ? found.spot.timeS : timeS;
    // Film and trace follow, so that it is seen where the mark would go.
    if (found.ok) this.#review.playback.moveTo(found.spot.timeS);
    this.#refusal = found.ok ? this.#moveFault(chosen, found.spot) : found.says;
  }

  /** Ends a drag: puts the mark there, or lets it lie where it was. */
  drop(keep: boolean): void {
    const { chosen } = this;
    const timeS = this.#dragS;
    this.#dragS = null;
    if (keep && timeS !== null && chosen !== null) this.moveChosenTo(timeS);
    else {
      this.#refusal = null;
      if (chosen !== null && isTimed(chosen)) this.#review.playback.moveTo(chosen.timeS);
    }
  }

  #moveTo(found: Found): void {
    const { chosen } = this;
    if (chosen === null) return;
    const fault = !found.ok ? found.says : isTimed(chosen) ? this.#moveFault(chosen, found.spot) : null;
    this.#refusal = fault;
    if (!found.ok || fault !== null) return;
    const row = { ...rowAt(chosen.row, found.spot), ...(chosen.row.unsure ? { unsure: true as const } : {}) };
    if (row.timeS !== chosen.row.timeS)
      this.#edits.putMarks(withMark(this.#edits.marks, row), `${markName(row)} moved to ${found.spot.words}`);
    this.#review.playback.pause();
    this.#review.playback.moveTo(found.spot.timeS);
  }

  #moveFault(mark: TimedMark, spot: Spot): string | null {
    return moveFault(this.#strokes[mark.row.hand], mark, spot.timeS);
  }

  #settle(): void {
    this.#looked = null;
    this.#refusal = null;
  }
}

function rowAt(name: Pick<MarkRow, 'hand' | 'stroke' | 'event'>, { clock, camera, ownS }: Spot): MarkRow {
  const { hand, stroke, event } = name;
  return { hand, stroke, event, timeS: ownS, clock, camera, uS: null, sharedUS: null };
}
