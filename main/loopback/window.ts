/** Shows the app in a browser window of its own and tells how that ended. */
import { spawn } from 'node:child_process';

export type WindowEnd =
  /** The person closed the window. */
  | 'closed'
  /** It never showed the app. */
  | 'failed'
  /** A browser that was running already took the window over; its end cannot be seen from here. */
  | 'handed over';

interface WindowOptions {
  readonly browser: string;
  readonly link: string;
  /** The browser's own data: kept apart from the person's browsing. */
  readonly profile: string;
  /** Resolves when the window has come in by its link. */
  readonly entered: Promise<unknown>;
  /** Ends the window when aborted. */
  readonly signal: AbortSignal;
  /** A browser that ends sooner than this after its window came in has handed it over. */
  readonly handOverMs?: number;
  /** How long a window may take to come in after its browser process has ended. */
  readonly graceMs?: number;
}

export function browserArguments(link: string, profile: string, asRoot: boolean): string[] {
  return [
    `--app=${link}`,
    `--user-data-dir=${profile}`,
    '--no-first-run',
    '--no-default-browser-check',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    '--disable-extensions',
    '--disable-features=Translate,MediaRouter',
    '--password-store=basic',
    '--use-mock-keychain',
    '--window-size=1360,900',
    // Chromium does not start as root with its sandbox on.
    ...(asRoot ? ['--no-sandbox'] : []),
  ];
}

export async function showWindow(options: WindowOptions): Promise<WindowEnd> {
  const { handOverMs = 3_000, graceMs = 3_000 } = options;
  const asRoot = process.platform === 'linux' && process.getuid?.() === 0;
  const startedAt = performance.now();
  const child = spawn(options.browser, browserArguments(options.link, options.profile, asRoot), {
    stdio: 'ignore',
  });
  const stop = () => child.kill();
  options.signal.addEventListener('abort', stop, { once: true });
  await new Promise<void>((resolve) => {
    child.once('error', () => resolve());
    child.once('exit', () => resolve());
  });
  options.signal.removeEventListener('abort', stop);
  if (options.signal.aborted) return 'closed';

  const lived = performance.now() - startedAt;
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<false>((resolve) => (timer = setTimeout(() => resolve(false), graceMs)));
  const came = await Promise.race([options.entered.then(() => true), late]);
  clearTimeout(timer);
  if (!came) return 'failed';
  return lived < handOverMs ? 'handed over' : 'closed';
}
