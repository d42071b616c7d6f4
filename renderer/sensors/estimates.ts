/** Values with their expanded uncertainty, and how far it may be trusted. */
import type { Estimate } from '../../core/sensor/metrology.ts';
import { EMPTY, formatNumber, measuredText } from '../format.ts';

const SPACE = '\u00a0';

/** Such as `3651.5 ± 4.8 counts/kPa`, where ± is expanded; a dash where there is no value. */
export function expandedText(estimate: Estimate | null, unit: string): string {
  if (estimate === null) return EMPTY;
  const text = measuredText({ value: estimate.value, u: estimate.expanded }, 'raw/kPa')!;
  const value = text.u === null ? text.value : `${text.value}${SPACE}±${SPACE}${text.u}`;
  return `${value}${SPACE}${unit}`;
}

/** How an expanded uncertainty was come by, such as `k = 2.18, 12 degrees of freedom, 95 %`. */
export function coverageText(estimate: Estimate, probability: number): string {
  if (estimate.coverageFactor === null)
    return 'Its uncertainty is not known: it takes three points, or what the reference is uncertain by.';
  const degrees =
    estimate.degreesOfFreedom === null
      ? 'infinite degrees of freedom'
      : `${formatNumber(Math.floor(estimate.degreesOfFreedom * (1 + 1e-9)), 0)} degrees of freedom`;
  return `k${SPACE}=${SPACE}${formatNumber(estimate.coverageFactor, 2)}, ${degrees}, ${formatNumber(100 * probability, 0)}${SPACE}%`;
}
