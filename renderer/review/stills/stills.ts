/**
 * Decoded pictures of single frames: the one that is wanted first, then those around it, so that steps are quick.
 * Few are kept: a picture of 1920 × 1080 takes 8 MB.
 */

/** One decoded frame, not yet a picture. */
export interface Decoded {
  readonly frame: number;
  /** Makes the picture, which is then the caller's to close. */
  readonly picture: () => ImageBitmap;
  readonly close: () => void;
}

/** An opened film: its frames one after the other from any frame on. */
export interface StillSource {
  readonly from: (frame: number) => AsyncIterator<Decoded>;
  readonly close: () => void;
}

interface Wish {
  /** Frames of the film. */
  readonly count: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** The wanted frame's picture is there: `want` gives it now. */
  readonly onWanted: () => void;
  /** The film cannot be decoded so. */
  readonly onFault: () => void;
}

/** The most that the kept pictures take together, bytes. */
const MOST_BYTES = 160e6;
const BYTES_PER_PX = 4;
/** Pictures kept at least and at most on each side of the wanted one. */
const SIDE = { least: 2, most: 10 } as const;
/** Nearer than this to a gap among the kept ones before, they are decoded anew: a film is decoded forwards alone. */
const NEAR = 3;
/** A wanted frame no further on than this is reached by decoding on, further ones by starting anew. */
const ON = 40;

export class Stills {
  readonly #source: StillSource;
  readonly #wish: Wish;
  readonly #kept = new Map<number, ImageBitmap>();
  readonly #side: number;
  #wanted: number | null = null;
  #run: { readonly frames: AsyncIterator<Decoded>; next: number; gave: boolean } | null = null;
  #working = false;
  #closed = false;

  constructor(source: StillSource, wish: Wish) {
    this.#source = source;
    this.#wish = wish;
    const all = Math.floor(MOST_BYTES / Math.max(1, wish.widthPx * wish.heightPx * BYTES_PER_PX));
    this.#side = Math.min(SIDE.most, Math.max(SIDE.least, Math.floor((all - 1) / 2)));
  }

  /** The picture of a frame where it is kept; null where it is on its way. It stays the cache's own. */
  want(frame: number): ImageBitmap | null {
    this.#wanted = frame;
    this.#forgetFar();
    void this.#work();
    return this.#kept.get(frame) ?? null;
  }

  close(): void {
    this.#closed = true;
    for (const picture of this.#kept.values()) picture.close();
    this.#kept.clear();
    this.#end();
    this.#source.close();
  }

  async #work(): Promise<void> {
    if (this.#working) return;
    this.#working = true;
    try {
      for (let missing = this.#missing(); missing !== null && !this.#closed; missing = this.#missing())
        await this.#orAnew(missing);
    } catch {
      if (!this.#closed) this.#wish.onFault();
    } finally {
      this.#working = false;
    }
  }

  /** The frame to decode next: the wanted one, those after it, those before it where few are left. */
  #missing(): number | null {
    const wanted = this.#wanted;
    if (wanted === null) return null;
    for (let frame = wanted; frame <= Math.min(this.#wish.count - 1, wanted + this.#side); frame++)
      if (!this.#kept.has(frame)) return frame;
    for (let frame = wanted - 1; frame >= Math.max(0, wanted - Math.min(NEAR, this.#side)); frame--)
      if (!this.#kept.has(frame)) return frame;
    return null;
  }

  /** A decoder that has worked may be taken away meanwhile, where the browser needs it: then it is begun anew. */
  async #orAnew(missing: number): Promise<void> {
    try {
      await this.#towards(missing);
    } catch (error) {
      if (this.#run?.gave !== true) throw error;
      this.#run = null;
    }
  }

  /** Decodes one frame on the way to a missing one. */
  async #towards(missing: number): Promise<void> {
    const wanted = this.#wanted!;
    if (this.#run === null || missing < this.#run.next || missing > this.#run.next + ON) {
      this.#end();
      // What lies before is decoded on the way from a key frame in any case.
      const first = missing > wanted ? missing : Math.max(0, wanted - this.#side);
      this.#run = { frames: this.#source.from(first), next: first, gave: false };
    }
    const run = this.#run;
    const { value, done } = await run.frames.next();
    if (done === true) throw new Error(`The film ended before frame ${missing}.`);
    run.next = value.frame + 1;
    // A frame that the film does not give when asked for it would be asked for again and again.
    if (value.frame > missing) {
      value.close();
      run.gave = false;
      throw new Error(`The film gave frame ${value.frame} for ${missing}.`);
    }
    run.gave = true;
    if (this.#closed || !this.#isNear(value.frame) || this.#kept.has(value.frame)) value.close();
    else {
      this.#kept.set(value.frame, value.picture());
      if (value.frame === this.#wanted) this.#wish.onWanted();
    }
  }

  /** Lets go of what is being decoded; how that ends concerns nobody. */
  #end(): void {
    this.#run?.frames.return?.().catch(() => undefined);
  }

  #isNear(frame: number): boolean {
    return this.#wanted !== null && Math.abs(frame - this.#wanted) <= this.#side;
  }

  #forgetFar(): void {
    for (const [frame, picture] of this.#kept)
      if (!this.#isNear(frame)) {
        picture.close();
        this.#kept.delete(frame);
      }
  }
}
