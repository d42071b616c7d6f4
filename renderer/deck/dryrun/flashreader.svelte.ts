/**
 * Looks for flashes in the dry run's film: the brightness of the place that a person points at, moment by moment. The
 * film's own frame times are not asked for; it is read at the planned frame rate, so a flash is known to one step.
 */
import { proposeLamp } from '../../../core/clock/proposal.ts';
import type { FilmView } from '../../../core/contract/views.ts';
import { filmUrl } from '../../client.ts';
import { readBrightness } from '../../review/clocks/brightness.ts';
import type { SeriesDrawn } from '../../plot/seriesline.ts';
import type { Box } from '../../review/filmtools/framing.ts';
import { DRY_RUN } from '../../../core/deck/deck.ts';

/** The finest step at which a film is read, s: a flash by hand is no sharper (common practice, no source). */
const LEAST_STEP_S = 0.02;
const USUAL_RATE_HZ = 50;

/** Places of the picture: the whole of it, or one of three by three. */
export const PLACES = ['whole', 0, 1, 2, 3, 4, 5, 6, 7, 8] as const;
export type Place = (typeof PLACES)[number];

export interface FilmSize {
  readonly durationS: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** The box of a picture that a place stands for, px. */
export function boxOf(place: Place, { widthPx, heightPx }: FilmSize): Box {
  if (place === 'whole') return { x: 0, y: 0, width: widthPx, height: heightPx };
  const [width, height] = [Math.floor(widthPx / 3), Math.floor(heightPx / 3)];
  return { x: (place % 3) * width, y: Math.floor(place / 3) * height, width, height };
}

/** Moments at which a film is read, s: in the middle of the film's time, a step apart. */
export function momentsOf(durationS: number, stepS: number): readonly number[] {
  return Array.from({ length: Math.max(0, Math.floor(durationS / stepS)) }, (_, k) => k * stepS);
}

export class FlashReader {
  readonly src: string;
  readonly #camera: string;
  /** From one reading of the film to the next, s. */
  readonly stepS: number;
  place = $state<Place>('whole');
  #size = $state.raw<FilmSize | null>(null);
  #progress = $state.raw<{ readonly done: number; readonly total: number } | null>(null);
  #flashesS = $state.raw<readonly number[] | null>(null);
  #series = $state.raw<SeriesDrawn | null>(null);
  #fault = $state.raw<{ readonly says: string; readonly todo: string } | null>(null);
  #running: AbortController | null = null;

  /** @param rateHz the camera's planned frame rate; null where it is not planned */
  constructor(day: number, camera: string, rateHz: number | null) {
    this.#camera = camera;
    this.src = filmUrl(day, DRY_RUN, camera);
    this.stepS = Math.max(LEAST_STEP_S, 1 / (rateHz ?? USUAL_RATE_HZ));
  }

  get size(): FilmSize | null {
    return this.#size;
  }

  get progress(): { readonly done: number; readonly total: number } | null {
    return this.#progress;
  }

  /** Flashes on the film's clock, s; null before the film was read. */
  get flashesS(): readonly number[] | null {
    return this.#flashesS;
  }

  get series(): SeriesDrawn | null {
    return this.#series;
  }

  get fault(): { readonly says: string; readonly todo: string } | null {
    return this.#fault;
  }

  /** Takes the size of the film once the window knows it. */
  readonly measured = (video: HTMLVideoElement): void => {
    const { duration, videoWidth, videoHeight } = video;
    if (Number.isFinite(duration) && videoWidth > 0)
      this.#size = { durationS: duration, widthPx: videoWidth, heightPx: videoHeight };
  };

  readonly failed = (): void => {
    this.#fault = {
      says: 'The film of the dry run cannot be shown here.',
      todo: 'Record it in H.264, or look at it elsewhere and say so where the dry run is confirmed.',
    };
  };

  cancel(): void {
    this.#running?.abort();
  }

  async start(): Promise<void> {
    const size = this.#size;
    if (size === null || this.#progress !== null) return;
    const times = momentsOf(size.durationS, this.stepS);
    const film: FilmView = {
      camera: this.#camera,
      file: DRY_RUN,
      frameTimesS: times,
      frameIntervalS: this.stepS,
      codec: null,
      widthPx: size.widthPx,
      heightPx: size.heightPx,
      clock: null,
      fault: null,
    };
    const running = new AbortController();
    this.#running = running;
    this.#flashesS = null;
    this.#series = null;
    this.#fault = null;
    this.#progress = { done: 0, total: times.length };
    try {
      const values = await readBrightness({
        film,
        src: this.src,
        box: boxOf(this.place, size),
        stretch: { first: 0, last: times.length - 1 },
        onFrame: (done) => (this.#progress = { done, total: times.length }),
        signal: running.signal,
      });
      const timesS = Float64Array.from(times);
      const found = proposeLamp(timesS, values);
      this.#flashesS = found.ok ? found.value.map(({ timeS }) => timeS) : [];
      this.#fault = found.ok ? null : { says: found.error.says, todo: 'Point closer at where the lamp is.' };
      this.#series = { timesS, values, atS: this.#flashesS };
    } catch (error) {
      if (!running.signal.aborted) throw error;
    } finally {
      this.#progress = null;
    }
  }
}
