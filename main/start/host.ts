/** Chooses how the app is shown, from facts that take no network and no time to find. */
import type { BrowserChoice } from '../loopback/browser.ts';

export interface HostFacts {
  /** The Electron executable; null where the runtime is not installed. */
  readonly electron: string | null;
  readonly browser: BrowserChoice;
  /** Whether windows can be shown here. */
  readonly display: boolean;
}

export type Host =
  | { readonly kind: 'desktop'; readonly electron: string; readonly why: string }
  | { readonly kind: 'window'; readonly browser: string; readonly why: string }
  | { readonly kind: 'link'; readonly why: string };

/** True where a window can be shown: on Linux that takes a display server. */
export function hasDisplay(
  environment: Readonly<Record<string, string | undefined>>,
  platform: NodeJS.Platform,
): boolean {
  return platform !== 'linux' || Boolean(environment['DISPLAY'] || environment['WAYLAND_DISPLAY']);
}

export function chooseHost(facts: HostFacts): Host {
  if (!facts.display) return { kind: 'link', why: 'Showing a link only: there is no display here.' };
  if (facts.electron !== null) {
    return {
      kind: 'desktop',
      electron: facts.electron,
      why: 'Opening the desktop window: the Electron runtime is installed.',
    };
  }
  return chooseBrowserHost(facts.browser);
}

/** The choice where the desktop window is out of the question. */
export function chooseBrowserHost(browser: BrowserChoice): Exclude<Host, { kind: 'desktop' }> {
  switch (browser.kind) {
    case 'found':
      return {
        kind: 'window',
        browser: browser.path,
        why: `Opening a browser window (${browser.path}): the Electron runtime is not installed.`,
      };
    case 'unwanted':
      return { kind: 'link', why: 'Showing a link only, as LANEBENCH_BROWSER asks.' };
    case 'misnamed':
      return {
        kind: 'link',
        why: `Showing a link only: LANEBENCH_BROWSER names "${browser.named}", which cannot be run here.`,
      };
    case 'none':
      return {
        kind: 'link',
        why: 'Showing a link only: neither the Electron runtime nor a browser of the Chromium family is installed.',
      };
  }
}
