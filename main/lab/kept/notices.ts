/** What a person must know of the lab folder, on every screen while it holds. */
import type { LabError } from '../../../core/base/refusal.ts';
import type { Session } from './session.ts';

/** Damages are told one by one up to this many. */
const MOST = 8;

export function noticesOf({ store }: Session): readonly LabError[] {
  const notices: LabError[] = [];
  const code = 'lab_folder';
  const { readOnly, damage } = store;
  if (readOnly !== null)
    notices.push({
      code,
      says: `${readOnly.says} It is open for looking: nothing is recorded.`,
      todo: readOnly.todo,
    });
  for (const { expected, found } of store.losses())
    notices.push({
      code,
      says: `${expected - found} of ${expected} acts that were recorded are no longer in the lab folder: the end of its log was lost, or an older copy was put in its place.`,
      todo: 'Look at the history of the last days worked on and decide again what is missing; or open a newer backup.',
    });
  const todo =
    'Everything else works. A backup may still hold it; "lanebench salvage" writes what can be read to a new lab folder.';
  for (const { day, says } of damage.slice(0, MOST)) {
    const named = day === null ? null : store.getDay(day);
    notices.push({ code, says: named === null ? says : `Day ${named.day}: ${says}`, todo });
  }
  if (damage.length > MOST)
    notices.push({
      code,
      says: `${damage.length - MOST} more things are damaged.`,
      todo: '"lanebench verify" lists all of them.',
    });
  return notices;
}
