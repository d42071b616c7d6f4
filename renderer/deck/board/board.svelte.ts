/** The board's state: whose verdict is on the screen, which trial is chosen, and the acts of the people on deck. */
import { untrack } from 'svelte';
import type { DeckAct, BoardTrial, FileTarget, TrialAnswer } from '../../../core/deck/deck.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
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
import { ANSWER_WORDS } from './boardwords.ts';

/** What opens over the board. */
export type Opened =
  | { readonly what: 'skip'; readonly trial: string }
  | { readonly what: 'add' }
  | { readonly what: 'swimmer'; readonly participant: string };

type Act = readonly [act: DeckAct, says: string];

/** A second press so soon after the one before is a bounce of a wet finger: it would end what has just begun. */
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
  #deafUntilMs = -Infinity;

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

  begin(): Promise<boolean> {
    const swim = this.#view === null ? null : trialToBegin(this.#view);
    return this.#press(swim, ({ trial }) => [{ act: 'trial.begin', trial }, `${trial} has begun.`]);
  }

  end(): Promise<boolean> {
    const swim = this.primary?.kind === 'end' ? this.primary.swim : null;
    return this.#press(swim, ({ trial }) => [{ act: 'trial.end', trial }, `${trial} has ended.`]);
  }

  /** Answers the verdict of a trial. */
  answer(trial: string, what: TrialAnswer, reason: string): Promise<boolean> {
    const swim = this.#view === null ? null : boardTrialOf(this.#view, trial);
    const says = `${trial}: ${ANSWER_WORDS[what].toLowerCase()}.`;
    return this.#press(swim, () => [{ act: 'trial.answer', trial, what, reason }, says]);
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

  note(kind: 'note' | 'incident', says: string): Promise<boolean> {
    const trial = this.noteTrial;
    const participant = (this.#view === null ? null : boardTrialOf(this.#view, trial))?.participant ?? null;
    const about = trial === null ? '' : ` on ${trial}`;
    return this.act(
      { act: 'note.add', kind, trial, participant, says },
      `${kind === 'note' ? 'Noted' : 'Incident noted'}${about}: ${says}`,
    );
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

  /** An act that a bounce must not repeat, nor turn into the one that follows it. */
  async #press(swim: BoardTrial | null, what: (swim: BoardTrial) => Act): Promise<boolean> {
    if (swim === null || performance.now() < this.#deafUntilMs) return false;
    this.#deafUntilMs = Infinity;
    try {
      const [act, says] = what(swim);
      return await this.act(act, says);
    } finally {
      this.#deafUntilMs = performance.now() + BOUNCE_MS;
    }
  }
}
