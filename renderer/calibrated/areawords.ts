/** Hand areas as a person reads them. */
import type { HandAreaView } from '../../core/contract/bench.ts';
import type { HandArea } from '../../core/force/handarea.ts';
import type { AreaUsed } from '../../core/trial/input.ts';
import { counted, EMPTY, formatMeasured, formatValue } from '../format.ts';

export const AREA_METHODS: Readonly<Record<AreaUsed['method'], string>> = {
  roster: 'from the roster',
  traced: 'traced on a photograph',
  typed: 'measured and typed',
  estimated: 'ESTIMATE from height and mass',
};

export function areaText(cm2: number | null, uCm2: number | null): string {
  return cm2 === null ? EMPTY : formatMeasured({ value: cm2, u: uCm2 }, 'cm²');
}

/** The area that the forces use, and where it comes from. */
export function usedArea(view: HandAreaView): { readonly text: string; readonly origin: string } {
  const { kept, rosterCm2, rosterUCm2 } = view;
  if (kept !== null) return { text: areaText(kept.cm2, kept.uCm2), origin: AREA_METHODS[kept.method] };
  if (rosterCm2 === null) return { text: EMPTY, origin: 'none, so no force' };
  const unsure = rosterUCm2 === null ? ', uncertainty not given' : '';
  return { text: areaText(rosterCm2, rosterUCm2), origin: `${AREA_METHODS.roster}${unsure}` };
}

/** The parts of an uncertainty: `from the scale 1.1 cm², from the repeats 0.4 cm² (2 outlines)`. */
export function partsText(area: HandArea): string | null {
  const { method, scaleUCm2, repeatUCm2, planeUCm2, offsetUCm2, count } = area;
  const parts = [
    scaleUCm2 === null ? null : `from the scale ${formatValue(scaleUCm2, 'cm²', 2)}`,
    planeUCm2 === null ? null : `from the height above the sheet ${formatValue(planeUCm2, 'cm²', 2)}`,
    offsetUCm2 === null ? null : `from where the outline is drawn ${formatValue(offsetUCm2, 'cm²', 2)}`,
    repeatUCm2 === null ? null : `from the repeats ${formatValue(repeatUCm2, 'cm²', 2)}`,
  ].filter((part) => part !== null);
  if (parts.length === 0) return null;
  return `${parts.join(', ')} (${counted(count, method === 'traced' ? 'outline' : 'reading')})`;
}
