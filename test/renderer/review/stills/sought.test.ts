/** A frame that is sought counts as shown only once the film itself has said so. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { FilmPlayer } from '../../../../renderer/review/film.svelte.ts';
import { FakeVideo } from '../fakevideo.ts';
import { FILM } from '../fixture.ts';

beforeEach(() => vi.useFakeTimers());
afterEach(() => vi.useRealTimers());

const middle = (frame: number) => frame / 50 + 0.01;

function open() {
  const played = vi.fn();
  const player = new FilmPlayer(FILM, { played, stopped: vi.fn() }, () => null);
  const video = new FakeVideo();
  const close = player.attach(video.asElement());
  video.dispatchEvent(new Event('loadedmetadata'));
  return { player, video, played, close };
}

describe('a frame that is sought', () => {
  it('is settled when the seek is over and the film says it shows that frame, in whichever order', async () => {
    const { player, video } = open();
    player.show(100);
    expect(video.seeks.at(-1)).toBeCloseTo(middle(100), 9);
    video.present(2);
    expect(player.busy).toBe(true);
    video.arrive(null);
    expect(player).toMatchObject({ busy: false, shown: 100 });
    player.show(101);
    video.arrive(null);
    expect(player.busy).toBe(true);
    video.present(2.02);
    expect(player).toMatchObject({ busy: false, shown: 101 });
    await expect(player.settled()).resolves.toBe(true);
  });

  it('is sought again when the film says that it shows another', () => {
    const { player, video } = open();
    player.show(100);
    video.arrive(1.98);
    expect(player).toMatchObject({ busy: true, shown: 99 });
    vi.runOnlyPendingTimers();
    expect(video.seeks).toHaveLength(2);
    video.arrive(2);
    expect(player).toMatchObject({ busy: false, shown: 100 });
  });

  it('is unsettled by a frame that comes late', () => {
    const { player, video } = open();
    player.show(100);
    video.arrive(2);
    video.present(2.02);
    expect(player).toMatchObject({ busy: true, shown: 101 });
    vi.runOnlyPendingTimers();
    video.arrive(2);
    expect(player).toMatchObject({ busy: false, shown: 100 });
  });

  it('is come to by way of its neighbour where the film says nothing', () => {
    const { player, video } = open();
    player.show(100);
    video.arrive(null);
    vi.runOnlyPendingTimers();
    expect(video.seeks.at(-1)).toBeCloseTo(middle(99), 9);
    video.arrive(1.98);
    expect(video.seeks.at(-1)).toBeCloseTo(middle(100), 9);
    expect(player.busy).toBe(true);
    video.arrive(2);
    expect(player).toMatchObject({ busy: false, shown: 100 });
  });

  it('keeps nobody waiting for a frame that does not come', async () => {
    const { player, video } = open();
    player.show(100);
    const waits = player.settled();
    for (let tries = 0; tries < 8; tries++) {
      video.arrive(1.98);
      vi.runOnlyPendingTimers();
    }
    await expect(waits).resolves.toBe(false);
    expect(player.busy).toBe(true);
  });

  it('keeps who waits for it waiting over further moves, and lets them go when the film is closed', async () => {
    const { player, video, close } = open();
    const told = vi.fn();
    player.show(100);
    void player.settled().then(told);
    player.show(120);
    video.arrive(2);
    await Promise.resolve();
    expect(told).not.toHaveBeenCalled();
    video.arrive(2.4);
    await vi.waitFor(() => expect(told).toHaveBeenCalledWith(true));
    player.show(130);
    const gone = player.settled();
    close();
    await expect(gone).resolves.toBe(false);
  });

  it('is asked of the film after its own controls were used, once', () => {
    const { player, video } = open();
    video.currentTime = 3.005;
    video.arrive(null);
    expect(player.busy).toBe(true);
    video.arrive(3);
    expect(player).toMatchObject({ busy: false, shown: 150 });
    video.present(4);
    expect(player).toMatchObject({ busy: false, shown: 200 });
  });
});
