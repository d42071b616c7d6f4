/** A small software painter: soft-edged discs and limbs, plain rectangles, 5 × 7 letters, in an RGB buffer. */
export const WIDTH = 480;
export const HEIGHT = 272;

export type Colour = readonly [number, number, number];

export function colour(hex: string): Colour {
  const n = Number.parseInt(hex.slice(1), 16);
  return [n >> 16, (n >> 8) & 255, n & 255];
}

export type Picture = Uint8Array;

export const newPicture = (): Picture => new Uint8Array(WIDTH * HEIGHT * 3);

function blend(picture: Picture, x: number, y: number, paint: Colour, share: number): void {
  const i = (y * WIDTH + x) * 3;
  for (let c = 0; c < 3; c++) {
    const under = picture[i + c] ?? 0;
    picture[i + c] = Math.round(under + ((paint[c] ?? 0) - under) * share);
  }
}

/** Fills whole pixels from (x, y), cut to the picture. */
export function rectangle(
  picture: Picture,
  x: number,
  y: number,
  w: number,
  h: number,
  paint: Colour,
  share = 1,
): void {
  const x0 = Math.max(0, Math.round(x));
  const x1 = Math.min(WIDTH, Math.round(x + w));
  const y0 = Math.max(0, Math.round(y));
  const y1 = Math.min(HEIGHT, Math.round(y + h));
  for (let row = y0; row < y1; row++)
    for (let col = x0; col < x1; col++) blend(picture, col, row, paint, share);
}

export type Point = { x: number; y: number };

/** A limb: two discs of radius ra and rb joined by their hull, with an edge one pixel soft. */
export function limb(
  picture: Picture,
  a: Point,
  b: Point,
  ra: number,
  rb: number,
  paint: Colour,
  share = 1,
): void {
  const reach = Math.max(ra, rb) + 1;
  const x0 = Math.max(0, Math.floor(Math.min(a.x, b.x) - reach));
  const x1 = Math.min(WIDTH - 1, Math.ceil(Math.max(a.x, b.x) + reach));
  const y0 = Math.max(0, Math.floor(Math.min(a.y, b.y) - reach));
  const y1 = Math.min(HEIGHT - 1, Math.ceil(Math.max(a.y, b.y) + reach));
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const length2 = dx * dx + dy * dy || 1;
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      const u = Math.min(1, Math.max(0, ((x - a.x) * dx + (y - a.y) * dy) / length2));
      const distance = Math.hypot(x - a.x - u * dx, y - a.y - u * dy);
      const cover = Math.min(1, ra + (rb - ra) * u + 0.5 - distance);
      if (cover > 0) blend(picture, x, y, paint, cover * share);
    }
  }
}

export function disc(picture: Picture, centre: Point, r: number, paint: Colour, share = 1): void {
  limb(picture, centre, centre, r, r, paint, share);
}

/** Seven rows of five bits per letter, top row first. */
const LETTERS: Record<string, readonly number[]> = {
  '0': [14, 17, 19, 21, 25, 17, 14],
  '1': [4, 12, 4, 4, 4, 4, 14],
  '2': [14, 17, 1, 2, 4, 8, 31],
  '3': [31, 2, 4, 2, 1, 17, 14],
  '4': [2, 6, 10, 18, 31, 2, 2],
  '5': [31, 16, 30, 1, 1, 17, 14],
  '6': [6, 8, 16, 30, 17, 17, 14],
  '7': [31, 1, 2, 4, 8, 8, 8],
  '8': [14, 17, 17, 14, 17, 17, 14],
  '9': [14, 17, 17, 15, 1, 2, 12],
  A: [14, 17, 17, 31, 17, 17, 17],
  B: [30, 17, 17, 30, 17, 17, 30],
  E: [31, 16, 16, 30, 16, 16, 31],
  F: [31, 16, 16, 30, 16, 16, 16],
  G: [14, 17, 16, 23, 17, 17, 15],
  H: [17, 17, 17, 31, 17, 17, 17],
  I: [14, 4, 4, 4, 4, 4, 14],
  L: [16, 16, 16, 16, 16, 16, 31],
  M: [17, 27, 21, 21, 17, 17, 17],
  P: [30, 17, 17, 30, 16, 16, 16],
  R: [30, 17, 17, 30, 20, 18, 17],
  T: [31, 4, 4, 4, 4, 4, 4],
  m: [0, 0, 26, 21, 21, 17, 17],
  '-': [0, 0, 0, 31, 0, 0, 0],
  ' ': [0, 0, 0, 0, 0, 0, 0],
};

/** Letters of 5 × 7 squares of the given size, one square apart; returns the x after the last. */
export function letters(
  picture: Picture,
  text: string,
  x: number,
  y: number,
  size: number,
  paint: Colour,
): number {
  let left = x;
  for (const letter of text) {
    const rows = LETTERS[letter];
    if (!rows) throw new Error(`no letter ${letter}`);
    rows.forEach((bits, row) => {
      for (let col = 0; col < 5; col++) {
        if ((bits >> (4 - col)) & 1) rectangle(picture, left + col * size, y + row * size, size, size, paint);
      }
    });
    left += 6 * size;
  }
  return left;
}
