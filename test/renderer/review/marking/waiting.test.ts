/** A mark on film is made on the picture that is seen: while it plays it pauses first, and waits until it settles. */
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { done } from '../../../../core/base/refusal.ts';
import type { Keeper } from '../../../../renderer/review/marking/edits.svelte.ts';
import { Marking } from '../../../../renderer/review/marking/marking.svelte.ts';
import { TrialReview } from '../../../../renderer/review/trialreview.svelte.ts';
import { FakeVideo } from '../fakevideo.ts';
import { trialView } from '../fixture.ts';

beforeEach(() => localStorage.clear());

function open() {
  let view = trialView({ strokes: [] });
  const review = new TrialReview(view);
  const video = new FakeVideo();
  review.playback.player!.attach(video.asElement());
  video.dispatchEvent(new Event('loadedmetadata'));
  video.arrive();
  const fresh = () => Promise.resolve(done(view));
  const keeper: Keeper = {
    marks: (_seen, now) => {
      view = { ...view, marking: { ...view.marking, marks: now } };
      return fresh();
    },
    judgements: fresh,
    section: null,
    fresh,
  };
  const marking = new Marking(review, keeper);
  const marks = () => marking.edits.marks.map(({ event, timeS }) => [event, timeS]);
  const { turns, playback } = review;
  return {
    video,
    playback,
    desk: marking.desk,
    marks,
    mark: (event: 'water_entry' | 'full_reach') => turns.take(() => marking.desk.place(event)),
    step: () => turns.take(() => playback.stepFrame(1)),
  };
}

describe('a mark on film', () => {
  it('waits for the picture of its frame, and what is asked for after it waits too', async () => {
    const { playback, video, marks, mark, step } = open();
    expect(playback.frame).toBe(100);
    step();
    mark('water_entry');
    step();
    step();
    mark('full_reach');
    expect(marks()).toEqual([]);
    video.arrive(2);
    await Promise.resolve();
    expect(marks()).toEqual([]);
    await vi.waitFor(() => expect(video.seeks).toHaveLength(3));
    video.arrive();
    await vi.waitFor(() => expect(marks()).toEqual([['water_entry', 2.02]]));
    await vi.waitFor(() => {
      if (playback.settling) video.arrive();
      expect(marks()).toEqual([
        ['water_entry', 2.02],
        ['full_reach', 2.06],
      ]);
    });
  });

  it('pauses a film that plays first, and goes on the frame that is then shown', async () => {
    const { playback, video, marks, mark } = open();
    playback.play();
    video.arrive(null);
    video.present(2.5);
    mark('water_entry');
    expect(playback.playing).toBe(false);
    expect(marks()).toEqual([]);
    // One more picture was on its way.
    video.present(2.52);
    video.arrive(2.5);
    await vi.waitFor(() => expect(marks()).toEqual([['water_entry', 2.5]]));
  });

  it('is not made where the film cannot be shown', async () => {
    const { playback, video, marks, mark, desk } = open();
    playback.stepFrame(1);
    mark('water_entry');
    video.dispatchEvent(new Event('error'));
    await vi.waitFor(() => expect(desk.refusal).toContain('nothing was marked'));
    expect(marks()).toEqual([]);
  });
});
