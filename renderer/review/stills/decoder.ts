/** A film opened for decoding its frames one by one, by the browser's own decoders. */
import type { FilmView } from '../../../core/contract/views.ts';
import { middleOfFrameS, nearestFrame } from '../frames.ts';
import type { Decoded, StillSource } from './stills.ts';

/** Opens a film; null where this browser cannot decode it frame by frame. */
export function openDecoder(src: string, film: FilmView): Promise<StillSource | null> | null {
  return typeof VideoDecoder === 'undefined' ? null : open(src, film);
}

async function open(src: string, film: FilmView): Promise<StillSource | null> {
  const { Input, MATROSKA, MP4, QTFF, UrlSource, VideoSampleSink, WEBM } = await import('mediabunny');
  // A film that does not come is told of by its element; nothing is asked for again and again.
  const source = new UrlSource(src, { getRetryDelay: () => null });
  const input = new Input({ source, formats: [MP4, QTFF, MATROSKA, WEBM] });
  try {
    const track = await input.getPrimaryVideoTrack();
    if (track === null || !(await track.canDecode())) {
      input.dispose();
      return null;
    }
    const sink = new VideoSampleSink(track);
    const canvas = new OffscreenCanvas(1, 1);
    const context = canvas.getContext('2d')!;
    return {
      async *from(frame): AsyncGenerator<Decoded> {
        for await (const sample of sink.samples(middleOfFrameS(film, frame))) {
          yield {
            frame: nearestFrame(film, sample.timestamp)!,
            picture: () => {
              canvas.width = sample.displayWidth;
              canvas.height = sample.displayHeight;
              sample.draw(context, 0, 0);
              sample.close();
              return canvas.transferToImageBitmap();
            },
            close: () => sample.close(),
          };
        }
      },
      close: () => input.dispose(),
    };
  } catch {
    input.dispose();
    return null;
  }
}
