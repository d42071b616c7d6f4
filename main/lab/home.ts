/** Where a person's lab folder lies when nobody says otherwise. */
import { posix, win32 } from 'node:path';

/**
 * The lab folder: `LANEBENCH_HOME`, else the platform's place for a user's program data
 * (XDG Base Directory 0.8 on Linux; Application Support on macOS; LOCALAPPDATA on Windows).
 * `environment` is the process's environment, `homedir` the user's home folder. Never fails, creates nothing.
 */
export function defaultLabFolder(
  environment: Readonly<Record<string, string | undefined>>,
  platform: NodeJS.Platform,
  homedir: string,
): string {
  const path = platform === 'win32' ? win32 : posix;
  const chosen = environment['LANEBENCH_HOME'];
  if (chosen) return path.resolve(chosen);
  if (platform === 'win32') {
    return path.join(environment['LOCALAPPDATA'] || path.join(homedir, 'AppData', 'Local'), 'Lanebench');
  }
  if (platform === 'darwin') return path.join(homedir, 'Library', 'Application Support', 'Lanebench');
  const data = environment['XDG_DATA_HOME'];
  // The XDG specification: a relative path is invalid and must be ignored.
  return path.join(data && path.isAbsolute(data) ? data : path.join(homedir, '.local', 'share'), 'lanebench');
}
