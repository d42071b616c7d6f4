/** The sources and totals of a force's uncertainty budget in words. */
import type { ForceSource, ForceTotal } from '../../core/sensor/budget.ts';
import { formatNumber, formatValue } from '../format.ts';

export const SOURCE_WORDS: Readonly<Record<ForceSource, { readonly name: string; readonly says: string }>> = {
  sensitivity: { name: 'Sensitivity', says: 'of the calibration line' },
  zero: { name: 'Zero', says: 'as read, and how far it moved' },
  area: { name: 'Hand area', says: 'one-sided, with fingers' },
  tap_depth: { name: 'Tap depth', says: 'two taps up to 10 mm apart in depth, about 98 Pa' },
  noise: { name: 'Noise', says: 'scatter about the calibration line' },
};

/** Uncertainties have two significant digits (JCGM 100, 7.2.6). */
export function uText(value: number): string {
  if (value === 0) return '0';
  const exponent = Number(value.toExponential(1).split('e')[1]);
  return formatNumber(value, Math.min(6, Math.max(0, 1 - exponent)));
}

/** Where the expanded uncertainty comes from: `k = 2.06, 26 degrees of freedom`. */
export function coverageText({ coverageFactor, degreesOfFreedom }: ForceTotal): string {
  const freedom =
    degreesOfFreedom === null
      ? 'unlimited degrees of freedom'
      : `${formatNumber(degreesOfFreedom, 0)} degrees of freedom`;
  return `k = ${formatNumber(coverageFactor, 2)}, ${freedom}`;
}

/** The force with its expanded uncertainty, as one sentence. */
export function totalSentence(forceN: number, total: ForceTotal): string {
  return `At ${formatValue(forceN, 'N')} the force is known to ±${uText(total.expandedN)} N (95 % coverage), ${formatValue((100 * total.expandedN) / forceN, '%')} of it.`;
}
