/** A number for a sentence, to so many significant figures, trailing zeros left away. */
export function figures(value: number, count = 3): string {
  return String(Number(value.toPrecision(count)));
}

/** A number with its sign, such as +0.31 or −0.02, to so many decimals. */
export function signed(value: number, decimals = 2): string {
  const size = Math.abs(value).toFixed(decimals);
  if (Number(size) === 0) return size;
  return `${value > 0 ? '+' : '−'}${size}`;
}

/** A fraction of 1 in percent for a sentence, to two significant figures. */
export function percent(fraction: number): string {
  return `${figures(100 * fraction, 2)} %`;
}

/** A time in s for a sentence, to a tenth. */
export function seconds(value: number): string {
  return `${value.toFixed(1)} s`;
}

/** A count with its noun: `1 file`, `3 files`. */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** A number with a minus sign in place of the hyphen that a computer writes. */
export function minus(text: string): string {
  return text.replace(/^-/, '−');
}

/** A number to ten significant figures with a true minus sign, or the words for having none. */
export function figuresOr(value: number | null, without: string): string {
  return value === null ? without : minus(figures(value, 10));
}

/** A duration to the second, such as `3 min 05 s`. */
export function durationText(ms: number): string {
  const seconds = Math.round(ms / 1000);
  const rest = seconds % 60;
  const minutes = (seconds - rest) / 60;
  if (minutes === 0) return `${rest} s`;
  const below = `${String(minutes % 60).padStart(minutes < 60 ? 1 : 2, '0')} min ${String(rest).padStart(2, '0')} s`;
  return minutes < 60 ? below : `${(minutes - (minutes % 60)) / 60} h ${below}`;
}

/** A size in decimal units (SI: 1 kB = 1000 B) to three figures, such as `1.4 GB`. */
export function bytesText(bytes: number): string {
  const steps = ['B', 'kB', 'MB', 'GB', 'TB'] as const;
  // What would round up to 1000 of a unit is 1 of the next.
  const step = steps.findIndex((_, k) => k === steps.length - 1 || Number(figures(bytes / 1000 ** k)) < 1000);
  return `${figures(bytes / 1000 ** step)} ${steps[step]!}`;
}
