/** The name of a new folder: what is wrong with one, and the path that it makes. */

/** A path with a folder's name added, by the slashes that the path has. */
export function pathWithin(folder: string, name: string): string {
  const slash = folder.includes('\\') && !folder.includes('/') ? '\\' : '/';
  return folder.endsWith(slash) ? `${folder}${name}` : `${folder}${slash}${name}`;
}

/** What is wrong with a new folder's name; null where nothing is. */
export function nameFault(name: string): string | null {
  if (name.trim() === '') return 'The new folder needs a name.';
  if (/[\\/:*?"<>|]/.test(name) || /^\.+$/.test(name.trim()))
    return 'A folder’s name takes no \\ / : * ? " < > | and is more than dots.';
  return null;
}
