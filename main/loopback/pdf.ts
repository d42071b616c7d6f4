/** Prints a page as PDF with an installed browser of the Chromium family, without a window. */
import { spawn } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const LIMIT_MS = 30_000;

/** The page as PDF; null where the browser did not make one within the time limit. */
export async function printPdf(
  browser: string,
  html: string,
  limitMs = LIMIT_MS,
): Promise<Uint8Array<ArrayBuffer> | null> {
  const folder = await mkdtemp(join(tmpdir(), 'lanebench-pdf-'));
  try {
    const [page, pdf] = [join(folder, 'page.html'), join(folder, 'page.pdf')];
    await writeFile(page, html);
    await run(browser, argumentsFor(pathToFileURL(page).href, pdf, join(folder, 'profile')), limitMs);
    const bytes = await readFile(pdf).catch(() => null);
    return bytes === null ? null : Uint8Array.from(bytes);
  } finally {
    // A browser that was ended may still be letting go of its profile.
    await rm(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  }
}

function argumentsFor(page: string, pdf: string, profile: string): string[] {
  const asRoot = process.platform === 'linux' && process.getuid?.() === 0;
  return [
    '--headless',
    `--print-to-pdf=${pdf}`,
    '--no-pdf-header-footer',
    `--user-data-dir=${profile}`,
    '--no-first-run',
    '--disable-gpu',
    '--disable-extensions',
    '--disable-background-networking',
    '--disable-sync',
    '--password-store=basic',
    '--use-mock-keychain',
    ...(asRoot ? ['--no-sandbox'] : []),
    page,
  ];
}

/** Runs the browser until it ends; one that takes too long is ended. */
function run(browser: string, args: readonly string[], limitMs: number): Promise<void> {
  return new Promise((resolve) => {
    const child = spawn(browser, args, { stdio: 'ignore' });
    const timer = setTimeout(() => child.kill('SIGKILL'), limitMs);
    const end = () => {
      clearTimeout(timer);
      resolve();
    };
    child.once('error', end);
    child.once('exit', end);
  });
}
