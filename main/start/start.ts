/** `npm start` and `npm run desktop`: from the arguments to a window, in sentences where something is missing. */
import { homedir } from 'node:os';
import { defaultLabFolder } from '../lab/home.ts';
import type { OpenLab } from '../lab/opening.ts';
import { canRun, findBrowser } from '../loopback/browser.ts';
import { ensureBuilt } from './build.ts';
import { runDesktop } from './electron.ts';
import { chooseBrowserHost, chooseHost, hasDisplay, type Host } from './host.ts';
import { nodeFault } from './node.ts';
import { HELP, readOptions } from './options.ts';
import { fetchElectron, findElectron } from './runtime.ts';
import { serve } from './serve.ts';

export interface StartContext {
  readonly args: readonly string[];
  readonly environment: Readonly<Record<string, string | undefined>>;
  readonly root: string;
  readonly version: string;
  /** Opened only after the Node that runs has been found fit. */
  readonly openLab: OpenLab;
  readonly say: (line: string) => void;
  readonly signal: AbortSignal;
}

/** Runs until the app is closed; gives the process's exit status (2: wrong arguments). */
export async function start(context: StartContext): Promise<number> {
  const { root, environment, say } = context;
  const options = readOptions(context.args);
  if (!options.ok) {
    say(options.error);
    return 2;
  }
  if (options.value.help) {
    say(HELP);
    return 0;
  }
  const unfit = nodeFault(process.versions);
  if (unfit !== null) {
    say(unfit);
    return 1;
  }
  const { desktop, sample } = options.value;
  const browser = findBrowser({ environment, platform: process.platform, homedir: homedir(), canRun });
  const display = hasDisplay(environment, process.platform);
  if (desktop) {
    const missing = await desktopFault(context, display);
    if (missing !== null) {
      say(missing);
      return 1;
    }
  }
  let host: Host = chooseHost({ electron: findElectron(root, environment), browser, display });
  say(host.why);
  const build = () => ensureBuilt(root, say);
  if (host.kind === 'desktop') {
    const fault = await build();
    if (context.signal.aborted) return 0;
    if (fault !== null) {
      say(fault);
      return 1;
    }
    const end = await runDesktop({ electron: host.electron, root, sample, signal: context.signal });
    if (end.kind === 'ended') return end.code;
    if (desktop) {
      say(
        'The desktop window did not start (see above). "npm start" opens the same app in a browser window.',
      );
      return 1;
    }
    say('The desktop window did not start (see above); using a browser instead.');
    host = chooseBrowserHost(browser);
  }
  return serve({
    root,
    home: defaultLabFolder(environment, process.platform, homedir()),
    version: context.version,
    sample,
    browser: host.kind === 'window' ? host.browser : null,
    ...(browser.kind === 'found' ? { printer: browser.path } : {}),
    openLab: context.openLab,
    build,
    say,
    signal: context.signal,
  });
}

async function desktopFault(context: StartContext, display: boolean): Promise<string | null> {
  if (!display)
    return 'The desktop window needs a display, and there is none here. "npm start" gives a link instead.';
  if (findElectron(context.root, context.environment) !== null) return null;
  context.say('Fetching the Electron runtime (once, about 120 MB) …');
  return fetchElectron(context.root, context.environment);
}
