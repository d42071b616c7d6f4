/** The sources and totals of a force's uncertainty budget in words. */
import type { ForceSource, ForceTotal } from '../../core/sensor/budget.ts';
import { formatNumber, formatValue } from '../format.ts';

export const SOURCE_WORDS: Readonly<Record<ForceSource, { readonly name: string; readonly says: string }>> = {
  sensitivity: { name: 'Sensitivity', says: 'of the calibration line' },
  reference: { name: 'Reference', says: 'scale of what the sensor was calibrated against, as stated' },
  zero: { name: 'Zero', says: 'how far it moved, or may have where it was not read twice' },
  area: { name: 'Hand area', says: 'one-sided, with fingers' },
  tap_depth: { name: 'Tap depth', says: 'two taps that may differ in depth as the hand turns' },
  noise: { name: 'Noise', says: 'scatter about the calibration line' },
};

/** What no source above holds, by name. */
export const LEFT_OUT =
  'Left out: that one or a few taps stand for the whole hand, unsteady flow, air at the entry, how the sensor itself changes the flow, bending of the calibration line, and the filter.';

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
