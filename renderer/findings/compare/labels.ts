/** Columns of datasets in the words of the screens. */
import { GRID_COLUMNS } from '../../../core/findings/clean/columns.ts';

const HEADS = new Map(GRID_COLUMNS.map(({ name, head }) => [name, head]));

/** What a column is called on the screens; its own name where they do not show it. */
export function labelOf(name: string): string {
  return HEADS.get(name) ?? name.replaceAll('_', ' ');
}
