/** What the last check of the whole lab folder found. */
import { CHECK_SHAPE } from '../shapes/settings.ts';
import { KeptFault, readText } from '../shapes/shape.ts';
import type { Session } from './session.ts';

const LAST_CHECK = 'check.last';

export interface LastVerification {
  readonly says: string;
  readonly sound: boolean;
  /** ISO 8601 instant. */
  readonly at: string;
}

export function noteVerification({ store }: Session, check: LastVerification, who: string): void {
  store.setSetting(LAST_CHECK, JSON.stringify(check), who, check.at);
}

/** Null where none was made, or the note of it cannot be read. */
export function lastVerification({ store }: Session): LastVerification | null {
  const saved = store.getSetting(LAST_CHECK);
  if (saved === null) return null;
  try {
    return readText(CHECK_SHAPE, saved.text, 'setting check.last');
  } catch (caught) {
    if (caught instanceof KeptFault) return null;
    throw caught;
  }
}
