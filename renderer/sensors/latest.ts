/** Calibrations in the order in which they were made. */
import type { KeptCalibration } from '../../core/sensor/draft.ts';

const made = ({ at, id }: KeptCalibration) => [Date.parse(at), id] as const;

/** Newest first. */
export function newestFirst(calibrations: readonly KeptCalibration[]): readonly KeptCalibration[] {
  return calibrations.toSorted((a, b) => {
    const [[atA, idA], [atB, idB]] = [made(a), made(b)];
    return atB - atA || idB - idA;
  });
}

export function latestOf(calibrations: readonly KeptCalibration[]): KeptCalibration | null {
  return newestFirst(calibrations)[0] ?? null;
}
