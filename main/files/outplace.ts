/** Whether a folder may be written where a person said, before anything is computed. */
import { existsSync } from 'node:fs';
import { realpath, stat } from 'node:fs/promises';
import { basename, dirname, join, resolve, sep } from 'node:path';
import { isFree, recover } from './outfolder.ts';

/** The real path of a place, even of one that does not exist yet. */
export async function settle(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch {
    return dirname(path) === path ? path : join(await settle(dirname(path)), basename(path));
  }
}

function isWithin(inner: string, outer: string): boolean {
  return inner === outer || inner.startsWith(outer.endsWith(sep) ? outer : outer + sep);
}

/**
 * Finishes a replacement of OUT that a crash interrupted, and says why OUT cannot be written; null where it can.
 * @param out as the person wrote it
 * @param inputs folders and files that are read, with what a person calls each
 */
export async function outFault(
  out: string,
  inputs: readonly { readonly path: string; readonly name: string }[],
  replace: boolean,
): Promise<string | null> {
  const place = await settle(resolve(out));
  for (const { path, name } of inputs) {
    const input = await settle(resolve(path));
    if (isWithin(place, input) || isWithin(input, place))
      return `OUT (${out}) and ${name} must lie apart; choose another OUT.`;
  }
  if (out === '' || (existsSync(place) && !(await stat(place)).isDirectory()))
    return `OUT (${out}) takes a folder; give its path.`;
  await recover(place);
  if (!replace && !(await isFree(place)))
    return `OUT (${out}) exists and is not empty; choose another, or add --replace.`;
  return null;
}

const NO_ROOM = new Set(['ENOSPC', 'EDQUOT', 'EFBIG']);
const NOT_ALLOWED = new Set(['EACCES', 'EPERM', 'EROFS']);

/** Why something could not be written, in words, without a full stop. */
export function whyNotWritten(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  if (code !== undefined && NO_ROOM.has(code)) return 'there is no room left on its disk';
  if (code !== undefined && NOT_ALLOWED.has(code)) return 'you may not write there';
  return message;
}
