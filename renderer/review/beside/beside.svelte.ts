/**
 * A second film beside the first, in step with it: another camera of the trial by its own clock, or another trial of the
 * day, both from the start of their measured sections.
 */
import { untrack } from 'svelte';
import type { FilmS, TraceS } from '../../../core/base/units.ts';
import { toVideo } from '../../../core/clock/clock.ts';
import type { LabClient } from '../../../core/contract/contract.ts';
import type { DayView, FilmView, TrialView } from '../../../core/contract/views.ts';
import { filmUrl } from '../../client.ts';
import { Loaded } from '../../loaded.svelte.ts';
import { FilmPlayer } from '../film.svelte.ts';
import { frameAt } from '../frames.ts';
import type { Playback } from '../playback.svelte.ts';
import { openDecoder } from '../stills/decoder.ts';
import { startOf, type Start } from './start.ts';

/** Films that play may be this many frames apart before the second one is brought back. */
const DRIFT_FRAMES = 3;

type What = { readonly camera: string } | { readonly trial: string } | null;

interface Shown {
  readonly film: FilmView;
  readonly view: TrialView;
  readonly player: FilmPlayer;
}

/** What is needed of the trial that the second film goes beside. */
export interface Before {
  readonly view: TrialView;
  readonly playback: Playback;
}

export class BesideDesk {
  readonly #client: LabClient;
  readonly #before: Before;
  readonly day = new Loaded<DayView>();
  readonly other = new Loaded<TrialView>();
  #what = $state.raw<What>(null);
  #asksTrial = $state(false);
  #shown = $state.raw<Shown | null>(null);
  #plays = false;

  /** The other trial's start and this one's; null where the second film is of this trial. */
  readonly starts = $derived.by((): { readonly own: Start; readonly other: Start } | null => {
    const { view } = this.#before;
    const shown = this.#shown;
    if (shown === null || shown.view.trial === view.trial) return null;
    return { own: startOf(view), other: startOf(shown.view) };
  });
  /** Where the second film is, on its own clock, s; null where nothing ties it. */
  readonly filmS = $derived.by((): FilmS | null => {
    const clock = this.#shown?.film.clock ?? null;
    return clock === null ? null : toVideo(clock, this.#atS(this.#before.playback.cursorS));
  });
  /** The frame that belongs to the cursor; null outside the film. */
  readonly frame = $derived.by(() => {
    const shown = this.#shown;
    return shown === null || this.filmS === null ? null : frameAt(shown.film, this.filmS);
  });

  constructor(client: LabClient, before: Before) {
    this.#client = client;
    this.#before = before;
  }

  /** The second film; null where it is the one that is shown already. */
  get shown(): Shown | null {
    const { view, playback } = this.#before;
    const shown = this.#shown;
    const isTwice = shown?.view.trial === view.trial && shown.film.camera === playback.camera;
    return isTwice ? null : shown;
  }

  /** Whether another trial is to be named. */
  get asksTrial(): boolean {
    return this.#asksTrial;
  }

  /** What is chosen, as the value of a list: empty, `camera B`, or `trial`. */
  get choice(): string {
    if (this.#asksTrial) return 'trial';
    return this.shown !== null && this.#what !== null && 'camera' in this.#what
      ? `camera ${this.#what.camera}`
      : '';
  }

  /** Cameras of this trial that are not on the screen yet. */
  get cameras(): readonly string[] {
    const { view, playback } = this.#before;
    return view.films.map(({ camera }) => camera).filter((camera) => camera !== playback.camera);
  }

  choose(choice: string): void {
    this.#asksTrial = choice === 'trial';
    const camera = /^camera (.*)$/.exec(choice)?.[1];
    if (camera !== undefined) this.#show({ camera }, this.#before.view, camera);
    else this.#close();
    if (this.#asksTrial && this.day.value === null)
      void this.day.take(this.#client('days.get', { day: this.#before.view.dayId }));
  }

  /** Puts another trial's film beside this one's. */
  async chooseTrial(trial: string): Promise<void> {
    const day = this.#before.view.dayId;
    if (!(await this.other.take(this.#client('trials.get', { day, trial })))) return;
    const view = this.other.value!;
    const { camera } = this.#before.playback;
    const film = view.films.find((one) => one.camera === camera) ?? view.films[0];
    if (film === undefined) this.#close();
    else this.#show({ trial }, view, film.camera);
  }

  /** The next camera beside the film, then none. */
  turn(): void {
    const choices = ['', ...this.cameras.map((camera) => `camera ${camera}`)];
    this.choose(choices[(choices.indexOf(this.choice) + 1) % choices.length]!);
  }

  /** Follows the cursor: still at rest, and playing beside the first film within a few frames of it. */
  follow(): void {
    const { playing, rate } = this.#before.playback;
    const frame = this.frame;
    const player = this.#shown?.player ?? null;
    if (player === null) return;
    untrack(() => {
      if (frame === null) this.#rest();
      else if (!playing) {
        this.#rest();
        player.show(frame);
      } else {
        const apart = player.shown === null ? Infinity : Math.abs(player.shown - frame);
        if (!this.#plays || apart > DRIFT_FRAMES) player.show(frame);
        player.play(rate);
        this.#plays = true;
      }
    });
  }

  #rest(): void {
    if (this.#plays) this.#shown?.player.pause();
    this.#plays = false;
  }

  #show(what: What, view: TrialView, camera: string): void {
    this.#close();
    const film = view.films.find((one) => one.camera === camera)!;
    const stopped = () => (this.#plays = false);
    const open = () => openDecoder(filmUrl(view.dayId, view.trial, camera), film);
    this.#what = what;
    this.#shown = { film, view, player: new FilmPlayer(film, { played: () => undefined, stopped }, open) };
  }

  #close(): void {
    this.#rest();
    this.#what = null;
    this.#shown = null;
  }

  #atS(cursorS: TraceS): TraceS {
    const { starts } = this;
    return starts === null ? cursorS : cursorS - starts.own.timeS + starts.other.timeS;
  }
}
