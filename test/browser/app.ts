/** Starts the real program as `npm start` does, in a lab folder of its own, and a real Chromium for it. */
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium, type Browser, type BrowserServer } from 'playwright-core';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url)).replace(/[\\/]$/, '');
export const SAMPLE = join(ROOT, 'sample-sessions', 'harbour-morning');

const CHROMIUM = process.env['LANEBENCH_TEST_BROWSER'] ?? '/usr/bin/chromium';
/** The same Chromium without windows, menus and tabs of its own: it draws the pages with half the work. */
const WINDOWLESS = '/usr/bin/chromium-headless-shell';
/** Why nothing can be shown here; null where it can. */
export const missingBrowser = existsSync(CHROMIUM)
  ? null
  : `no Chromium at ${CHROMIUM}; LANEBENCH_TEST_BROWSER may name one`;

/** How long the program may take from its start to its link; building the screens is part of it, ms. */
const START_MS = 180_000;
const END_MS = 10_000;

/** Folders for one run: a person's home, the lab folder in it, and a place beside that is not theirs. */
export interface Workplace {
  readonly folder: string;
  readonly person: string;
  readonly lab: string;
  readonly remove: () => void;
}

export function makeWorkplace(): Workplace {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), 'lanebench-browser-')));
  const person = join(folder, 'person');
  mkdirSync(person);
  return {
    folder,
    person,
    lab: join(person, 'lab'),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

export interface Program {
  /** Lets one window in, once. */
  readonly link: string;
  readonly origin: string;
  /** Everything it said so far. */
  readonly said: () => string;
  /** Ends it as Ctrl-C does. */
  readonly end: () => Promise<void>;
  /** Ends it as a power cut does. */
  readonly kill: () => Promise<void>;
}

export async function startProgram(place: Workplace, ...args: readonly string[]): Promise<Program> {
  const child = spawn(process.execPath, ['main/launch.mjs', 'start', ...args], {
    cwd: ROOT,
    env: {
      ...process.env,
      HOME: place.person,
      USERPROFILE: place.person,
      LANEBENCH_HOME: place.lab,
      // Without a display no window opens and the link is printed; the browser still prints certificates.
      LANEBENCH_BROWSER: process.platform === 'linux' ? CHROMIUM : 'none',
      DISPLAY: '',
      WAYLAND_DISPLAY: '',
      // An Electron that is installed would be preferred to the link.
      ELECTRON_OVERRIDE_DIST_PATH: join(place.folder, 'no-electron'),
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  const finish = async (signal: NodeJS.Signals) => {
    child.kill(signal);
    const late = setTimeout(() => child.kill('SIGKILL'), END_MS);
    await ended;
    clearTimeout(late);
  };
  const link = await new Promise<string>((resolve, reject) => {
    const fail = (why: string) => reject(new Error(`The program ${why}:\n${said}`));
    const timer = setTimeout(() => fail('gave no link'), START_MS);
    const hear = (text: string) => {
      said += text;
      const found = /http:\/\/127\.0\.0\.1:\d+\/\?token=\S+/.exec(said)?.[0];
      if (found === undefined) return;
      clearTimeout(timer);
      resolve(found);
    };
    child.stdout.setEncoding('utf8').on('data', hear);
    child.stderr.setEncoding('utf8').on('data', hear);
    void ended.then(() => {
      clearTimeout(timer);
      fail('ended');
    });
  }).catch(async (error: unknown) => {
    await finish('SIGKILL');
    throw error;
  });
  return {
    link,
    origin: new URL(link).origin,
    said: () => said,
    end: () => finish('SIGTERM'),
    kill: () => finish('SIGKILL'),
  };
}

const asRoot = process.getuid?.() === 0;
const named = process.env['LANEBENCH_TEST_BROWSER'] !== undefined;
const driven = !named && existsSync(WINDOWLESS) ? WINDOWLESS : CHROMIUM;
const options = { executablePath: driven, args: asRoot ? ['--no-sandbox'] : [] };

export const launchBrowser = (): Promise<Browser> => chromium.launch(options);
/** A browser that several processes open windows in, by its address. */
export const serveBrowser = (): Promise<BrowserServer> => chromium.launchServer(options);
export const joinBrowser = (address: string): Promise<Browser> => chromium.connect(address);
