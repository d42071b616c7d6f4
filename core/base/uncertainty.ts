/**
 * Standard uncertainties (JCGM 100:2008) as formats.md section 2 gives them. They hold the parts written there; what
 * they leave out is named in the codebook (core/dataset/leftout.ts). A part that is not known makes the whole null, never smaller.
 */

/** Root of the sum of squares; null where a part is null. All in one unit. */
export function rootSumSquares(parts: readonly (number | null)[]): number | null {
  let sum = 0;
  for (const part of parts) {
    if (part === null) return null;
    sum += part * part;
  }
  return Math.sqrt(sum);
}

/**
 * Standard uncertainty of one mark, s: reading to the nearest frame or sample (rectangular, step/√12) and placing.
 * @param stepS frame interval or sample interval, s; null where not known
 * @param markingUS standard uncertainty of placing a mark, s
 */
export function markU(stepS: number | null, markingUS: number): number | null {
  return rootSumSquares([stepS === null ? null : stepS / Math.sqrt(12), markingUS]);
}

/** A value with its standard uncertainty in the same unit; `u` is null where it is not known. */
export interface Measured {
  readonly value: number;
  readonly u: number | null;
}
