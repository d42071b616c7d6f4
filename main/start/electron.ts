/** Runs the desktop window in its own process. */
import { spawn } from 'node:child_process';

export type DesktopEnd =
  { readonly kind: 'ended'; readonly code: number } | { readonly kind: 'did not start' };

/** A desktop process that fails sooner than this never showed a window. */
const START_MS = 5_000;

export function desktopArguments(root: string, sample: boolean, asRoot: boolean): string[] {
  // Chromium does not start as root with its sandbox on.
  return [...(asRoot ? ['--no-sandbox'] : []), root, ...(sample ? ['--sample'] : [])];
}

export async function runDesktop(options: {
  readonly electron: string;
  readonly root: string;
  readonly sample: boolean;
  readonly signal: AbortSignal;
}): Promise<DesktopEnd> {
  const asRoot = process.platform === 'linux' && process.getuid?.() === 0;
  const environment = { ...process.env };
  delete environment['ELECTRON_RUN_AS_NODE'];
  const startedAt = performance.now();
  const child = spawn(options.electron, desktopArguments(options.root, options.sample, asRoot), {
    stdio: 'inherit',
    env: environment,
  });
  const stop = () => child.kill();
  options.signal.addEventListener('abort', stop, { once: true });
  const code = await new Promise<number | null>((resolve) => {
    child.once('error', () => resolve(null));
    child.once('exit', resolve);
  });
  options.signal.removeEventListener('abort', stop);
  if (options.signal.aborted) return { kind: 'ended', code: 0 };
  if (code !== 0 && performance.now() - startedAt < START_MS) return { kind: 'did not start' };
  return { kind: 'ended', code: code ?? 1 };
}
