/** The board's state: whose verdict is on the screen, which trial is chosen, and the acts of the people on deck. */
import { untrack } from 'svelte';
import type { DeckAct, FileTarget, TrialAnswer } from '../../../core/deck/deck.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import { latestStop } from '../../../core/deck/stopped.ts';
import type { FileView } from '../../../core/deck/views.ts';
import type { DeckDesk } from '../deckdesk.svelte.ts';
import {
  moveTarget,
  plannedTrials,
  primaryOf,
  boardTrialOf,
  trialToBegin,
  trialToAnswer,
  trialToNote,
  type Primary,
} from './boardrules.ts';
import { ANSWER_WORDS, ONE_TAP_NOTES } from './boardwords.ts';

/** What opens over the board. */
export type Opened =
  | { readonly what: 'skip'; readonly trial: string }
  | { readonly what: 'add' }
  | { readonly what: 'clear'; readonly trial: string }
  | { readonly what: 'swimmer'; readonly participant: string };

type Act = readonly [act: DeckAct, says: string];

/** Beginning and ending a trial where one button does both. */
const TURN = 'turn';

/** By what a trial is begun and ended: one button that changes under the finger, or a key of each. */
type By = 'button' | 'key';

/** A second press of the same thing so soon after the one before is a bounce of a wet finger. */
const BOUNCE_MS = 600;

export class BoardDesk {
  readonly deck: DeckDesk;
  /** The trial whose verdict was on the screen before. */
  #before = $state<string | null>(null);
  /** A trial that a person opened to look at. */
  #lookedAt = $state<string | null>(null);
  #chosen = $state<string | null>(null);
  #opened = $state.raw<Opened | null>(null);
  /** Acts that are on their way to the lab, one after the other. */
  #underWay = $state(0);
  #latest: Promise<boolean> = Promise.resolve(true);
  /** Until when a press of each thing is passed over, ms; beginning and ending by button are one. */
  readonly #deafUntilMs: Partial<Record<string, number>> = {};

  readonly #view = $derived.by(() => this.deck.value);
  /** The trial that waits for its answer. */
  readonly #waiting = $derived.by(() =>
    this.#view === null ? null : trialToAnswer(this.#view, this.#before),
  );
  readonly primary = $derived.by<Primary | null>(() =>
    this.#view === null ? null : primaryOf(this.#view, this.shown),
  );

  /** To be made while a component is set up. */
  constructor(deck: DeckDesk) {
    this.deck = deck;
    $effect(() => {
      const waiting = this.#waiting;
      untrack(() => (this.#before = waiting));
    });
  }

  get view(): DeckView | null {
    return this.#view;
  }

  /** The trial whose verdict is on the screen; null where none is. */
  get shown(): string | null {
    const looked = this.#view === null ? null : boardTrialOf(this.#view, this.#lookedAt);
    return looked?.state === 'swum' ? looked.trial : this.#waiting;
  }

  /** True where the verdict on the screen is there because a person opened it. */
  get looksBack(): boolean {
    return this.shown !== this.#waiting;
  }

  /** The trial a note is about. */
  get noteTrial(): string | null {
    return this.#view === null ? null : trialToNote(this.#view, this.shown);
  }

  /** The trial whose buttons are shown in the order. */
  get chosen(): string | null {
    return this.#chosen;
  }

  get opened(): Opened | null {
    return this.#opened;
  }

  /** True while an act is on its way to the lab. */
  get busy(): boolean {
    return this.#underWay > 0;
  }

  choose(trial: string): void {
    this.#chosen = this.#chosen === trial ? null : trial;
  }

  lookAt(trial: string | null): void {
    this.#lookedAt = trial;
  }

  open(what: Opened): void {
    this.deck.forgetProblem();
    this.#opened = what;
  }

  /** What closes the dialog that is open now, and none that is opened after it: a dialog tells late of its close. */
  closer(): () => void {
    const mine = this.#opened;
    return () => {
      if (this.#opened === mine) this.#opened = null;
    };
  }

  /** Begins the trial that is on; of a swimmer who was stopped before, who decides is asked first. */
  async begin(clearedBy: string | null = null, by: By = 'button'): Promise<boolean> {
    const swim = this.#view === null ? null : trialToBegin(this.#view);
    if (swim !== null && clearedBy === null && latestStop(this.#view!.board, swim.participant) !== null) {
      this.open({ what: 'clear', trial: swim.trial });
      return false;
    }
    const cleared = clearedBy === null ? {} : { clearedBy };
    return this.#press(by === 'key' ? 'begin' : TURN, () =>
      swim === null
        ? null
        : [{ act: 'trial.begin', trial: swim.trial, ...cleared }, `${swim.trial} has begun.`],
    );
  }

  /** Ends the trial that is swum once all that was asked for before is done: its begin may still be on its way. */
  end(by: By = 'button'): Promise<boolean> {
    return this.#press(by === 'key' ? 'end' : TURN, () => {
      if (this.primary?.kind !== 'end') return null;
      const { trial } = this.primary.swim;
      return [{ act: 'trial.end', trial }, `${trial} has ended.`];
    });
  }

  /** Answers the verdict of a trial. */
  answer(trial: string, what: TrialAnswer, reason: string): Promise<boolean> {
    const swim = this.#view === null ? null : boardTrialOf(this.#view, trial);
    const says = `${trial}: ${ANSWER_WORDS[what].toLowerCase()}.`;
    return this.#press(`answer ${trial} ${what}`, () =>
      swim === null ? null : [{ act: 'trial.answer', trial, what, reason }, says],
    );
  }

  async skip(trial: string, why: string): Promise<boolean> {
    const close = this.closer();
    const taken = await this.act({ act: 'trial.skip', trial, why }, `${trial} is skipped.`);
    if (taken) close();
    return taken;
  }

  putBack(trial: string): Promise<boolean> {
    return this.act({ act: 'trial.unskip', trial }, `${trial} is next again.`);
  }

  /** Moves a planned trial by one place. */
  move(trial: string, way: 'up' | 'down'): Promise<boolean> {
    const says = `${trial} is one place ${way === 'up' ? 'earlier' : 'later'}.`;
    return this.#inTurn(() => {
      const before = this.#view === null ? undefined : moveTarget(this.#view, trial, way);
      return before === undefined ? null : [{ act: 'trial.move', trial, before }, says];
    });
  }

  /** Moves a planned trial before all others. */
  moveFirst(trial: string): Promise<boolean> {
    return this.#inTurn(() => {
      const first = this.#view === null ? undefined : plannedTrials(this.#view)[0];
      if (first === undefined || first.trial === trial) return null;
      return [{ act: 'trial.move', trial, before: first.trial }, `${trial} is the first to be swum.`];
    });
  }

  async addTrial(participant: string, condition: string | null): Promise<boolean> {
    const close = this.closer();
    const says = `A trial of ${participant} is added at the end.`;
    const taken = await this.act({ act: 'trial.add', participant, condition }, says);
    if (taken) close();
    return taken;
  }

  async withdraw(participant: string): Promise<boolean> {
    const close = this.closer();
    const says = 'The swimmer is withdrawn; all of their data is hidden.';
    const taken = await this.act({ act: 'swimmer.withdraw', participant }, says);
    if (taken) close();
    return taken;
  }

  /** Notes something on the trial that is on once all that was asked for before is done. */
  note(kind: 'note' | 'incident', says: string): Promise<boolean> {
    return this.#inTurn(() => {
      const trial = this.noteTrial;
      const participant = (this.#view === null ? null : boardTrialOf(this.#view, trial))?.participant ?? null;
      const about = trial === null ? '' : ` on ${trial}`;
      const told = `${kind === 'note' ? 'Noted' : 'Incident noted'}${about}: ${says}`;
      return [{ act: 'note.add', kind, trial, participant, says }, told];
    });
  }

  /** Stops the trial that is swum, or was swum last, at once; `says` is what stopped the swimmer. */
  stop(says: string): Promise<boolean> {
    const trial = this.noteTrial;
    const swim = this.#view === null ? null : boardTrialOf(this.#view, trial);
    if (swim === null || (swim.state !== 'swimming' && swim.state !== 'swum'))
      return this.note('incident', `Stopped: ${says}`);
    return this.act({ act: 'trial.stop', trial: swim.trial, says }, `${swim.trial} is stopped: ${says}.`);
  }

  /** A swimmer swims no more today; the data stay. */
  async rest(participant: string, why: string): Promise<boolean> {
    const close = this.closer();
    const says = `${participant} stops for today; the data stay.`;
    const taken = await this.act({ act: 'trial.rest', participant, why }, says);
    if (taken) close();
    return taken;
  }

  async letReturn(participant: string, clearedBy: string): Promise<boolean> {
    const close = this.closer();
    const says = `${participant} swims on today.`;
    const taken = await this.act({ act: 'trial.return', participant, clearedBy }, says);
    if (taken) close();
    return taken;
  }

  /** One tap: notes what is often noted, or stops the trial. */
  tap({ kind, says }: (typeof ONE_TAP_NOTES)[number]): Promise<boolean> {
    return kind === 'stop' ? this.stop(says.replace(/^Stopped: /, '')) : this.note(kind, says);
  }

  give(file: FileView, to: FileTarget): Promise<boolean> {
    return this.act({ act: 'file.give', file: file.id, to, why: '' }, `${file.name} belongs to ${to.trial}.`);
  }

  /** Stops a file on its way in, or takes a stopped one after all. */
  take(name: string, take: boolean): Promise<boolean> {
    const { deck } = this;
    return deck.take(
      deck.client('deck.file', { day: deck.id, name, take }),
      take ? `${name} is taken after all.` : `${name} is stopped; it stays in the watched folder.`,
    );
  }

  act(act: DeckAct, says: string): Promise<boolean> {
    return this.#inTurn(() => [act, says]);
  }

  /** Does an act once the ones before it are done: none is lost, and each sees what the one before made of the day. */
  #inTurn(what: () => Act | null): Promise<boolean> {
    const done = this.#latest.then(async () => {
      const act = what();
      return act !== null && (await this.deck.act(act[0], act[1]));
    });
    this.#underWay += 1;
    this.#latest = done.finally(() => (this.#underWay -= 1)).catch(() => false);
    return done;
  }

  /**
   * An act that a bounce must not repeat, nor turn into the one that follows it under the same button. Where there is
   * nothing to do, the next press counts.
   */
  async #press(what: string, find: () => Act | null): Promise<boolean> {
    const deaf = this.#deafUntilMs;
    if (performance.now() < (deaf[what] ?? -Infinity)) return false;
    deaf[what] = Infinity;
    let asked = false;
    try {
      return await this.#inTurn(() => {
        const act = find();
        asked = act !== null;
        return act;
      });
    } finally {
      deaf[what] = asked ? performance.now() + BOUNCE_MS : -Infinity;
    }
  }
}
