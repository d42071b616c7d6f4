/** What a person is told where something thrown ended a use case. */
import type { LabError } from '../../../core/base/refusal.ts';
import { databaseFault } from '../../store/errors.ts';
import { KeptFault } from '../shapes/shape.ts';
import { storeFault, type Session } from './session.ts';

/** The fault behind what was thrown, where what is kept or its disk caused it; throws on what is a bug. */
export function faultOf({ store }: Session, caught: unknown): LabError {
  if (caught instanceof KeptFault) return caught.error;
  const fault = databaseFault(caught, store.folder);
  if (fault === null) throw caught;
  return storeFault(fault).error;
}
