/** Mean brightness of a box in every frame of a stretch of a film, read from the decoded pictures. */
import type { FilmView } from '../../../core/contract/views.ts';
import type { Box } from '../filmtools/framing.ts';
import { middleOfFrameS } from '../frames.ts';

/** A box is read at no more than this many pixels a side: the mean of a lamp needs no more. */
const MOST_SIDE = 96;
/** A seek that takes longer than this has failed, ms. */
const SEEK_MS = 5000;

export interface Stretch {
  /** First and last frame, both read. */
  readonly first: number;
  readonly last: number;
}

interface Reading {
  readonly film: FilmView;
  readonly src: string;
  readonly box: Box;
  readonly stretch: Stretch;
  /** Called after each frame. */
  readonly onFrame: (done: number) => void;
  readonly signal: AbortSignal;
}

/** Brightness 0…255 of each frame; NaN where a frame could not be read. Rejects with an AbortError when cancelled. */
export async function readBrightness(reading: Reading): Promise<Float64Array> {
  const { film, src, box, stretch, onFrame, signal } = reading;
  const video = document.createElement('video');
  video.muted = true;
  video.preload = 'auto';
  video.src = src;
  const shrink = Math.min(1, MOST_SIDE / Math.max(box.width, box.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(box.width * shrink));
  canvas.height = Math.max(1, Math.round(box.height * shrink));
  const context = canvas.getContext('2d', { willReadFrequently: true })!;
  const values = new Float64Array(stretch.last - stretch.first + 1).fill(NaN);
  try {
    await happened(video, 'loadeddata', signal);
    for (let k = 0; k < values.length; k++) {
      signal.throwIfAborted();
      const seeked = happened(video, 'seeked', signal);
      video.currentTime = middleOfFrameS(film, stretch.first + k);
      if (await seeked) {
        context.drawImage(video, box.x, box.y, box.width, box.height, 0, 0, canvas.width, canvas.height);
        values[k] = meanBrightness(context.getImageData(0, 0, canvas.width, canvas.height).data);
      }
      onFrame(k + 1);
    }
    return values;
  } finally {
    video.removeAttribute('src');
    video.load();
  }
}

/** Mean of the pixels' luma (ITU-R BT.601 weights), 0…255, of RGBA bytes. */
export function meanBrightness(rgba: Uint8ClampedArray): number {
  let sum = 0;
  for (let i = 0; i < rgba.length; i += 4)
    sum += 0.299 * rgba[i]! + 0.587 * rgba[i + 1]! + 0.114 * rgba[i + 2]!;
  return (4 * sum) / rgba.length;
}

/** Waits for an event of a video; false where it does not come in time or the film fails. */
function happened(video: HTMLVideoElement, name: string, signal: AbortSignal): Promise<boolean> {
  return new Promise((resolve, reject) => {
    const over = new AbortController();
    const end = (came: boolean) => {
      over.abort();
      clearTimeout(late);
      resolve(came);
    };
    const late = setTimeout(() => end(false), SEEK_MS);
    video.addEventListener(name, () => end(true), { signal: over.signal });
    video.addEventListener('error', () => end(false), { signal: over.signal });
    signal.addEventListener(
      'abort',
      () => {
        end(false);
        reject(signal.reason as Error);
      },
      { signal: over.signal },
    );
  });
}
