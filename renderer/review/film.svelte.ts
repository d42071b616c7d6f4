/** A film on the screen: shows the frame it is asked for, and says which frame is shown while it plays. */
import { codecFault } from '../../core/arrival/codec.ts';
import type { FilmView } from '../../core/contract/views.ts';
import { frameAt, middleOfFrameS, nearestFrame } from './frames.ts';
import { SeekQueue } from './seekqueue.ts';

interface Listener {
  /** A frame came on the screen while the film plays. */
  readonly played: (frame: number) => void;
  /** The film came to its end, or was stopped by the browser. */
  readonly stopped: (atEnd: boolean) => void;
}

export class FilmPlayer {
  readonly film: FilmView;
  readonly #listener: Listener;
  readonly #seeks = new SeekQueue((frame) => this.#seek(frame));
  #video: HTMLVideoElement | null = null;
  #wanted: number | null = null;
  #playing = false;
  #shown = $state<number | null>(null);
  #busy = $state(false);
  #fault = $state<string | null>(null);

  constructor(film: FilmView, listener: Listener) {
    this.film = film;
    this.#listener = listener;
  }

  /** The frame on the screen; null before the first one came. */
  get shown(): number | null {
    return this.#shown;
  }

  /** True while the picture is on its way to the frame that was asked for. */
  get busy(): boolean {
    return this.#busy;
  }

  /** Why the film cannot be shown, as a sentence; null where it can. */
  get fault(): string | null {
    return this.film.fault ?? this.#fault;
  }

  /** Takes a video element into its care; the returned function lets it go. */
  readonly attach = (video: HTMLVideoElement): (() => void) => {
    this.#video = video;
    const over = new AbortController();
    const on = (type: string, run: () => void) => video.addEventListener(type, run, { signal: over.signal });
    on('loadedmetadata', () => this.#resume());
    on('seeked', () => this.#arrived());
    on('ended', () => this.#stopped(true));
    on('pause', () => this.#stopped(false));
    on('error', () => this.#failed());
    let handle = 0;
    const watch = () => {
      handle = video.requestVideoFrameCallback((_now, { mediaTime }) => {
        this.#presented(mediaTime);
        watch();
      });
    };
    watch();
    return () => {
      over.abort();
      video.cancelVideoFrameCallback(handle);
      video.pause();
      this.#seeks.clear();
      this.#video = null;
      this.#playing = false;
    };
  };

  /** Shows a frame, as soon as the seek before it is over. */
  show(frame: number): void {
    this.#wanted = frame;
    if (!this.#ready()) return;
    if (frame === this.#shown && !this.#seeks.busy && !this.#playing) return;
    this.#busy = true;
    this.#seeks.want(frame);
  }

  /** Plays on from the frame last asked for. */
  play(rate: number): void {
    const video = this.#video;
    if (video === null || this.fault !== null) return;
    video.playbackRate = rate;
    if (this.#playing) return;
    this.#playing = true;
    // A play that is cut short by a pause is no failure; one that cannot start shows as a pause.
    video.play().catch(() => this.#stopped(false));
  }

  pause(): void {
    this.#playing = false;
    this.#video?.pause();
  }

  /** True once the film can be sought in; while it seeks it has no more than its metadata. */
  #ready(): boolean {
    return (
      this.#video !== null && this.#video.readyState >= HTMLMediaElement.HAVE_METADATA && this.fault === null
    );
  }

  #resume(): void {
    this.#fault = null;
    if (this.#wanted !== null) this.show(this.#wanted);
  }

  #seek(frame: number): void {
    this.#video!.currentTime = middleOfFrameS(this.film, frame);
  }

  #arrived(): void {
    if (this.#video === null) return;
    this.#shown = frameAt(this.film, this.#video.currentTime) ?? this.#shown;
    this.#seeks.arrived();
    this.#busy = this.#seeks.busy;
  }

  #presented(mediaTimeS: number): void {
    // While a seek is outstanding a late frame of the place before it may still come by.
    if (this.#seeks.busy) return;
    this.#shown = nearestFrame(this.film, mediaTimeS);
    if (this.#playing && this.#shown !== null) this.#listener.played(this.#shown);
    // A frame that was already on its way when the film was paused: back to the one asked for.
    if (!this.#playing && this.#wanted !== null && this.#shown !== this.#wanted) this.show(this.#wanted);
  }

  #stopped(atEnd: boolean): void {
    if (!this.#playing || (this.#video?.ended === true && !atEnd)) return;
    this.#playing = false;
    this.#listener.stopped(atEnd);
  }

  #failed(): void {
    const { file, codec } = this.film;
    const base = file.replace(/^.*[\\/]/, '');
    this.#fault =
      codecFault(file, codec) ??
      `${file} cannot be played here (${codec}): it may be damaged or cut off. Copy it from the camera again, or save what is whole of it: ffmpeg -i "${base}" -c:v libx264 -crf 18 -pix_fmt yuv420p -fps_mode passthrough "whole-${base.replace(/\.[^.]*$/, '')}.mp4" and name that file in the day’s table. Everything but the picture still works.`;
    this.#seeks.clear();
    this.#busy = false;
    this.#stopped(true);
  }
}
