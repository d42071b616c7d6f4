/**
 * A film on the screen. At rest the picture is the decoded frame that was asked for, drawn over the film element; where
 * it cannot be decoded so, the element is sought until it says itself that it shows that frame. The element plays.
 */
import { untrack } from 'svelte';
import { codecFault } from '../../core/arrival/codec.ts';
import type { FilmView } from '../../core/contract/views.ts';
import { frameAt, middleOfFrameS, nearestFrame } from './frames.ts';
import { SeekQueue } from './seekqueue.ts';
import { Sought } from './stills/sought.ts';
import { Stills, type StillSource } from './stills/stills.ts';

interface Listener {
  /** A frame came on the screen while the film plays. */
  readonly played: (frame: number) => void;
  /** The film came to its end, or was stopped by the browser. */
  readonly stopped: (atEnd: boolean) => void;
}

/** A decoder that has not given the frame by then is not waited for any longer, ms. */
const DECODER_MS = 15_000;

export class FilmPlayer {
  readonly film: FilmView;
  readonly #listener: Listener;
  readonly #open: () => Promise<StillSource | null> | null;
  /** Seeks while it plays. */
  readonly #seeks = new SeekQueue((frame) => this.#seek(frame));
  readonly #sought: Sought;
  /** Decoded frames; undefined while the film is being opened, null where they are sought instead. */
  #stills: Stills | null | undefined = null;
  #video: HTMLVideoElement | null = null;
  #canvas: HTMLCanvasElement | null = null;
  #late: ReturnType<typeof setTimeout> | undefined;
  #waiting: ((settled: boolean) => void)[] = [];
  #wanted: number | null = null;
  #playing = false;
  #shown = $state<number | null>(null);
  #busy = $state(false);
  #covered = $state(false);
  #fault = $state<string | null>(null);

  /** @param open opens the film for decoding single frames; null where that cannot be done */
  constructor(film: FilmView, listener: Listener, open: () => Promise<StillSource | null> | null) {
    this.film = film;
    this.#listener = listener;
    this.#open = open;
    this.#sought = new Sought(film, {
      settled: (frame) => this.#settle(frame),
      unsettled: () => (this.#busy = true),
      stuck: () => this.#tell(false),
    });
  }

  /** The frame on the screen; null before the first one came. */
  get shown(): number | null {
    return this.#shown;
  }

  /** True while the picture is on its way to the frame that was asked for. */
  get busy(): boolean {
    return this.#busy;
  }

  /** Whether a decoded frame lies over the film element. */
  get covered(): boolean {
    return this.#covered;
  }

  /** Why the film cannot be shown, as a sentence; null where it can. */
  get fault(): string | null {
    return this.film.fault ?? this.#fault;
  }

  /** Comes true as soon as the picture is that of the frame asked for; false where it cannot be shown. */
  settled(): Promise<boolean> {
    if (!this.#busy) return Promise.resolve(this.fault === null);
    return new Promise((resolve) => this.#waiting.push(resolve));
  }

  /** Takes a video element into its care; the returned function lets it go. */
  readonly attach = (video: HTMLVideoElement): (() => void) => untrack(() => this.#attach(video));

  #attach(video: HTMLVideoElement): () => void {
    this.#video = video;
    this.#sought.attach(video);
    const over = new AbortController();
    const on = (type: string, run: () => void) => video.addEventListener(type, run, { signal: over.signal });
    on('loadedmetadata', () => this.#resume());
    on('seeked', () => this.#arrived());
    on('ended', () => this.#stopped(true));
    on('pause', () => this.#paused());
    on('error', () => this.#failed());
    let handle = 0;
    const watch = () => {
      handle = video.requestVideoFrameCallback((_now, { mediaTime }) => {
        this.#presented(mediaTime);
        watch();
      });
    };
    watch();
    const opening = this.film.fault === null ? this.#open() : null;
    if (opening !== null) void this.#openStills(opening, over.signal);
    return () => {
      over.abort();
      video.cancelVideoFrameCallback(handle);
      video.pause();
      this.#seeks.clear();
      this.#sought.attach(null);
      this.#stills?.close();
      this.#stills = null;
      this.#video = null;
      this.#playing = false;
      this.#covered = false;
      this.#calm(false);
    };
  }

  /** Takes the canvas that lies over the film element into its care. */
  readonly attachStill = (canvas: HTMLCanvasElement): (() => void) => {
    this.#canvas = canvas;
    untrack(() => this.#place());
    return () => (this.#canvas = null);
  };

  /** Shows a frame. While it plays it goes on from there. */
  show(frame: number): void {
    this.#wanted = frame;
    if (this.#playing) this.#seeks.want(frame);
    else this.#place();
  }

  /** Plays on from the frame last asked for. */
  play(rate: number): void {
    const video = this.#video;
    if (video === null || this.fault !== null) return;
    video.playbackRate = rate;
    if (this.#playing) return;
    this.#playing = true;
    this.#sought.forget();
    this.#calm(false);
    if (this.#wanted !== null) this.#seeks.want(this.#wanted);
    // A play that is cut short by a pause is no failure; one that cannot start shows as a pause.
    video.play().catch(() => this.#stopped(false));
  }

  pause(): void {
    this.#playing = false;
    this.#seeks.clear();
    this.#video?.pause();
  }

  async #openStills(opening: Promise<StillSource | null>, closed: AbortSignal): Promise<void> {
    this.#stills = undefined;
    const source = await opening;
    if (closed.aborted) {
      source?.close();
      return;
    }
    const { frameTimesS, widthPx, heightPx } = this.film;
    this.#stills =
      source &&
      new Stills(source, {
        count: frameTimesS.length,
        widthPx,
        heightPx,
        onWanted: () => this.#place(),
        onFault: () => this.#seekInstead(),
      });
    this.#place();
  }

  /** Brings the frame that is asked for to the screen, while the film stands still. */
  #place(): void {
    const frame = this.#wanted;
    if (frame === null || this.#playing || this.#video === null || this.fault !== null) return;
    clearTimeout(this.#late);
    this.#busy = true;
    if (this.#stills === undefined) return;
    if (this.#stills === null) {
      this.#covered = false;
      if (this.#video.readyState >= HTMLMediaElement.HAVE_METADATA) this.#sought.want(frame);
      return;
    }
    const picture = this.#stills.want(frame);
    if (picture === null) this.#late = setTimeout(() => this.#seekInstead(), DECODER_MS);
    else if (this.#canvas !== null) {
      this.#draw(this.#canvas, picture);
      this.#settle(frame);
    }
  }

  #draw(canvas: HTMLCanvasElement, picture: ImageBitmap): void {
    canvas.width = picture.width;
    canvas.height = picture.height;
    canvas.getContext('2d')!.drawImage(picture, 0, 0);
    this.#covered = true;
  }

  /** The film cannot be decoded frame by frame after all. */
  #seekInstead(): void {
    this.#stills?.close();
    this.#stills = null;
    this.#place();
  }

  #settle(frame: number): void {
    this.#shown = frame;
    // A film that plays by its own controls goes where it likes once it has said what it shows.
    if (this.#wanted === null) this.#sought.forget();
    this.#calm(true);
  }

  /** Nothing is waited for any more. */
  #calm(settled: boolean): void {
    clearTimeout(this.#late);
    this.#busy = false;
    this.#tell(settled);
  }

  #tell(settled: boolean): void {
    const waiting = this.#waiting;
    this.#waiting = [];
    for (const tell of waiting) tell(settled);
  }

  #resume(): void {
    this.#fault = null;
    this.#place();
  }

  #seek(frame: number): void {
    this.#video!.currentTime = middleOfFrameS(this.film, frame);
  }

  #arrived(): void {
    if (this.#playing) this.#seeks.arrived();
    else if (this.#busy) this.#sought.arrived();
    else if (this.#wanted === null) this.#askWhatIsShown();
  }

  #presented(mediaTimeS: number): void {
    const frame = nearestFrame(this.film, mediaTimeS);
    if (frame === null) return;
    if (!this.#playing) {
      if (this.#covered) return;
      this.#shown = frame;
      this.#sought.presented(frame);
      return;
    }
    // While a seek is outstanding a late frame of the place before it may still come by.
    if (this.#seeks.busy) return;
    this.#covered = false;
    this.#shown = frame;
    this.#listener.played(frame);
  }

  #paused(): void {
    // The word of a pause may come after the film plays again.
    if (this.#playing && this.#video?.paused === true) this.#stopped(false);
    else if (this.#wanted === null) this.#askWhatIsShown();
  }

  /** After the film's own controls were used: the frame it rests on, by its own word. */
  #askWhatIsShown(): void {
    const frame = this.#video === null ? null : frameAt(this.film, this.#video.currentTime);
    if (frame !== null && this.#video!.paused) this.#sought.want(frame);
  }

  #stopped(atEnd: boolean): void {
    if (!this.#playing || (this.#video?.ended === true && !atEnd)) return;
    this.#playing = false;
    this.#seeks.clear();
    this.#listener.stopped(atEnd);
  }

  #failed(): void {
    const { file, codec } = this.film;
    const base = file.replace(/^.*[\\/]/, '');
    this.#fault =
      codecFault(file, codec) ??
      `${file} cannot be played here (${codec}): it may be damaged or cut off. Copy it from the camera again, or save what is whole of it: ffmpeg -i "${base}" -c:v libx264 -crf 18 -pix_fmt yuv420p -fps_mode passthrough "whole-${base.replace(/\.[^.]*$/, '')}.mp4" and name that file in the day’s table. Everything but the picture still works.`;
    this.#seeks.clear();
    this.#sought.forget();
    this.#calm(false);
    this.#stopped(true);
  }
}
