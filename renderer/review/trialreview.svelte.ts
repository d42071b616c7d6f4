/** One trial under review: its view, samples, cursor, plot window and what follows from them. */
import type { TraceS } from '../../core/base/units.ts';
import type { TrialView } from '../../core/contract/views.ts';
import type { Hand } from '../../core/base/hand.ts';
import type { StrokeResult } from '../../core/trial/result.ts';
import { valueAt, type Span } from '../plot/downsample.ts';
import type { BesideDesk } from './beside/beside.svelte.ts';
import { PictureView } from './filmtools/pictureview.svelte.ts';
import { FrameLoop } from './frameloop.ts';
import { lanePosition } from './lane.ts';
import type { Marking } from './marking/marking.svelte.ts';
import { Playback, type Loop } from './playback.svelte.ts';
import { PlotWindow } from '../plot/plotwindow.svelte.ts';
import { NO_SAMPLES, type Samples } from './samples.ts';
import { Turns } from './turns.ts';
import {
  bridges,
  inOrder,
  neighbourS,
  phaseBands,
  placedMarks,
  strokeAnchorS,
  strokeAt,
  strokeSpan,
} from './strokes.ts';

/** Room left and right of a section or stroke that the window is fitted to, as a share of its length. */
const MARGIN = 0.08;

export class TrialReview {
  readonly frames = new FrameLoop();
  readonly playback: Playback;
  readonly plot: PlotWindow;
  readonly picture = new PictureView();
  readonly turns = new Turns();
  #view = $state.raw<TrialView>(undefined!);
  samples = $state.raw<Samples>(NO_SAMPLES);
  /** What the trial is marked by; null where it is only looked at. */
  marking = $state.raw<Marking | null>(null);
  /** What a second film is put beside it by; null where nothing else may be looked at. */
  beside = $state.raw<BesideDesk | null>(null);

  readonly marks = $derived.by(() => placedMarks(this.view.result.strokes));
  readonly bands = $derived.by(() => ({
    left: phaseBands(this.view.result.strokes, 'left'),
    right: phaseBands(this.view.result.strokes, 'right'),
  }));
  readonly bridges = $derived.by(() => bridges(this.view.result.strokes));
  readonly #ordered = $derived.by(() => inOrder(this.view.result.strokes));
  readonly #markTimes = $derived.by(() => this.marks.map((mark) => mark.timeS));

  /** The stroke the cursor is in: the chosen row. */
  readonly chosen = $derived.by(() => strokeAt(this.#ordered, this.cursorS));
  readonly lane = $derived.by(() => {
    const { section, protocol } = this.view;
    return lanePosition(this.cursorS, section, protocol.sectionFromWallM, protocol.runM);
  });

  constructor(view: TrialView) {
    this.#view = view;
    this.playback = new Playback(
      () => this.view,
      this.frames,
      (timeS) => this.plot.reveal(timeS),
    );
    this.plot = new PlotWindow(() => this.playback.domain);
    this.plot.fitAll();
    if (view.section !== null) this.fitSection();
    this.playback.moveTo(view.section?.startS ?? this.playback.domain.fromS);
  }

  get view(): TrialView {
    return this.#view;
  }

  get cursorS(): TraceS {
    return this.playback.cursorS;
  }

  /** Takes a newer view of the same trial; cursor and window stay. */
  renew(view: TrialView): void {
    this.#view = view;
    this.plot.settle();
  }

  /** Force of a hand at the cursor, N; null in a gap, outside the trace and without a force. */
  forceAt(hand: Hand): number | null {
    const { trace } = this.view;
    const values = this.samples[hand];
    return trace === null || values === null ? null : valueAt(values, trace, this.cursorS);
  }

  fitSection(): void {
    const { section } = this.view;
    if (section !== null) this.plot.fit({ fromS: section.startS, toS: section.endS }, MARGIN);
  }

  /** Puts the cursor at a stroke's propulsion start, or its first mark. */
  goToStroke(result: StrokeResult): void {
    const anchorS = strokeAnchorS(result);
    if (anchorS !== null) this.playback.moveTo(anchorS);
  }

  stepStroke(direction: 1 | -1): void {
    const anchors = this.#ordered.map((one) => one.anchorS);
    const timeS = neighbourS(anchors, this.cursorS, direction);
    if (timeS !== null) this.playback.moveTo(timeS);
  }

  stepMark(direction: 1 | -1): void {
    const timeS = neighbourS(this.#markTimes, this.cursorS, direction);
    if (timeS !== null) this.playback.moveTo(timeS);
  }

  zoomToStroke(): void {
    const span = this.#chosenSpan();
    if (span !== null) this.plot.fit(span, MARGIN);
  }

  zoomBy(factor: number): void {
    const { span } = this.plot;
    const about = this.plot.contains(this.cursorS) ? this.cursorS : (span.fromS + span.toS) / 2;
    this.plot.zoom(about, factor);
  }

  /** The stretches that can be played again and again from here. */
  loopOf(what: Loop['what']): Loop | null {
    if (what === 'section') {
      const { section } = this.view;
      return section === null ? null : { what, fromS: section.startS, toS: section.endS, label: 'section' };
    }
    const span = this.#chosenSpan();
    if (span === null) return null;
    const { hand, number } = this.chosen!.stroke;
    return { what, ...span, label: `${hand} stroke ${number}` };
  }

  /** Goes round what can be looped: nothing, the section, the stroke at the cursor. */
  nextLoop(): void {
    const order = [null, 'section', 'stroke'] as const;
    const now = order.indexOf(this.playback.loop?.what ?? null);
    const rest = [...order.slice(now + 1), null];
    const next = rest.find((what) => what === null || this.loopOf(what) !== null) ?? null;
    this.playback.setLoop(next === null ? null : this.loopOf(next));
  }

  nextCamera(): void {
    const cameras = this.view.films.map((film) => film.camera);
    const next = cameras[(cameras.indexOf(this.playback.camera ?? '') + 1) % cameras.length];
    if (next !== undefined) this.playback.chooseCamera(next);
  }

  close(): void {
    this.playback.pause();
    this.frames.close();
  }

  #chosenSpan(): Span | null {
    return this.chosen === null ? null : strokeSpan(this.chosen);
  }
}
