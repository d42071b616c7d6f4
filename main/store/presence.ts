/** Whether a lab folder that is open is still the one that lies in its place. */
import { statSync } from 'node:fs';
import { layoutOf } from './layout.ts';

/**
 * Tells, whenever it is asked, whether the database is the file that it was. A drive that was pulled or a folder that
 * was moved leaves an open database that takes every word and keeps none of them where anybody would look.
 */
export function presenceOf(folder: string): () => boolean {
  const { database } = layoutOf(folder);
  const was = identityOf(database);
  return () => was === null || identityOf(database) === was;
}

function identityOf(path: string): string | null {
  try {
    const { dev, ino } = statSync(path, { bigint: true });
    return `${dev} ${ino}`;
  } catch {
    return null;
  }
}
