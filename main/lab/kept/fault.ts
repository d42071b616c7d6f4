/** What a person is told where something thrown ended a use case. */
import { bugSaid, type LabError } from '../../../core/base/refusal.ts';
import { sayBug } from './saybug.ts';
import { databaseFault } from '../../store/errors.ts';
import { KeptFault } from '../shapes/shape.ts';
import { storeFault, type Session } from './session.ts';

/** The same where a fault of the program must not take what stands beside it along: it is said as one. */
export function faultSaid(session: Session, caught: unknown): LabError {
  try {
    return faultOf(session, caught);
  } catch (bug) {
    sayBug(bug);
    return bugSaid(bug);
  }
}

/** The fault behind what was thrown, where what is kept or its disk caused it; throws on what is a bug. */
export function faultOf({ store }: Session, caught: unknown): LabError {
  if (caught instanceof KeptFault) return caught.error;
  const fault = databaseFault(caught, store.folder);
  if (fault === null) throw caught;
  return storeFault(fault).error;
}
