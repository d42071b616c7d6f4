/** Calibrations in the order in which they were made. */
import type { CalibrationRecord } from '../../core/sensor/draft.ts';

const made = ({ at, id }: CalibrationRecord) => [Date.parse(at), id] as const;

/** Newest first. */
export function newestFirst(calibrations: readonly CalibrationRecord[]): readonly CalibrationRecord[] {
  return calibrations.toSorted((a, b) => {
    const [[atA, idA], [atB, idB]] = [made(a), made(b)];
    return atB - atA || idB - idA;
  });
}

export function latestOf(calibrations: readonly CalibrationRecord[]): CalibrationRecord | null {
  return newestFirst(calibrations)[0] ?? null;
}
