/**
 * What changed of a trial's numbers because the program changed: the cells of trials.csv and strokes.csv of the kept
 * result held against those of the result that this program comes to from the same inputs.
 */
import type { Cell } from '../base/csv.ts';
import { HANDS } from '../base/hand.ts';
import { strokes } from './strokefields.ts';
import { trials, type TrialLine } from './trialfields.ts';

/** A cell that differs. */
export interface NumberDifference {
  /** Column of trials.csv, or `strokes.COLUMN` of a stroke. */
  readonly column: string;
  /** Which stroke, such as `left 3`; null for a cell of the trial. */
  readonly stroke: string | null;
  /** Unit as printed; empty for what has none. */
  readonly unit: string;
  /** Null where it is empty. */
  readonly before: Cell;
  readonly after: Cell;
}

/** A change of the program that moves numbers. */
export interface NumberChange {
  /** The first version of the program that has it. */
  readonly since: string;
  /** Columns of trials.csv or `strokes.COLUMN` that it moves. */
  readonly columns: readonly string[];
  /** Why, as a sentence. */
  readonly says: string;
}

/** Every change of the program that moves numbers, oldest first: who makes one adds it here, with the version. */
const NUMBER_CHANGES: readonly NumberChange[] = [];

/** Decided by people, or told by the inputs: no program changes them. */
const GIVEN = new Set(['status', 'exclusion_reason']);

/** The cells in which two results of one trial differ; strokes that only one of them has differ in every cell. */
export function numberDifferences(before: TrialLine, after: TrialLine): readonly NumberDifference[] {
  const list: NumberDifference[] = [];
  for (const { name, unit, of } of trials) {
    const [was, is] = [of(before), of(after)];
    if (!GIVEN.has(name) && !Object.is(was, is))
      list.push({ column: name, stroke: null, unit, before: was, after: is });
  }
  const [old, young] = [strokeCells(before), strokeCells(after)];
  for (const stroke of new Set([...old.keys(), ...young.keys()])) {
    const [was, is] = [old.get(stroke), young.get(stroke)];
    for (const [at, { name, unit }] of strokes.entries()) {
      const [a, b] = [was?.[at] ?? null, is?.[at] ?? null];
      if (!Object.is(a, b)) list.push({ column: `strokes.${name}`, stroke, unit, before: a, after: b });
    }
  }
  return list;
}

function strokeCells({ entry, result }: TrialLine): ReadonlyMap<string, readonly Cell[]> {
  const list = HANDS.flatMap((hand) => result.strokes.filter(({ stroke }) => stroke.hand === hand));
  return new Map(
    list.map((stroke) => [
      `${stroke.stroke.hand} ${stroke.stroke.number}`,
      strokes.map(({ of }) => of({ entry, stroke })),
    ]),
  );
}

/**
 * Why a column's numbers may differ between two versions of the program, a sentence each: the changes that came after
 * the one and not after the other, whichever is the older. Empty where none of them names the column.
 */
export function whyChanged(
  column: string,
  from: string,
  to: string,
  changes: readonly NumberChange[] = NUMBER_CHANGES,
): readonly string[] {
  const [low, high] = compareVersions(from, to) <= 0 ? [from, to] : [to, from];
  return changes
    .filter(
      ({ since, columns }) =>
        compareVersions(since, low) > 0 && compareVersions(since, high) <= 0 && columns.includes(column),
    )
    .map(({ since, says }) => `Since ${since}: ${says}`);
}

/**
 * Below 0, 0 or above 0 (no unit) where a version is before, the same as or after another, by the three numbers of
 * Semantic Versioning. Labels are passed over. Source: Semantic Versioning 2.0.0 (2013), section 11.
 */
export function compareVersions(a: string, b: string): number {
  const parts = (version: string) => version.split(/[-+]/, 1)[0]!.split('.').map(Number);
  const [left, right] = [parts(a), parts(b)];
  for (const k of [0, 1, 2]) {
    const gap = (left[k] ?? 0) - (right[k] ?? 0);
    if (gap !== 0) return gap;
  }
  return 0;
}
