/**
 * Tracing a hand on a photograph: the points of the scale first, then the outline, as often as it is repeated. Points
 * are px of the photograph, whatever its size on the screen.
 */
import { type AreaFault, type HandArea } from '../../core/force/handarea.ts';
import { areaFromTracings, tracedArea } from '../../core/force/tracedarea.ts';
import type { Point } from '../../core/force/outline.ts';
import { failed, type Outcome } from '../../core/base/refusal.ts';
import { decodePhoto, type Photo, type PhotoFault } from './photo.ts';
import { ScaleEntry, type ScaleKind } from './scaleentry.svelte.ts';

const NO_SCALE: AreaFault = {
  code: 'no_scale',
  says: 'The photograph has no scale yet.',
  todo: 'Give the lengths and mark the points of the scale.',
};
/** A point this near to an outline's first closes it, px on the screen. */
const CLOSES_PX = 10;
/** A hand-drawn line takes a point every so many px on the screen. */
const DRAWN_PX = 4;

export class Tracing {
  readonly scaleEntry = new ScaleEntry();
  #photo = $state.raw<Photo | null>(null);
  #photoFault = $state.raw<PhotoFault | null>(null);
  #marks = $state.raw<readonly Point[]>([]);
  #outline = $state.raw<readonly Point[]>([]);
  #finished = $state.raw<readonly (readonly Point[])[]>([]);
  /** Why the outline could not be finished. */
  #fault = $state.raw<AreaFault | null>(null);
  #crosshair = $state.raw<Point>({ x: 0, y: 0 });

  readonly scale = $derived.by(() => this.scaleEntry.with(this.#marks));
  readonly #drawn = $derived.by(() => this.scaleEntry.drawn());
  /** Area of the outline so far, closed straight; null before it has three points or a scale. */
  readonly live = $derived.by(() =>
    this.scale === null || this.#outline.length < 3 ? null : tracedArea(this.#outline, this.scale),
  );
  /** Area of every finished outline, cm²; null where the scale does not give it. */
  readonly areasCm2 = $derived.by(() =>
    this.#finished.map((outline) => {
      const area = this.scale === null ? null : tracedArea(outline, this.scale);
      return area?.ok === true ? area.value.cm2 : null;
    }),
  );
  readonly result = $derived.by((): Outcome<HandArea, AreaFault> =>
    this.scale === null || this.#drawn === null
      ? failed(NO_SCALE)
      : areaFromTracings(this.#finished, this.scale, this.#drawn),
  );

  get photo(): Photo | null {
    return this.#photo;
  }

  get photoFault(): PhotoFault | null {
    return this.#photoFault;
  }

  /** Points of the scale. */
  get marks(): readonly Point[] {
    return this.#marks;
  }

  get outline(): readonly Point[] {
    return this.#outline;
  }

  get finished(): readonly (readonly Point[])[] {
    return this.#finished;
  }

  get fault(): AreaFault | null {
    return this.#fault;
  }

  get crosshair(): Point {
    return this.#crosshair;
  }

  /** True while the points of the scale are being marked. */
  get marksScale(): boolean {
    return this.#marks.length < this.scaleEntry.takes;
  }

  /** What the next point is, for the person. */
  get asks(): string {
    const { kind, takes } = this.scaleEntry;
    const next = this.#marks.length + 1;
    if (next <= takes)
      return kind === 'two_points'
        ? `Scale: mark end ${next} of 2 of the known distance.`
        : `Scale: mark corner ${next} of 4, going round the rectangle, its first side (width) from corner 1 to corner 2.`;
    const count = this.#outline.length;
    return count === 0
      ? `Outline ${this.#finished.length + 1}: start at the wrist and go round the hand, fingers included.`
      : `Outline ${this.#finished.length + 1}: ${count} ${count === 1 ? 'point' : 'points'}; go on round, and finish at the first point.`;
  }

  async open(file: File): Promise<void> {
    const photo = await decodePhoto(file);
    this.#photoFault = photo.ok ? null : photo.error;
    if (!photo.ok) return;
    this.close();
    this.#photo = photo.value;
    this.#crosshair = { x: Math.round(photo.value.widthPx / 2), y: Math.round(photo.value.heightPx / 2) };
    this.scaleEntry.fitClicks(Math.max(photo.value.widthPx, photo.value.heightPx));
    this.restart();
  }

  /** Lets the photograph go. */
  close(): void {
    this.#photo?.bitmap.close();
    this.#photo = null;
  }

  /** Forgets every point. */
  restart(): void {
    this.#marks = [];
    this.#outline = [];
    this.#finished = [];
    this.#fault = null;
  }

  chooseKind(kind: ScaleKind): void {
    this.scaleEntry.chooseKind(kind);
    this.#marks = [];
  }

  moveTo({ x, y }: Point): void {
    if (this.#photo === null) return;
    const within = (value: number, most: number) => Math.min(most, Math.max(0, value));
    this.#crosshair = { x: within(x, this.#photo.widthPx), y: within(y, this.#photo.heightPx) };
  }

  /**
   * Places a point of what is asked for; near the first point of an outline it finishes it.
   * @param zoom px on the screen per px of the photograph
   */
  place(point: Point, zoom: number): void {
    this.#fault = null;
    this.moveTo(point);
    if (this.marksScale) this.#marks = [...this.#marks, this.#crosshair];
    else if (this.#outline.length >= 3 && apart(this.#crosshair, this.#outline[0]!) * zoom <= CLOSES_PX)
      this.finish();
    else this.#outline = [...this.#outline, this.#crosshair];
  }

  /** Goes on with a line drawn by hand: a point wherever it has moved far enough. */
  draw(point: Point, zoom: number): void {
    this.#fault = null;
    this.moveTo(point);
    const last = this.#outline.at(-1);
    if (last === undefined || apart(last, this.#crosshair) * zoom >= DRAWN_PX)
      this.#outline = [...this.#outline, this.#crosshair];
  }

  /** Takes back the last point of the outline, or of the scale before there is an outline. */
  takeBack(): void {
    this.#fault = null;
    if (this.#outline.length > 0) this.#outline = this.#outline.slice(0, -1);
    else if (this.#finished.length === 0) this.#marks = this.#marks.slice(0, -1);
  }

  /** Ends the outline, if it encloses an area; the next point begins another. */
  finish(): void {
    if (this.scale === null) return;
    const area = tracedArea(this.#outline, this.scale);
    this.#fault = area.ok ? null : area.error;
    if (!area.ok) return;
    this.#finished = [...this.#finished, this.#outline];
    this.#outline = [];
  }

  remove(index: number): void {
    this.#finished = this.#finished.toSpliced(index, 1);
  }
}

function apart(a: Point, b: Point): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}
