/** What the parts of a day are called. */
import type { DayPartName } from '../route.ts';

export const PART_WORDS: Readonly<Record<DayPartName, string>> = {
  zeros: 'Zeros',
  hands: 'Hand areas',
  calibration: 'Calibration in use',
  second: 'Second opinion',
};
