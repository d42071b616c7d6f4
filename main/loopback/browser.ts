/** Finds an installed browser of the Chromium family: they can show a page as a window of its own. */
import { accessSync, constants, statSync } from 'node:fs';
import { posix, win32 } from 'node:path';

type Environment = Readonly<Record<string, string | undefined>>;

export interface BrowserSearch {
  readonly environment: Environment;
  readonly platform: NodeJS.Platform;
  readonly homedir: string;
  readonly canRun: (path: string) => boolean;
}

export type BrowserChoice =
  | { readonly kind: 'found'; readonly path: string }
  /** LANEBENCH_BROWSER is `none`. */
  | { readonly kind: 'unwanted' }
  /** LANEBENCH_BROWSER names something that cannot be run. */
  | { readonly kind: 'misnamed'; readonly named: string }
  | { readonly kind: 'none' };

const LINUX = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'microsoft-edge',
  'microsoft-edge-stable',
  'brave-browser',
  'vivaldi',
];
const MACOS = ['Chromium', 'Google Chrome', 'Microsoft Edge', 'Brave Browser', 'Vivaldi'];
const WINDOWS = [
  'Google\\Chrome\\Application\\chrome.exe',
  'Microsoft\\Edge\\Application\\msedge.exe',
  'Chromium\\Application\\chrome.exe',
  'BraveSoftware\\Brave-Browser\\Application\\brave.exe',
  'Vivaldi\\Application\\vivaldi.exe',
];

/** True where `path` is a file this user may run. */
export function canRun(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return statSync(path).isFile();
  } catch {
    return false;
  }
}

export function findBrowser(search: BrowserSearch): BrowserChoice {
  const named = search.environment['LANEBENCH_BROWSER'];
  if (named === 'none') return { kind: 'unwanted' };
  const candidates = named ? byName(search, named) : usual(search);
  const path = candidates.find(search.canRun);
  if (path !== undefined) return { kind: 'found', path };
  return named ? { kind: 'misnamed', named } : { kind: 'none' };
}

function byName(search: BrowserSearch, named: string): string[] {
  return /[\\/]/.test(named) ? [named] : onPath(search, [named]);
}

function usual(search: BrowserSearch): string[] {
  const { environment, platform, homedir } = search;
  if (platform === 'darwin') {
    return ['/Applications', posix.join(homedir, 'Applications')].flatMap((folder) =>
      MACOS.map((app) => posix.join(folder, `${app}.app`, 'Contents', 'MacOS', app)),
    );
  }
  if (platform === 'win32') {
    return ['ProgramFiles', 'ProgramFiles(x86)', 'LOCALAPPDATA']
      .flatMap((name) => environment[name] || [])
      .flatMap((folder) => WINDOWS.map((tail) => win32.join(folder, tail)));
  }
  return onPath(search, LINUX);
}

function onPath({ environment, platform }: BrowserSearch, names: readonly string[]): string[] {
  const path = platform === 'win32' ? win32 : posix;
  const folders = (environment['PATH'] ?? environment['Path'] ?? '')
    .split(path.delimiter)
    .filter(path.isAbsolute);
  const ends = platform === 'win32' ? ['', '.exe'] : [''];
  return names.flatMap((name) =>
    folders.flatMap((folder) => ends.map((end) => path.join(folder, name + end))),
  );
}
