/**
 * The cursor, and what moves it. While a film plays the film is master and the cursor follows its frames; where there
 * is no film, or none at this moment, the clock moves it. All times s on the trial's clock.
 */
import type { FilmS, TraceS } from '../../core/base/units.ts';
import { toTrace, toVideo } from '../../core/clock/clock.ts';
import type { TrialView } from '../../core/contract/views.ts';
import type { Span } from '../plot/downsample.ts';
import { filmUrl } from '../client.ts';
import { FilmPlayer } from './film.svelte.ts';
import { frameAt } from './frames.ts';
import type { FrameLoop } from './frameloop.ts';
import { openDecoder } from './stills/decoder.ts';
import { neighbourSampleS, trialSpan } from './timeline.ts';

export const RATES = [0.1, 0.25, 0.5, 1, 2] as const;

/** A stretch that is played again and again. */
export interface Loop extends Span {
  readonly what: 'section' | 'stroke';
  readonly label: string;
}

/** A step where there is neither a frame nor a sample to step by, s. */
const PLAIN_STEP_S = 0.02;

export class Playback {
  readonly #view: () => TrialView;
  readonly #frames: FrameLoop;
  /** Called whenever the cursor moved by itself or was moved. */
  readonly #moved: (timeS: TraceS) => void;
  #cursorS = $state(0);
  #playing = $state(false);
  #rate = $state(1);
  #loop = $state.raw<Loop | null>(null);
  #camera = $state<string | null>(null);
  #player = $state.raw<FilmPlayer | null>(null);
  /** The film's own cursor while the two are apart. */
  #ownFrame = $state<number | null>(null);

  readonly #domain = $derived.by(() => trialSpan(this.#view()));
  readonly #clock = $derived.by(
    () => this.#view().films.find((film) => film.camera === this.#camera)?.clock ?? null,
  );

  constructor(view: () => TrialView, frames: FrameLoop, moved: (timeS: TraceS) => void) {
    this.#view = view;
    this.#frames = frames;
    this.#moved = moved;
    this.chooseCamera(view().films[0]?.camera ?? null);
  }

  get cursorS(): TraceS {
    return this.#cursorS;
  }

  get playing(): boolean {
    return this.#playing;
  }

  get rate(): number {
    return this.#rate;
  }

  get loop(): Loop | null {
    return this.#loop;
  }

  get domain(): Span {
    return this.#domain;
  }

  /** The film on the screen; null where the trial has none. */
  get player(): FilmPlayer | null {
    return this.#player;
  }

  get camera(): string | null {
    return this.#camera;
  }

  /** Whether the film's clock is tied to the trial's. */
  get tied(): boolean {
    return this.#clock !== null;
  }

  /** True while film and trace each keep a cursor of their own. */
  get apart(): boolean {
    return this.#ownFrame !== null;
  }

  /** The film's cursor on the film's clock, s; null where nothing ties the clocks. */
  get videoS(): FilmS | null {
    if (this.#ownFrame !== null) return this.#player?.film.frameTimesS[this.#ownFrame] ?? null;
    return this.#clock === null ? null : toVideo(this.#clock, this.#cursorS);
  }

  /** True while the picture is on its way to the frame that the cursor states; while it plays it is not waited for. */
  get settling(): boolean {
    return !this.#playing && this.#player?.busy === true;
  }

  /** The frame whose interval holds the cursor; null outside the film or without one. */
  get frame(): number | null {
    if (this.#ownFrame !== null) return this.#ownFrame;
    return this.#player === null || this.videoS === null ? null : frameAt(this.#player.film, this.videoS);
  }

  chooseCamera(camera: string | null): void {
    const { dayId, trial, films } = this.#view();
    const film = films.find((one) => one.camera === camera) ?? null;
    this.#camera = film?.camera ?? null;
    this.#player?.pause();
    this.#player =
      film === null
        ? null
        : new FilmPlayer(
            film,
            {
              played: (frame) => this.#follow(frame),
              stopped: (atEnd) => this.#filmStopped(atEnd),
            },
            () => openDecoder(filmUrl(dayId, trial, film.camera), film),
          );
    if (this.apart) {
      this.#playing = false;
      this.#ownFrame = null;
      this.part();
    } else this.#place(this.#cursorS);
  }

  /** Parts the film's cursor from the trace's, where there is a film with frames; `frame` is where it goes. */
  part(frame = this.frame ?? this.#player?.shown ?? 0): void {
    const frames = this.#player?.film.frameTimesS.length ?? 0;
    if (frames === 0 || this.#player!.fault !== null) return;
    this.pause();
    this.#ownFrame = Math.min(frames - 1, Math.max(0, frame));
    this.#player!.show(this.#ownFrame);
  }

  /** One cursor again: the film goes to where the trace's cursor is. */
  join(): void {
    this.pause();
    this.#ownFrame = null;
    this.#place(this.#cursorS);
  }

  /** Puts the cursor at a moment, held within what there is to show. Playing goes on from there. */
  moveTo(timeS: TraceS): void {
    this.#place(timeS);
    this.#moved(this.#cursorS);
  }

  play(): void {
    if (this.#playing) return;
    if (this.apart) {
      if (this.#ownFrame === this.#player!.film.frameTimesS.length - 1) this.part(0);
      this.#playing = true;
      this.#drive();
      return;
    }
    const { fromS, toS } = this.#loop ?? this.#domain;
    if (this.#cursorS >= toS || (this.#loop !== null && this.#cursorS < fromS)) this.moveTo(fromS);
    this.#playing = true;
    this.#drive();
  }

  pause(): void {
    if (!this.#playing) return;
    this.#playing = false;
    this.#frames.stop();
    this.#player?.pause();
    // The film may have run on since the last frame that was told: at rest the picture is the cursor's own.
    if (this.frame !== null) this.#player?.show(this.frame);
  }

  toggle(): void {
    if (this.#playing) this.pause();
    else this.play();
  }

  setRate(rate: number): void {
    this.#rate = rate;
    if (this.#playing) this.#drive();
  }

  /** The next faster (1) or slower (−1) rate. */
  changeRate(direction: 1 | -1): void {
    const index = RATES.indexOf(this.#rate as (typeof RATES)[number]) + direction;
    this.setRate(RATES[Math.min(RATES.length - 1, Math.max(0, index))]!);
  }

  setLoop(loop: Loop | null): void {
    this.#loop = loop;
    if (loop !== null && (this.#cursorS < loop.fromS || this.#cursorS > loop.toS)) this.moveTo(loop.fromS);
  }

  /** Some frames on or back; samples, or fiftieths of a second, where there is no frame. */
  stepFrame(steps: number): void {
    this.pause();
    const { frame } = this;
    if (this.apart) {
      this.part(frame! + steps);
      return;
    }
    const last = (this.#player?.film.frameTimesS.length ?? 0) - 1;
    const next = frame === null ? null : Math.min(last, Math.max(0, frame + steps));
    if (next !== null && next !== frame && this.#clock !== null) this.goToFrame(next);
    else for (let k = 0; k < Math.abs(steps); k++) this.stepSample(steps > 0 ? 1 : -1);
  }

  /** Goes to a frame of the film that is shown, the nearest that there is. */
  goToFrame(frame: number): void {
    const times = this.#player?.film.frameTimesS ?? [];
    const timeS = times[Math.min(times.length - 1, Math.max(0, Math.round(frame)))];
    if (timeS === undefined) return;
    this.pause();
    if (this.apart) this.part(frame);
    else if (this.#clock !== null) this.moveTo(toTrace(this.#clock, timeS));
  }

  /** One sample on or back; a fiftieth of a second where the trace has none there. */
  stepSample(direction: 1 | -1): void {
    this.pause();
    const sample = neighbourSampleS(this.#view(), this.#cursorS, direction);
    this.moveTo(sample ?? this.#cursorS + direction * PLAIN_STEP_S);
  }

  #place(timeS: TraceS): void {
    this.#cursorS = Math.min(this.#domain.toS, Math.max(this.#domain.fromS, timeS));
    const { frame } = this;
    if (this.apart) return;
    if (frame !== null) this.#player?.show(frame);
    if (this.#playing) this.#drive();
  }

  /** Decides who moves the cursor from here on: the film, or the clock. */
  #drive(): void {
    const player = this.#player;
    if (player !== null && this.frame !== null && player.fault === null) {
      this.#frames.stop();
      player.play(this.#rate);
    } else if (!this.#frames.ticking) {
      player?.pause();
      this.#frames.start((passedS) => this.#tick(passedS));
    }
  }

  #tick(passedS: number): void {
    this.#advance(this.#cursorS + passedS * this.#rate);
    if (this.#playing && this.frame !== null && this.#player?.fault === null) this.#place(this.#cursorS);
  }

  #follow(frame: number): void {
    if (this.#playing && this.apart) this.#ownFrame = frame;
    else if (this.#playing && this.#clock !== null)
      this.#advance(toTrace(this.#clock, this.#player!.film.frameTimesS[frame]!));
  }

  /** The cursor came to a moment by playing: round the loop, or to a stop at the end. */
  #advance(timeS: TraceS): void {
    if (this.#loop !== null && timeS >= this.#loop.toS) {
      this.moveTo(this.#loop.fromS);
      return;
    }
    this.#cursorS = Math.min(timeS, this.#domain.toS);
    this.#moved(this.#cursorS);
    if (timeS >= this.#domain.toS) this.pause();
  }

  #filmStopped(atEnd: boolean): void {
    if (!this.#playing) return;
    if (!atEnd || this.apart) {
      this.pause();
      return;
    }
    // The trace may go on where the film ends: the clock takes over just past the last frame.
    const clock = this.#clock;
    const film = this.#player!.film;
    const last = film.frameTimesS.at(-1);
    const endS =
      clock === null || last === undefined || this.#player!.fault !== null
        ? this.#cursorS
        : toTrace(clock, last + (film.frameIntervalS ?? 0));
    this.#advance(endS);
    if (this.#playing) this.#drive();
  }
}
