/** What an archive lacks, and what that costs the numbers. Costs: formats.md sections 1 and 2. */
import { HANDS } from '../base/hand.ts';
import { counted } from '../base/words.ts';
import type { Day } from '../day/day.ts';
import type { RosterRow, TrialRow } from '../day/tables.ts';
import type { MappedTable } from './map.ts';

/** Sentences on what is not there; none where nothing is missing. */
export function missingParts(
  day: Day,
  roster: readonly RosterRow[],
  trials: readonly TrialRow[],
  tables: Readonly<Partial<Record<MappedTable, unknown>>>,
): readonly string[] {
  if (trials.length === 0) return [];
  const says: string[] = [];
  const worn = HANDS.flatMap((hand) => day.traceColumns[hand] ?? []);
  const traced = trials.filter(({ trace }) => trace !== null);
  const isRaw = worn.some(({ elsewhere }) => elsewhere === null);
  if (traced.length < trials.length)
    says.push(
      `${counted(trials.length - traced.length, 'trial has', 'trials have')} no trace: no hand force there.`,
    );
  if (traced.length > 0 && (day.traceColumns.time === null || worn.length === 0))
    says.push('The map’s day does not say in which columns time and hands stand: no hand force at all.');
  if (traced.length > 0 && isRaw && tables.calibration === undefined)
    says.push(
      'No calibration of the sensors: raw readings give no hand force until calibration.csv is added.',
    );
  if (traced.length > 0 && worn.length > 0 && tables.zeros === undefined)
    says.push(
      isRaw
        ? 'No zero readings: the calibration’s intercept is taken as the zero, so that every drift of a sensor is in the forces.'
        : 'No zero readings: the zero is taken as 0, so that every drift of a sensor is in the forces.',
    );
  const timeless = trials.filter((row) => row.section_start_s === null || row.section_end_s === null).length;
  if (timeless > 0)
    says.push(
      `${counted(timeless, 'trial has', 'trials have')} no section times: no velocity and stroke length there, until they are marked.`,
    );
  const filmed = trials.filter(({ video }) => video !== null).length;
  if (filmed > 0 && tables.sync === undefined)
    says.push(
      'No moments seen on both clocks: marks on film cannot be put on the traces’ time until they are given.',
    );
  const handless = roster.filter(
    (row) => row.left_hand_area_cm2 === null || row.right_hand_area_cm2 === null,
  ).length;
  if (handless > 0 && worn.some(({ elsewhere }) => elsewhere?.quantity !== 'force'))
    says.push(
      `${counted(handless, 'swimmer has', 'swimmers have')} a hand without an area: no force of that hand.`,
    );
  return says;
}
