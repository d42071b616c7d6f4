/** Films in codecs that windows do not play. */
import { expect, test } from 'vitest';
import { codecFault } from '../../../core/arrival/codec.ts';

// Codec strings as RFC 6381 has them: sample entry first, then profile and level.
test('a film in a codec that windows do not play is named, with the way to one that they do', () => {
  for (const codec of ['avc1.64001e', 'vp09.00.21.08', 'vp8', 'av01.0.04M.08'])
    expect(codecFault('a.mp4', codec)).toBeNull();
  expect(codecFault('video/T 1.mov', 'hev1.1.6.L63.90')).toContain('video/T 1.mov is in HEVC (H.265)');
  expect(codecFault('video/T 1.mov', 'hev1.1.6.L63.90')).toContain(
    'ffmpeg -i "T 1.mov" -c:v libx264 -crf 18 -pix_fmt yuv420p -fps_mode passthrough "T 1-h264.mp4"',
  );
  expect(codecFault('a.avi', null)).toContain('an unknown codec');
});
