/** Files that come in, in words. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';
import type { FileTarget } from '../../../core/deck/deck.ts';
import { DRY_RUN } from '../../../core/deck/deck.ts';
import type { ArrivingFile, WatchView } from '../../../core/deck/views.ts';
import { formatNumber } from '../../format.ts';

const SPACE = '\u00a0';
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
export function placeWords({ trial, as, camera }: FileTarget): string {
  const where = trial === DRY_RUN ? 'the dry run' : trial;
  return as === 'trace' ? `${where}, trace` : `${where}, film of camera ${camera ?? MAIN_CAMERA}`;
}
