/**
 * Which column of a trace is the time and which are the hands, told by a look at their values and headings; dead,
 * copied and saturated columns are named. The words and shares are common practice, no source.
 */
import { largest, smallest } from '../base/extent.ts';
import { plainWords, words } from '../lists/columns.ts';
import { unitsPerSecond } from '../live/pace.ts';
import { median } from '../base/statistics.ts';

export interface TraceLook {
  readonly columns: readonly string[];
  /** Values of each column, in the file's own units; NaN for what is no number. */
  readonly values: readonly Float64Array[];
  /** Hz, where the file itself says it and has no column of times; null where it does not. */
  readonly rateHz: number | null;
}

export interface ProposedColumns {
  readonly time:
    { readonly column: string; readonly unit: 's' | 'ms' | 'us' } | { readonly rate_hz: number } | null;
  readonly left: string | null;
  readonly right: string | null;
  /** Sentences on what a person should look at. */
  readonly remarks: readonly string[];
}

const LEFT = words('left l links linke lh gauche izquierda sinistra esquerda');
const RIGHT = words('right r rechts rechte rh droite derecha destra direita');
/** A share of samples at one end of the values that are all the same: the sensor's end, not the swimmer's force. */
const SATURATED = 0.01;
const UNITS = { 1: 's', 1000: 'ms', 1000000: 'us' } as const;

/** Proposes the columns of a trace. */
export function proposeColumns({ columns, values, rateHz }: TraceLook): ProposedColumns {
  const remarks: string[] = [];
  const timeAt = columns.findIndex((_, at) => isTime(values[at]!));
  const byRate = rateHz === null ? null : { rate_hz: rateHz };
  const time = timeAt < 0 ? byRate : { column: columns[timeAt]!, unit: unitOf(values[timeAt]!) };
  const live = columns.flatMap((column, at) => {
    if (at === timeAt) return [];
    const fault = faultOf(values, at, timeAt, columns);
    if (fault !== null) remarks.push(`“${column}” ${fault}.`);
    return fault === null ? [at] : [];
  });
  const told = (list: readonly string[]) =>
    live.find((at) => plainWords(columns[at]!).some((word) => list.includes(word)));
  const left = told(LEFT);
  const right = told(RIGHT);
  const others = live.filter((at) => at !== left && at !== right && swing(values[at]!) > 0);
  const isGuessed = left === undefined || right === undefined;
  const leftAt = left ?? others.shift();
  const rightAt = right ?? others.shift();
  if (isGuessed && leftAt !== undefined && rightAt !== undefined)
    remarks.push(
      `No heading tells the hands apart: “${columns[leftAt]!}” was taken as left and “${columns[rightAt]!}” as right; see that it is so.`,
    );
  for (const at of [leftAt, rightAt])
    if (at !== undefined && saturation(values[at]!) > SATURATED)
      remarks.push(
        `“${columns[at]!}” stands at the end of its range in part of the samples; see the sensor’s range.`,
      );
  return {
    time,
    left: leftAt === undefined ? null : columns[leftAt]!,
    right: rightAt === undefined ? null : columns[rightAt]!,
    remarks,
  };
}

/** A time goes on from row to row, in steps of about one size. */
function isTime(values: Float64Array): boolean {
  const steps = stepsOf(values);
  const usual = median(steps);
  if (usual === null || steps.length < 3 || !steps.every((step) => step > 0)) return false;
  return steps.filter((step) => Math.abs(step / usual - 1) < 0.5).length > 0.9 * steps.length;
}

function stepsOf(values: Float64Array): readonly number[] {
  return Array.from({ length: Math.max(0, values.length - 1) }, (_, k) => values[k + 1]! - values[k]!);
}

function unitOf(values: Float64Array): 's' | 'ms' | 'us' {
  const perSecond = unitsPerSecond(median(stepsOf(values)) ?? 1);
  return UNITS[perSecond as keyof typeof UNITS] ?? 's';
}

function faultOf(
  values: readonly Float64Array[],
  at: number,
  timeAt: number,
  columns: readonly string[],
): string | null {
  const own = values[at]!;
  if (own.every(Number.isNaN)) return 'holds no numbers';
  if (swing(own) === 0) return 'never changes: a dead channel';
  const other = values.findIndex(
    (one, k) => k < at && k !== timeAt && one.every((value, row) => Object.is(value, own[row])),
  );
  return other < 0 ? null : `is a copy of “${columns[other]!}”`;
}

/** Difference of the highest and the lowest value. */
function swing(values: Float64Array): number {
  const numbers = values.filter((value) => !Number.isNaN(value));
  return numbers.length === 0 ? 0 : largest(numbers) - smallest(numbers);
}

/** The share of samples that stand at the highest or the lowest value. */
function saturation(values: Float64Array): number {
  const numbers = values.filter((value) => !Number.isNaN(value));
  const share = (end: number) => numbers.filter((value) => value === end).length / numbers.length;
  return Math.max(share(largest(numbers)), share(smallest(numbers)));
}
