/** Least squares by Householder reflections (Golub & Van Loan 2013, Matrix Computations, 4th ed., 5.2). */

/**
 * Residual sum of squares of y on the columns of a design.
 * @param columns of y's length, linearly independent; @returns unit of y squared; null where the columns are not independent
 */
export function residualSquares(
  columns: readonly (readonly number[])[],
  y: readonly number[],
): number | null {
  const n = y.length;
  const matrix = columns.map((column) => Float64Array.from(column));
  const rest = Float64Array.from(y);
  for (let k = 0; k < matrix.length; k++) {
    const own = matrix[k]!;
    let size = 0;
    for (let i = k; i < n; i++) size += own[i]! ** 2;
    let whole = size;
    for (let i = 0; i < k; i++) whole += own[i]! ** 2;
    if (!(size > 1e-18 * whole)) return null;
    const alpha = own[k]! > 0 ? -Math.sqrt(size) : Math.sqrt(size);
    const reflector = own.slice(k);
    reflector[0]! -= alpha;
    let length = 0;
    for (const value of reflector) length += value ** 2;
    const reflect = (target: Float64Array) => {
      let product = 0;
      for (let i = k; i < n; i++) product += reflector[i - k]! * target[i]!;
      const scale = (2 * product) / length;
      for (let i = k; i < n; i++) target[i]! -= scale * reflector[i - k]!;
    };
    for (let j = k + 1; j < matrix.length; j++) reflect(matrix[j]!);
    reflect(rest);
  }
  let sum = 0;
  for (let i = matrix.length; i < n; i++) sum += rest[i]! ** 2;
  return sum;
}
