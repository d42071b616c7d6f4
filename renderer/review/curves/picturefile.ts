/** A figure on its way out of the window: as SVG, as PNG, to a file or to the clipboard. */
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';

/** Pixels of the PNG for each pixel on the screen: sharp in print at the size it is seen. */
const SHARPNESS = 2;

type Fault = { readonly says: string; readonly todo: string };

/** The SVG as the text of a file. */
export function svgText(svg: SVGSVGElement): string {
  const copy = svg.cloneNode(true) as SVGSVGElement;
  copy.removeAttribute('class');
  copy.removeAttribute('aria-hidden');
  return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(copy)}`;
}

/** The SVG drawn to a PNG; rejects only through a bug, since the SVG is our own. */
export async function pngOf(svg: SVGSVGElement): Promise<Blob> {
  const { width, height } = svg.viewBox.baseVal;
  const address = URL.createObjectURL(new Blob([svgText(svg)], { type: 'image/svg+xml' }));
  try {
    const image = new Image(width, height);
    image.src = address;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = width * SHARPNESS;
    canvas.height = height * SHARPNESS;
    canvas.getContext('2d')!.drawImage(image, 0, 0, canvas.width, canvas.height);
    return await new Promise<Blob>((resolve, reject) =>
      canvas.toBlob((blob) =>
        blob === null ? reject(new Error('The picture is too large.')) : resolve(blob),
      ),
    );
  } finally {
    URL.revokeObjectURL(address);
  }
}

/** Hands a file to the browser to keep. */
export function saveFile(name: string, content: Blob): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(content);
  link.download = name;
  link.click();
  // The browser has taken the file once the click is over; some take it a little later.
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** Puts a picture on the clipboard. */
export async function copyPicture(png: Blob): Promise<Outcome<null, Fault>> {
  try {
    await navigator.clipboard.write([new ClipboardItem({ 'image/png': png })]);
    return done(null);
  } catch {
    return failed({
      says: 'This window may not put pictures on the clipboard.',
      todo: 'Save the picture as a file instead.',
    });
  }
}
