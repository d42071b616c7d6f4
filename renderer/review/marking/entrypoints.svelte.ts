/**
 * Points placed on one frame for the entry position: hand, shoulder, water line, a known length; and what they give. Hand
 * and shoulder belong to the frame and the stroke that they were placed for. Water line and known length stay for every
 * further stroke of their camera, until they are placed anew.
 */
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

type Points = Partial<Readonly<Record<PointName, PicturePoint>>>;

/** Points that a camera which stands still shows at one place in every frame. */
const STANDING: readonly PointName[] = ['water1', 'water2', 'length1', 'length2'];

export class EntryPointsDesk {
  readonly #shown: () => ShownFrame | null;
  readonly #stroke: () => StrokeName | null;
  #measures = $state.raw<EntryMeasures>(FIRST);
  /** Hand and shoulder. */
  #own = $state.raw<Points>({});
  /** Water line and known length, by camera. */
  #standing = $state.raw<Readonly<Record<string, Points>>>({});
  /** The frame that hand and shoulder lie on; null before the first. */
  #on = $state.raw<ShownFrame | null>(null);
  /** The stroke they were placed for. */
  #of = $state.raw<StrokeName | null>(null);
  #placing = $state<PointName | null>(null);
  #crosshair = $state.raw<PicturePoint>({ x: 0, y: 0 });

  readonly result = $derived.by((): Outcome<EntryDistance, EntryFault> | null => {
    const { hand, shoulder, water1, water2, length1, length2 } = this.#pointsOn(this.#on);
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

  /** The points that hold for the frame and the stroke at the cursor. */
  get points(): Points {
    return this.#pointsOn(this.#shown());
  }

  /** Those of them that are drawn: all while placing, else those that were placed here. */
  get drawn(): Points {
    return this.placing !== null || this.#isHere ? this.points : {};
  }

  /** Where hand and shoulder lie, where that is not the frame and the stroke at the cursor; null where it is, or none lies. */
  get elsewhere(): ShownFrame | null {
    return this.#isHere ? null : this.#on;
  }

  /** Whether water line and known length of this camera were placed for another stroke. */
  get keeps(): boolean {
    return !this.#isHere && STANDING.every((name) => this.points[name] !== undefined);
  }

  /** The stroke that the points were placed for, wherever the cursor is now; null before the first point. */
  get of(): StrokeName | null {
    return this.#of;
  }

  get placed(): number {
    return POINTS.filter((name) => this.points[name] !== undefined).length;
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
    if (!this.#isHere) this.#clear();
    this.#placing = name ?? this.#nextMissing() ?? 'hand';
    const at = this.points[this.#placing];
    const first = this.#crosshair.x === 0 && this.#crosshair.y === 0;
    this.#crosshair = at ?? (first ? { x: shown.widthPx / 2, y: shown.heightPx / 2 } : this.#crosshair);
  }

  stop(): void {
    this.#placing = null;
  }

  /** Takes every point of this camera away, and begins. */
  startAgain(): void {
    this.#clear();
    const camera = this.#shown()?.camera;
    if (camera !== undefined) this.#standing = { ...this.#standing, [camera]: {} };
    this.begin();
  }

  /** Moves the crosshair, px of the film. */
  moveCrosshair(x: number, y: number): void {
    this.#crosshair = this.#within({ x: this.#crosshair.x + x, y: this.#crosshair.y + y });
  }

  /** Puts the point being placed at the crosshair, or where it was pointed at; goes on to the next missing one. */
  place(at: PicturePoint = this.#crosshair): void {
    const shown = this.#shown();
    const name = this.#placing;
    if (name === null || shown === null) return;
    if (!this.#isHere) this.#clear();
    this.#crosshair = this.#within(at);
    if (STANDING.includes(name)) {
      const before = this.#standing[shown.camera];
      this.#standing = { ...this.#standing, [shown.camera]: { ...before, [name]: this.#crosshair } };
    } else {
      if (this.#on === null) this.#of = this.#stroke();
      this.#on = shown;
      this.#own = { ...this.#own, [name]: this.#crosshair };
    }
    this.#placing = this.#nextMissing();
  }

  /** Whether hand and shoulder lie on the frame shown, for the stroke at the cursor. */
  get #isHere(): boolean {
    const [on, shown, of, stroke] = [this.#on, this.#shown(), this.#of, this.#stroke()];
    if (on === null || on.camera !== shown?.camera || on.frame !== shown.frame) return false;
    return of === null || (of.hand === stroke?.hand && of.stroke === stroke.stroke);
  }

  #pointsOn(frame: ShownFrame | null): Points {
    const standing = frame === null ? {} : this.#standing[frame.camera];
    const isOwn = frame !== null && (frame === this.#on || this.#isHere);
    return isOwn ? { ...standing, ...this.#own } : { ...standing };
  }

  #nextMissing(): PointName | null {
    return POINTS.find((name) => this.points[name] === undefined) ?? null;
  }

  #clear(): void {
    this.#own = {};
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
