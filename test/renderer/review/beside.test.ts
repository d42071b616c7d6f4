/** A second film in step: by its own clock, or from the start of both measured sections. */
import { beforeEach, describe, expect, it, vi } from 'vitest';
import type { LabClient } from '../../../core/contract/contract.ts';
import { done } from '../../../core/base/refusal.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import { BesideDesk } from '../../../renderer/review/beside/beside.svelte.ts';
import { startOf } from '../../../renderer/review/beside/start.ts';
import { TrialReview } from '../../../renderer/review/trialreview.svelte.ts';
import { asShown } from '../../core/shown.ts';
import { FakeVideo } from './fakevideo.ts';
import { FILM, trialView } from './fixture.ts';

/** Camera B runs 1.25 s ahead of the trace at 25 frames/s. */
const B = {
  ...FILM,
  camera: 'B',
  frameTimesS: Array.from({ length: 200 }, (_, k) => k / 25),
  frameIntervalS: 0.04,
  clock: { offsetS: -1.25, rate: 1 },
};

beforeEach(() => {
  vi.stubGlobal('requestAnimationFrame', () => 1);
  vi.stubGlobal('cancelAnimationFrame', () => undefined);
});

function open(other?: TrialView) {
  const review = new TrialReview({ ...trialView(), films: [FILM, B] });
  const client = (() => Promise.resolve(done(other))) as unknown as LabClient;
  const beside = new BesideDesk(client, review);
  const attach = () => {
    const video = new FakeVideo();
    beside.shown!.player.attach(video.asElement());
    video.dispatchEvent(new Event('loadedmetadata'));
    return video;
  };
  return { review, beside, attach };
}

describe('two cameras of a trial', () => {
  it('show the same moment, each in its own frame', () => {
    const { review, beside, attach } = open();
    beside.choose('camera B');
    const video = attach();
    for (const [timeS, frame] of [
      [2, 81],
      [2.03, 82],
      [4.55, 145],
    ] as const) {
      review.playback.moveTo(timeS);
      beside.follow();
      // Film B at 2 s of the trace is at 3.25 s: frame 81 of 25 a second.
      expect([beside.frame, beside.filmS]).toEqual([frame, expect.closeTo(timeS + 1.25, 9)]);
      video.arrive();
    }
    expect(video.seeks.at(-1)).toBeCloseTo(145 / 25 + 0.02, 9);
  });

  it('play together, and the second is brought back where it falls behind', () => {
    const { review, beside, attach } = open();
    beside.choose('camera B');
    const video = attach();
    review.playback.setRate(0.5);
    review.playback.play();
    beside.follow();
    expect([video.paused, video.playbackRate]).toEqual([false, 0.5]);
    video.arrive();
    const { frame } = beside;
    video.present((frame! + 2) / 25);
    beside.follow();
    const seeks = video.seeks.length;
    video.present((frame! + 9) / 25);
    beside.follow();
    expect(video.seeks.length).toBe(seeks + 1);
    review.playback.pause();
    beside.follow();
    expect(video.paused).toBe(true);
  });

  it('go round by one key, and never show one film twice', () => {
    const { review, beside } = open();
    expect(beside.cameras).toEqual(['B']);
    beside.turn();
    expect([beside.choice, beside.shown?.film.camera]).toEqual(['camera B', 'B']);
    review.playback.chooseCamera('B');
    expect([beside.choice, beside.shown]).toEqual(['', null]);
    review.playback.chooseCamera('A');
    beside.turn();
    expect([beside.choice, beside.shown]).toEqual(['', null]);
  });

  it('show nothing where nothing ties a clock, or the film is over', () => {
    const { review, beside } = open();
    beside.choose('camera B');
    review.playback.moveTo(9);
    expect(beside.frame).toBeNull();
  });
});

describe('two trials', () => {
  it('run from the start of their sections', async () => {
    const shifted = trialView();
    // The other swimmer comes into the section 0.7 s later on their trial's clock.
    const other = {
      ...shifted,
      trial: asShown('T-2'),
      section: { startS: shifted.section!.startS + 0.7, endS: shifted.section!.endS + 0.7 },
    };
    const { review, beside } = open(other);
    beside.choose('trial');
    expect(beside.asksTrial).toBe(true);
    await beside.chooseTrial('T-2');
    review.playback.moveTo(review.view.section!.startS + 1);
    const start = other.section.startS + 1;
    expect(beside.filmS).toBeCloseTo((start - FILM.clock!.offsetS) / FILM.clock!.rate, 9);
    expect(beside.starts?.other.what).toBe('the start of the section');
  });

  it('run from the first mark, or the beginning, where a section is not timed', () => {
    const view = trialView();
    expect(startOf({ ...view, section: null })).toEqual({
      timeS: expect.any(Number) as number,
      what: 'the first mark',
    });
    const bare = { ...trialView({ strokes: [] }), section: null };
    expect(startOf(bare).what).toBe('the beginning');
  });
});
