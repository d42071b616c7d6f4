/** Which labels along an axis there is room for. */

export interface Label {
  /** Middle of the label along the axis, px. */
  readonly atPx: number;
  readonly widthPx: number;
  /** The label that is placed before all others. */
  readonly first?: boolean;
}

/** The labels that can stand side by side, from left to right; one that would touch another is left out. */
export function labelsWithRoom<T extends Label>(labels: readonly T[], gapPx: number): readonly T[] {
  const placed: T[] = [];
  const touches = (a: Label, b: Label) => Math.abs(a.atPx - b.atPx) < (a.widthPx + b.widthPx) / 2 + gapPx;
  const ranked = labels.toSorted(
    (a, b) => Number(b.first ?? false) - Number(a.first ?? false) || a.atPx - b.atPx,
  );
  for (const label of ranked) if (!placed.some((other) => touches(label, other))) placed.push(label);
  return placed.toSorted((a, b) => a.atPx - b.atPx);
}
