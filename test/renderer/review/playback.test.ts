/** One cursor: whatever moves it, frame and cursor agree. */
import fc from 'fast-check';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { SAME_CLOCK, toTrace } from '../../../core/clock/clock.ts';
import { frameAt } from '../../../renderer/review/frames.ts';
import { TrialReview } from '../../../renderer/review/trialreview.svelte.ts';
import { CLOCK, FILM, trialView, type Wish } from './fixture.ts';
import { FakeVideo } from './fakevideo.ts';

let tick: (nowMs: number) => void;
beforeEach(() => {
  let waiting: FrameRequestCallback[] = [];
  vi.stubGlobal('requestAnimationFrame', (callback: FrameRequestCallback) => waiting.push(callback));
  vi.stubGlobal('cancelAnimationFrame', () => (waiting = []));
  tick = (nowMs) => {
    const now = waiting;
    waiting = [];
    for (const callback of now) callback(nowMs);
  };
});

function open(wish: Wish = {}) {
  const review = new TrialReview(trialView(wish));
  const video = new FakeVideo();
  review.playback.player?.attach(video.asElement());
  video.dispatchEvent(new Event('loadedmetadata'));
  if (review.playback.player !== null) video.arrive();
  video.seeks.length = 0;
  return { review, playback: review.playback, video };
}

describe('moving the cursor', () => {
  it('begins at the section', () => {
    const { review } = open();
    expect(review.cursorS).toBe(1.5);
    expect(review.plot.contains(1.5)).toBe(true);
  });

  it('seeks to the middle of the frame that holds it', () => {
    fc.assert(
      fc.property(fc.double({ min: -0.4, max: 7.4, noNaN: true }), (timeS) => {
        const { playback, video } = open();
        playback.moveTo(timeS);
        if (video.seeks.length === 0) return;
        const frame = playback.frame!;
        expect(frameAt(FILM, video.seeks.at(-1)!)).toBe(frame);
        expect(video.seeks.at(-1)!).toBeCloseTo(frame / 50 + 0.01, 6);
      }),
    );
  });

  it('asks for one seek at a time, and for the last place at last', () => {
    const { playback, video } = open();
    for (const timeS of [2, 3, 4, 5]) playback.moveTo(timeS);
    expect(video.seeks).toHaveLength(1);
    expect(playback.player!.busy).toBe(true);
    video.arrive();
    expect(video.seeks).toHaveLength(2);
    video.arrive();
    expect(playback.player!.busy).toBe(false);
    expect(playback.player!.shown).toBe(playback.frame);
  });

  it('is held within what there is to show', () => {
    const { review, playback } = open();
    playback.moveTo(1e6);
    expect(review.cursorS).toBe(playback.domain.toS);
    playback.moveTo(-1e6);
    expect(review.cursorS).toBe(playback.domain.fromS);
  });

  it('leaves the film where it ends, and says so', () => {
    const { playback } = open();
    playback.moveTo(9);
    expect(playback.frame).toBeNull();
    expect(playback.videoS).toBeCloseTo(9.5, 9);
  });
});

describe('steps', () => {
  it('by frame put the cursor on each frame’s own time', () => {
    const { review, playback } = open();
    playback.moveTo(2.003);
    const before = playback.frame!;
    playback.stepFrame(1);
    expect(playback.frame).toBe(before + 1);
    expect(review.cursorS).toBeCloseTo(toTrace(CLOCK, FILM.frameTimesS[before + 1]!), 12);
    playback.stepFrame(-1);
    playback.stepFrame(-1);
    expect(playback.frame).toBe(before - 1);
  });

  it('by frame and back end where they began, wherever in the film', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 398 }), (frame) => {
        const { playback } = open();
        playback.moveTo(toTrace(CLOCK, FILM.frameTimesS[frame]!));
        expect(playback.frame).toBe(frame);
        playback.stepFrame(1);
        playback.stepFrame(-1);
        expect(playback.frame).toBe(frame);
      }),
    );
  });

  it('by sample stay on the trace’s grid', () => {
    const { review, playback } = open();
    playback.moveTo(2.0007);
    playback.stepSample(1);
    expect(review.cursorS).toBeCloseTo(2.002, 9);
    playback.stepSample(-1);
    expect(review.cursorS).toBeCloseTo(2, 9);
  });

  it('fall back to samples without a film, and to a fiftieth of a second without either', () => {
    const noFilm = open({ films: [] });
    noFilm.playback.moveTo(2);
    noFilm.playback.stepFrame(1);
    expect(noFilm.review.cursorS).toBeCloseTo(2.002, 9);
    const neither = open({ films: [], trace: false });
    neither.playback.moveTo(2);
    neither.playback.stepFrame(1);
    expect(neither.review.cursorS).toBeCloseTo(2.02, 9);
  });

  it('by mark and by stroke go to the next one either way', () => {
    const { review, playback } = open();
    playback.moveTo(2.2);
    expect(review.chosen!.stroke).toMatchObject({ hand: 'left', number: 2 });
    review.stepStroke(1);
    expect(review.cursorS).toBeCloseTo(2.8, 9);
    expect(review.chosen!.stroke).toMatchObject({ hand: 'right', number: 2 });
    review.stepStroke(-1);
    expect(review.chosen!.stroke).toMatchObject({ hand: 'left', number: 2 });
    review.stepMark(1);
    expect(review.cursorS).toBeGreaterThan(2.2);
  });
});

describe('playing', () => {
  it('follows the film’s frames', () => {
    const { review, playback, video } = open();
    playback.setRate(0.5);
    playback.play();
    expect(video.paused).toBe(false);
    expect(video.playbackRate).toBe(0.5);
    video.arrive(null);
    video.present(2.5);
    expect(playback.frame).toBe(125);
    expect(review.cursorS).toBeCloseTo(2, 9);
  });

  it('comes back to the cursor’s frame where one more was on its way when it was paused', () => {
    const { playback, video } = open();
    playback.play();
    video.arrive(null);
    video.present(2.5);
    playback.pause();
    video.present(2.52);
    expect(playback.frame).toBe(125);
    expect(playback.settling).toBe(true);
    expect(video.seeks.at(-1)).toBeCloseTo(2.51, 6);
    video.arrive(2.5);
    expect(playback.settling).toBe(false);
  });

  it('does not follow a picture that was on the screen before it went where it plays from', () => {
    const { playback, video } = open();
    playback.moveTo(3);
    playback.play();
    video.present(1);
    expect(playback.frame).toBe(175);
    video.arrive(null);
    video.present(3.52);
    expect(playback.frame).toBe(176);
  });

  it('hands over to the clock where the film ends, and stops at the end of everything', () => {
    const { review, playback, video } = open();
    playback.moveTo(7.4);
    video.arrive();
    playback.play();
    video.end();
    expect(playback.playing).toBe(true);
    expect(playback.frame).toBeNull();
    tick(0);
    tick(500);
    expect(review.cursorS).toBeCloseTo(8, 3);
    tick(60_000);
    expect(playback.playing).toBe(false);
    expect(review.cursorS).toBe(playback.domain.toS);
  });

  it('runs by the clock without a film, at its rate', () => {
    const { review, playback } = open({ films: [] });
    playback.setRate(0.25);
    playback.play();
    tick(1000);
    tick(2000);
    expect(review.cursorS).toBeCloseTo(1.75, 9);
    playback.pause();
    tick(3000);
    expect(review.cursorS).toBeCloseTo(1.75, 9);
  });

  it('hands over to the film as soon as the cursor comes to it', () => {
    const late = { ...FILM, clock: { offsetS: 3, rate: 1 } };
    const { playback, video } = open({ films: [late] });
    playback.play();
    expect(video.paused).toBe(true);
    tick(0);
    tick(1600);
    expect(video.paused).toBe(false);
    expect(playback.frame).toBe(5);
  });

  it('goes round a loop', () => {
    const { review, playback, video } = open();
    playback.moveTo(2.3);
    playback.setLoop(review.loopOf('stroke'));
    expect(playback.loop).toMatchObject({ label: 'left stroke 2' });
    while (playback.player!.busy) video.arrive();
    playback.play();
    video.arrive(null);
    video.present(playback.loop!.toS + 0.5 + 0.02);
    expect(review.cursorS).toBeCloseTo(playback.loop!.fromS, 9);
    review.nextLoop();
    expect(playback.loop).toBeNull();
    review.nextLoop();
    expect(playback.loop?.what).toBe('section');
  });
});

describe('cameras and clocks', () => {
  it('keep the cursor when the camera changes', () => {
    const second = { ...FILM, camera: 'B', clock: { offsetS: -1, rate: 1.001 } };
    const { review, playback } = open({ films: [FILM, second] });
    playback.moveTo(3);
    review.nextCamera();
    expect(playback.camera).toBe('B');
    expect(review.cursorS).toBe(3);
    expect(playback.videoS).toBeCloseTo(4 / 1.001, 9);
  });

  it('work on the film’s own clock where there is no trace', () => {
    const { playback } = open({ trace: false, films: [{ ...FILM, clock: SAME_CLOCK }] });
    playback.moveTo(2);
    expect(playback.videoS).toBe(2);
  });

  it('leave a film that nothing ties to the trace alone', () => {
    const { playback, video } = open({ films: [{ ...FILM, clock: null }] });
    playback.moveTo(3);
    expect(playback.tied).toBe(false);
    expect(playback.frame).toBeNull();
    expect(video.seeks).toHaveLength(0);
  });

  it('say which film cannot be played, and go on by the clock', () => {
    const { playback, video } = open();
    playback.play();
    video.dispatchEvent(new Event('error'));
    expect(playback.player!.fault).toContain('video/T-1.mp4 cannot be played here (avc1)');
    expect(playback.playing).toBe(true);
    tick(0);
    const before = playback.cursorS;
    tick(200);
    expect(playback.cursorS).toBeCloseTo(before + 0.2, 9);
  });
});
