/** Files that come in, in words. */
import type { FilePlace } from '../../../core/deck/deck.ts';
import { DRY_RUN } from '../../../core/deck/deck.ts';
import type { ArrivingFile, WatchView } from '../../../core/deck/views.ts';
import { formatNumber } from '../../format.ts';

const SPACE = '\u00a0';
const UNITS = ['B', 'kB', 'MB', 'GB', 'TB'] as const;

/** A size in bytes with a decimal prefix (SI brochure 3.1: k = 10³, M = 10⁶, G = 10⁹). */
export function bytesText(bytes: number): string {
  const step = Math.min(UNITS.length - 1, Math.max(0, Math.floor(Math.log10(Math.max(1, bytes)) / 3)));
  const value = bytes / 1000 ** step;
  return `${formatNumber(value, step === 0 || value >= 100 ? 0 : 1)}${SPACE}${UNITS[step]!}`;
}

/** How the watched folder stands. */
export function watchWords({ folder, state, says }: WatchView): string {
  if (says !== '') return says;
  if (folder === null || state === 'off') return 'No folder is watched: files do not come in by themselves.';
  return `Watching ${folder.split(/[\\/]/).findLast((part) => part !== '') ?? folder}.`;
}

export function arrivingWords({ state, copied, bytes, says }: ArrivingFile): string {
  if (state === 'growing') return 'still growing';
  if (state === 'copying')
    return `copied ${formatNumber((100 * (copied ?? 0)) / Math.max(1, bytes), 0)}${SPACE}%`;
  const word = state === 'waiting' ? 'waits' : 'stopped';
  return says === '' ? word : `${word}: ${says}`;
}

/** Where a file belongs, such as `S03-1, film of camera B`. */
export function placeWords({ trial, as, camera }: FilePlace): string {
  const where = trial === DRY_RUN ? 'the dry run' : trial;
  return as === 'trace' ? `${where}, trace` : `${where}, film of camera ${camera ?? 'A'}`;
}
