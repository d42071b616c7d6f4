/** Names that a mistyped one may have meant. */

/** Insertions, deletions, replacements and swaps of neighbours that turn one text into another. */
function distance(a: string, b: string): number {
  const rows = Array.from({ length: a.length + 1 }, (_, i) => {
    const row = new Array<number>(b.length + 1).fill(0);
    row[0] = i;
    return row;
  });
  for (let j = 0; j <= b.length; j++) rows[0]![j] = j;
  for (let i = 1; i <= a.length; i++)
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let least = Math.min(rows[i - 1]![j]! + 1, rows[i]![j - 1]! + 1, rows[i - 1]![j - 1]! + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        least = Math.min(least, rows[i - 2]![j - 2]! + 1);
      rows[i]![j] = least;
    }
  return rows[a.length]![b.length]!;
}

/** Up to three names nearest to a wrong one, nearest first; equals in the order given. */
export function nearestNames(wrong: string, names: readonly string[]): readonly string[] {
  const low = wrong.toLowerCase();
  const far = (name: string) => {
    const other = name.toLowerCase();
    const holds = low !== '' && (other.includes(low) || low.includes(other));
    return distance(low, other) - (holds ? Math.abs(other.length - low.length) : 0);
  };
  return names
    .map((name) => ({ name, far: far(name) }))
    .sort((a, b) => a.far - b.far)
    .slice(0, 3)
    .map(({ name }) => name);
}

/** "did you mean a, b or c?" as the end of a sentence. */
export function meantText(wrong: string, names: readonly string[]): string {
  const near = nearestNames(wrong, names);
  if (near.length === 0) return '';
  const last = near.at(-1)!;
  return near.length === 1 ? last : `${near.slice(0, -1).join(', ')} or ${last}`;
}
