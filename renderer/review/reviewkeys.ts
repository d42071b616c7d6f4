/** The keys of the trial screen. Every one can be changed in the Keys dialog. */
import type { KeyAction } from '../keys.svelte.ts';
import type { TrialReview } from './trialreview.svelte.ts';

/** Each press of a zoom key or button shows this much more or less. */
export const ZOOM_STEP = 1.5;
/** Each press of a pan key moves the window by this share of its length. */
export const PAN_SHARE = 0.25;

type Line = readonly [id: string, key: string, label: string, run: () => void];

/** The actions of a trial under review. */
export function reviewKeys(review: TrialReview, goTo: (trial: string | null) => void): readonly KeyAction[] {
  const { playback, plot } = review;
  const group = (name: string, lines: readonly Line[]): readonly KeyAction[] =>
    lines.map(([id, key, label, run]) => ({ id: `review.${id}`, key, label, group: name, run }));
  return [
    ...group('Trial: play and step', [
      ['play', 'Space', 'Play or pause', () => playback.toggle()],
      ['frame-next', 'ArrowRight', 'One frame on', () => playback.stepFrame(1)],
      ['frame-back', 'ArrowLeft', 'One frame back', () => playback.stepFrame(-1)],
      ['frame-next-hand', '.', 'One frame on', () => playback.stepFrame(1)],
      ['frame-back-hand', ',', 'One frame back', () => playback.stepFrame(-1)],
      ['frames-next-5', 'Mod+ArrowRight', 'Five frames on', () => playback.stepFrame(5)],
      ['frames-back-5', 'Mod+ArrowLeft', 'Five frames back', () => playback.stepFrame(-5)],
      ['frames-next-10', 'Mod+Shift+ArrowRight', 'Ten frames on', () => playback.stepFrame(10)],
      ['frames-back-10', 'Mod+Shift+ArrowLeft', 'Ten frames back', () => playback.stepFrame(-10)],
      ['frame-go', 'J', 'Go to a frame', () => document.getElementById('go-to-frame')?.focus()],
      ['sample-next', 'Shift+ArrowRight', 'One sample on', () => playback.stepSample(1)],
      ['sample-back', 'Shift+ArrowLeft', 'One sample back', () => playback.stepSample(-1)],
      ['mark-next', 'M', 'Next mark', () => review.stepMark(1)],
      ['mark-back', 'Shift+M', 'Mark before', () => review.stepMark(-1)],
      ['stroke-next', 'S', 'Next stroke', () => review.stepStroke(1)],
      ['stroke-back', 'Shift+S', 'Stroke before', () => review.stepStroke(-1)],
      ['faster', 'R', 'Play faster', () => playback.changeRate(1)],
      ['slower', 'Shift+R', 'Play slower', () => playback.changeRate(-1)],
      ['loop', 'L', 'Loop: section, stroke, off', () => review.nextLoop()],
      ['camera', 'C', 'Next camera', () => review.nextCamera()],
    ]),
    ...group('Trial: what the plot shows', [
      ['closer', '+', 'Closer', () => review.zoomBy(1 / ZOOM_STEP)],
      ['wider', '-', 'Wider', () => review.zoomBy(ZOOM_STEP)],
      ['fit-section', 'F', 'Fit the section', () => review.fitSection()],
      ['fit-all', 'Shift+F', 'Fit everything', () => plot.fitAll()],
      ['fit-stroke', 'Z', 'Zoom to the stroke', () => review.zoomToStroke()],
      ['pan-on', '>', 'Move the window on', () => plot.panByShare(PAN_SHARE)],
      ['pan-back', '<', 'Move the window back', () => plot.panByShare(-PAN_SHARE)],
      ['fit-force', 'Y', 'Force axis: window or whole trace', () => (plot.fitY = !plot.fitY)],
    ]),
    ...group('Trials', [
      ['trial-next', 'N', 'Next trial', () => goTo(review.view.nextTrial)],
      ['trial-unmarked', 'Shift+J', 'Next trial without marks', () => goTo(review.view.nextUnmarked)],
      ['trial-back', 'Shift+N', 'Trial before', () => goTo(review.view.previousTrial)],
    ]),
  ];
}
