/** Order faults of marks before they are kept: what a stroke's marks, put in time, say against the order rules. */
import type { EventRow } from '../day/tables.ts';
import { type TrialClocks, clocksOf, place } from './marking.ts';
import { HANDS } from '../base/hand.ts';
import { type Marks, orderFault, successionFault } from '../stroke/stroke.ts';

/**
 * Sentences without a full stop, by stroke (`left 3`), for the strokes of one rater that would be left out whole.
 * Marks that no clock places are not looked at.
 */
export function orderFaults(rows: readonly EventRow[], clocks: TrialClocks): ReadonlyMap<string, string> {
  const lines = clocksOf(clocks.pairs);
  const faults = new Map<string, string>();
  for (const hand of HANDS) {
    const strokes = Map.groupBy(
      rows.filter((row) => row.hand === hand),
      ({ stroke }) => stroke,
    );
    let previous: Marks = {};
    for (const [number, own] of [...strokes].toSorted(([a], [b]) => a - b)) {
      const marks: Marks = Object.fromEntries(
        own.flatMap((row) => {
          const mark = place(row, clocks, lines);
          return typeof mark === 'object' ? [[row.event, mark]] : [];
        }),
      );
      const fault = orderFault(marks) ?? successionFault(previous, marks);
      if (fault === null) previous = marks;
      else faults.set(`${hand} ${number}`, fault);
    }
  }
  return faults;
}

/** The first fault that an edit brings in: a stroke that broke a rule before may be mended step by step. */
export function newOrderFault(
  before: readonly EventRow[],
  after: readonly EventRow[],
  clocks: TrialClocks,
): string | null {
  const known = orderFaults(before, clocks);
  for (const [stroke, fault] of orderFaults(after, clocks)) {
    if (known.has(stroke)) continue;
    const [hand, number] = stroke.split(' ');
    return `In the ${hand} hand’s stroke ${number}, ${fault}`;
  }
  return null;
}
