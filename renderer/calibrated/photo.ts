/** A photograph chosen from this computer. It is decoded in the window and goes nowhere else. */
import { done, failed, type Outcome } from '../../core/base/refusal.ts';

export interface Photo {
  readonly name: string;
  readonly bitmap: ImageBitmap;
  readonly widthPx: number;
  readonly heightPx: number;
}

export interface PhotoFault {
  readonly says: string;
  readonly todo: string;
}

/** Decodes an image file, turned as its camera says. */
export async function decodePhoto(file: File): Promise<Outcome<Photo, PhotoFault>> {
  try {
    const bitmap = await createImageBitmap(file);
    return done({ name: file.name, bitmap, widthPx: bitmap.width, heightPx: bitmap.height });
  } catch {
    return failed({
      says: `${file.name} is not an image that this window can show.`,
      todo: 'Choose a JPEG, PNG or WebP file; turn other kinds into one of them first.',
    });
  }
}
