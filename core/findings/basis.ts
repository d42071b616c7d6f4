/**
 * What the values of a comparison rest on where propulsion is not marked alike in all trials: read from force it starts
 * and ends at other moments than on film, so that an index of one and one of the other are not the same quantity.
 */
import type { Study } from './study.ts';
import type { Unit } from './units.ts';

/** Columns that rest on the marks of propulsion. */
const RESTS =
  /^(?:idc_(?:left_|right_)?pct|cycle_time_s|stroke_rate_cpm|stroke_length_m|(?:peak|mean)_force_(?:left|right)_n|impulse_(?:left|right)_ns|force_symmetry_pct|strokes\.(?:idc_pct|entry_catch_pct|pull_pct|push_pct|recovery_pct|peak_force_n|mean_force_n|impulse_ns))$/;

const INDEX = /^(?:strokes\.)?idc_(?:left_|right_)?pct$/;

/** True for an index of coordination: what it was read from is said beside it, also where that is one thing. */
export function isIndex(column: string): boolean {
  return INDEX.test(column);
}

/** True where a column rests on the marks of propulsion, so that values of different basis are not the same quantity. */
export function restsOnPropulsion(column: string): boolean {
  return RESTS.test(column);
}

const FROM: Readonly<Record<string, string>> = {
  force: 'from force',
  video: 'from film',
  mixed: 'partly from force, partly from film',
};

/**
 * One sentence where the trials of a comparison do not all have propulsion from one source, and for an index of
 * coordination also where they do; else null.
 * @param columns those compared: the outcome, and what it is held against
 */
export function basisSays(
  { tables: { trials } }: Pick<Study, 'tables'>,
  columns: readonly string[],
  units: readonly Pick<Unit, 'trials'>[],
): string | null {
  const at = trials.columns.indexOf('propulsion_basis');
  if (at < 0 || !columns.some((column) => RESTS.test(column))) return null;
  const used = new Set(units.flatMap((unit) => unit.trials));
  const counts = new Map<string, number>();
  for (const { cells } of used) {
    const basis = cells[at] ?? '';
    if (basis in FROM) counts.set(basis, (counts.get(basis) ?? 0) + 1);
  }
  if (counts.size < 2 && !counts.has('mixed')) {
    const [only] = counts.keys();
    if (only === undefined || !columns.some(isIndex)) return null;
    return `Index of coordination: propulsion ${FROM[only]!} in all trials put together here.`;
  }
  const parts = Object.keys(FROM).flatMap((basis) => {
    const count = counts.get(basis);
    return count === undefined ? [] : `${FROM[basis]!} in ${count}`;
  });
  return `Propulsion was not marked alike in the trials put together here: ${parts.join(', ')}. Read from force it starts and ends at other moments than on film, so these are not the same quantity: mark alike, or keep one propulsion_basis with "where".`;
}
