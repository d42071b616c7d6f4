/** Points placed on one frame for the entry position: hand, shoulder, water line, a known length; and what they give. */
import {
  entryDistance,
  type EntryDistance,
  type EntryFault,
  type EntryMeasures,
  type PicturePoint,
} from '../../../core/stroke/entry.ts';
import type { Outcome } from '../../../core/base/refusal.ts';
import type { StrokeName } from './judging.ts';
import { kept, keep } from './remembered.ts';

export const POINTS = ['hand', 'shoulder', 'water1', 'water2', 'length1', 'length2'] as const;
export type PointName = (typeof POINTS)[number];

export const POINT_WORDS: Readonly<Record<PointName, string>> = {
  hand: 'Hand',
  shoulder: 'Shoulder',
  water1: 'Water line, one end',
  water2: 'Water line, other end',
  length1: 'Known length, one end',
  length2: 'Known length, other end',
};

/** What a lab begins with: a body height is never assumed, so the length is a metre rod (common practice, no source). */
const FIRST: EntryMeasures = { lengthCm: 100, lengthUCm: 0.5, clickUPx: 1.5, levelBandCm: 5 };
const KEPT = 'lanebench.entry-measures';

/** The frame that is on the screen. */
export interface ShownFrame {
  readonly camera: string;
  readonly frame: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

export class EntryPointsDesk {
  readonly #shown: () => ShownFrame | null;
  readonly #stroke: () => StrokeName | null;
  #measures = $state.raw<EntryMeasures>(FIRST);
  #points = $state.raw<Partial<Readonly<Record<PointName, PicturePoint>>>>({});
  /** The frame the points lie on; null before the first. */
  #on = $state.raw<ShownFrame | null>(null);
  /** The stroke they were placed for. */
  #of = $state.raw<StrokeName | null>(null);
  #placing = $state<PointName | null>(null);
  #crosshair = $state.raw<PicturePoint>({ x: 0, y: 0 });

  readonly result = $derived.by((): Outcome<EntryDistance, EntryFault> | null => {
    const { hand, shoulder, water1, water2, length1, length2 } = this.#points;
    if (!hand || !shoulder || !water1 || !water2 || !length1 || !length2) return null;
    const points = { hand, shoulder, water: [water1, water2], length: [length1, length2] } as const;
    return entryDistance(points, this.#measures);
  });

  /**
   * @param shown the frame on the screen; null where there is none
   * @param stroke the stroke that points placed now are for; null where none is marked there
   */
  constructor(shown: () => ShownFrame | null, stroke: () => StrokeName | null) {
    this.#shown = shown;
    this.#stroke = stroke;
    this.#measures = kept(KEPT, FIRST);
  }

  get measures(): EntryMeasures {
    return this.#measures;
  }

  /** The points on the frame that is shown. */
  get points(): Partial<Readonly<Record<PointName, PicturePoint>>> {
    return this.elsewhere === null ? this.#points : {};
  }

  /** The frame that the points lie on, where it is not the one shown; null where it is, or where there are none. */
  get elsewhere(): ShownFrame | null {
    const [on, shown] = [this.#on, this.#shown()];
    if (on === null) return null;
    return on.camera === shown?.camera && on.frame === shown.frame ? null : on;
  }

  /** The stroke that the points were placed for, wherever the cursor is now; null before the first point. */
  get of(): StrokeName | null {
    return this.#of;
  }

  get placed(): number {
    return POINTS.filter((name) => this.#points[name] !== undefined).length;
  }

  /** The point that is placed next; null while none is. */
  get placing(): PointName | null {
    return this.#placing;
  }

  get crosshair(): PicturePoint {
    return this.#crosshair;
  }

  setMeasure(name: keyof EntryMeasures, value: number): void {
    this.#measures = { ...this.#measures, [name]: value };
    keep(KEPT, this.#measures);
  }

  /** Begins to place points on the frame shown, the first missing one or the one named. */
  begin(name: PointName | null = null): void {
    const shown = this.#shown();
    if (shown === null) return;
    if (this.elsewhere !== null) this.#clear();
    this.#placing = name ?? this.#nextMissing() ?? 'hand';
    const at = this.#points[this.#placing];
    this.#crosshair =
      at ?? (this.#on === null ? { x: shown.widthPx / 2, y: shown.heightPx / 2 } : this.#crosshair);
  }

  stop(): void {
    this.#placing = null;
  }

  startAgain(): void {
    this.#clear();
    this.begin();
  }

  /** Moves the crosshair, px of the film. */
  moveCrosshair(x: number, y: number): void {
    this.#crosshair = this.#within({ x: this.#crosshair.x + x, y: this.#crosshair.y + y });
  }

  /** Puts the point being placed at the crosshair, or where it was pointed at; goes on to the next missing one. */
  place(at: PicturePoint = this.#crosshair): void {
    const shown = this.#shown();
    if (this.#placing === null || shown === null) return;
    if (this.elsewhere !== null) this.#clear();
    // Points belong to the stroke that the first of them was placed for.
    if (this.#on === null) this.#of = this.#stroke();
    this.#on = shown;
    this.#crosshair = this.#within(at);
    this.#points = { ...this.#points, [this.#placing]: this.#crosshair };
    this.#placing = this.#nextMissing();
  }

  #nextMissing(): PointName | null {
    return POINTS.find((name) => this.#points[name] === undefined) ?? null;
  }

  #clear(): void {
    this.#points = {};
    this.#on = null;
    this.#of = null;
  }

  #within({ x, y }: PicturePoint): PicturePoint {
    const shown = this.#shown();
    if (shown === null) return { x, y };
    return {
      x: Math.min(shown.widthPx, Math.max(0, x)),
      y: Math.min(shown.heightPx, Math.max(0, y)),
    };
  }
}
