/** Clocks: cursors apart, pairs made and removed, what the lab refuses taken back, residuals drawn. */
import { describe, expect, it, beforeEach, vi } from 'vitest';
import { clockAlong, clockQuality } from '../../../../core/clock/quality.ts';
import type { LabClient } from '../../../../core/contract/contract.ts';
import type { PairRow } from '../../../../core/marking/words.ts';
import type { TrialView } from '../../../../core/contract/views.ts';
import { meanBrightness } from '../../../../renderer/review/clocks/brightness.ts';
import { ClockDesk } from '../../../../renderer/review/clocks/clockdesk.svelte.ts';
import { nearestSampleS } from '../../../../renderer/review/clocks/moments.ts';
import { RESIDUALS, residualPicture } from '../../../../renderer/review/clocks/residualplot.ts';
import { TrialReview } from '../../../../renderer/review/trialreview.svelte.ts';
import { FakeVideo } from '../fakevideo.ts';
import { FILM, trialView } from '../fixture.ts';

beforeEach(() => {
  vi.stubGlobal('requestAnimationFrame', () => 1);
  vi.stubGlobal('cancelAnimationFrame', () => undefined);
});

const PAIRS: readonly PairRow[] = [
  { camera: 'A', traceS: 0.5, videoS: 1, what: 'lamp' },
  { camera: 'A', traceS: 6.5, videoS: 7, what: 'lamp' },
  { camera: 'B', traceS: 3, videoS: 0.2, what: 'tap' },
];

function open(pairs = PAIRS) {
  const view = { ...trialView(), marking: { ...trialView().marking, pairs } };
  const review = new TrialReview(view);
  const video = new FakeVideo();
  review.playback.player!.attach(video.asElement());
  video.dispatchEvent(new Event('loadedmetadata'));
  video.arrive();
  return { review, video };
}

/** A lab that keeps pairs, or refuses; every call's input is kept. */
function lab(review: TrialReview, refuses = false) {
  const calls: { name: string; input: { seen?: PairRow[]; now?: PairRow[] } }[] = [];
  const client = ((name: string, input: { now?: PairRow[] }) => {
    calls.push({ name, input });
    if (name === 'clock.edit' && refuses)
      return Promise.resolve({
        ok: false,
        error: { code: 'bad_input', says: 'The trace would run backward.', todo: 'Check the pair.' },
      });
    const marking = { ...review.view.marking, pairs: input.now ?? review.view.marking.pairs };
    return Promise.resolve({ ok: true, value: { ...review.view, marking } satisfies TrialView });
  }) as unknown as LabClient;
  return { calls, clocks: new ClockDesk(() => ({ client, review })) };
}

const settled = () => new Promise((resolve) => setTimeout(resolve, 0));

describe('cursors apart', () => {
  it('step the film alone and the trace alone, and come together again', () => {
    const { review } = open();
    const { playback } = review;
    playback.moveTo(2);
    playback.part();
    const frame = playback.frame!;
    playback.stepFrame(1);
    expect([playback.frame, playback.cursorS]).toEqual([frame + 1, 2]);
    playback.stepSample(1);
    expect(playback.frame).toBe(frame + 1);
    expect(playback.cursorS).toBeCloseTo(2.002, 9);
    playback.part(1e6);
    expect(playback.frame).toBe(FILM.frameTimesS.length - 1);
    playback.join();
    expect(playback.apart).toBe(false);
    expect(playback.videoS).toBeCloseTo(2.502, 9);
  });

  it('play the film alone', () => {
    const { review, video } = open();
    const { playback } = review;
    playback.moveTo(2);
    playback.part(10);
    video.arrive();
    video.arrive();
    playback.play();
    video.arrive(null);
    video.present(0.42);
    expect([playback.frame, playback.cursorS]).toEqual([21, 2]);
    video.end();
    expect(playback.playing).toBe(false);
  });

  it('stay apart on another camera and need a film that plays', () => {
    const { review } = open();
    review.playback.part(5);
    review.playback.chooseCamera('A');
    expect(review.playback.apart).toBe(true);
    const without = new TrialReview(trialView({ films: [] }));
    without.playback.part();
    expect(without.playback.apart).toBe(false);
    const broken = new TrialReview(trialView({ films: [{ ...FILM, fault: 'x.mov is in HEVC.' }] }));
    broken.playback.part();
    expect(broken.playback.apart).toBe(false);
  });
});

describe('pairs', () => {
  it('are made of the frame and the sample under the cursors', async () => {
    const { review } = open();
    const { clocks, calls } = lab(review);
    clocks.mark();
    expect(calls).toEqual([]);
    review.playback.part(100);
    review.playback.moveTo(1.5009);
    clocks.what = ' tap ';
    clocks.mark();
    const made = { camera: 'A', videoS: 2, traceS: 1.5, what: 'tap' };
    expect(clocks.pairs).toEqual([...PAIRS, made]);
    await settled();
    expect(calls.map(({ input }) => [input.seen, input.now])).toEqual([[PAIRS, [...PAIRS, made]]]);
    expect(review.view.marking.pairs).toEqual([...PAIRS, made]);
  });

  it('go to the lab one after another, each on what the one before made', async () => {
    const { review } = open();
    const { clocks, calls } = lab(review);
    clocks.remove(clocks.here[0]!);
    clocks.remove(clocks.here[0]!);
    await settled();
    expect(calls.map(({ input }) => [input.seen!.length, input.now!.length])).toEqual([
      [3, 2],
      [2, 1],
    ]);
    expect(clocks.quality.verdict).toBe('no_pair');
  });

  it('are taken back where the lab refuses, with its sentence', async () => {
    const { review } = open();
    const { clocks } = lab(review, true);
    clocks.remove(clocks.here[0]!);
    expect(clocks.here.length).toBe(1);
    await settled();
    expect(clocks.here.length).toBe(2);
    expect(clocks.problem?.says).toContain('was not kept: The trace would run backward.');
  });

  it('are looked at on both clocks', () => {
    const { review } = open();
    const { clocks } = lab(review);
    clocks.goTo(PAIRS[1]!);
    expect([review.playback.frame, review.playback.cursorS]).toEqual([350, 6.5]);
  });

  it('belong to the camera on the screen; each camera has a line of its own', () => {
    const { clocks } = lab(open().review);
    expect(clocks.here.length).toBe(2);
    expect(clocks.qualityOf('B').verdict).toBe('one_pair');
  });
});

describe('moments', () => {
  it('lie on the grid of the trace, or nowhere', () => {
    const { trace } = trialView();
    expect(nearestSampleS(trace, 1.2345)).toBe(1.234);
    expect(nearestSampleS(trace, -0.1)).toBeNull();
    expect(nearestSampleS(null, 1)).toBeNull();
  });

  it('have a brightness by the luma weights of ITU-R BT.601', () => {
    expect(meanBrightness(new Uint8ClampedArray([255, 255, 255, 255, 0, 0, 0, 255]))).toBeCloseTo(127.5, 9);
    expect(meanBrightness(new Uint8ClampedArray([255, 0, 0, 255]))).toBeCloseTo(0.299 * 255, 9);
  });
});

describe('residuals', () => {
  it('are drawn in ms about 0, with the band at the uncertainty and the section where it lies', () => {
    const pairs = [
      { traceS: 0, videoS: 1 },
      { traceS: 5.01, videoS: 6 },
      { traceS: 10, videoS: 11 },
    ];
    const quality = clockQuality(pairs, { frameStepS: 0.02, sampleStepS: 0.002 });
    const along = clockAlong(quality, 0, 12);
    const picture = residualPicture(quality, along, [0, 12], { startS: 2, endS: 8 }, 720)!;
    // Least squares by hand: the middle pair lies 2/3 of 10 ms above the line, the others 1/3 below.
    const perMs = (picture.dots[0]!.y - picture.dots[1]!.y) / 10;
    expect(picture.zeroY - picture.dots[1]!.y).toBeCloseTo((20 / 3) * perMs, 6);
    expect(picture.dots[1]!.x).toBeCloseTo(
      RESIDUALS.left + (6 / 12) * (720 - RESIDUALS.left - RESIDUALS.right),
      6,
    );
    const [from, to] = picture.section!;
    expect(to - from).toBeCloseTo((6 / 12) * (720 - RESIDUALS.left - RESIDUALS.right), 0);
    expect(picture.band).toMatch(/^M.*Z$/);
  });
  it('are not drawn without a line', () => {
    const quality = clockQuality([], { frameStepS: 0.02, sampleStepS: 0.002 });
    expect(residualPicture(quality, null, [0, 1], null, 500)).toBeNull();
  });
});
