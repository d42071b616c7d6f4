/**
 * The Electron runtime: where it lies, and fetching it. The `electron` package is never imported for this:
 * importing it starts a download that can hang.
 */
import { spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';

type Environment = Readonly<Record<string, string | undefined>>;

const CONNECT_MS = 3_000;
const INSTALL_MS = 15 * 60_000;
const DEFAULT_MIRROR = 'https://github.com/';

/** The Electron executable below `root`/node_modules, or where ELECTRON_OVERRIDE_DIST_PATH says; null where it is not there. */
export function findElectron(root: string, environment: Environment): string | null {
  const home = join(root, 'node_modules', 'electron');
  const named = readName(join(home, 'path.txt'));
  const elsewhere = environment['ELECTRON_OVERRIDE_DIST_PATH'];
  const name = elsewhere ? (named ?? 'electron') : named;
  if (name === null) return null;
  const path = join(elsewhere || join(home, 'dist'), name);
  return existsSync(path) ? path : null;
}

function readName(file: string): string | null {
  return existsSync(file) ? readFileSync(file, 'utf8').trim() || null : null;
}

export interface Reach {
  readonly host: string;
  readonly port: number;
}

/** The machine the runtime would come from (or the proxy in between); null where the setting is no address. */
export function hostToReach(environment: Environment): Reach | null {
  const proxy =
    environment['ELECTRON_GET_USE_PROXY'] && (environment['HTTPS_PROXY'] || environment['https_proxy']);
  const mirror =
    environment['ELECTRON_MIRROR'] || environment['npm_config_electron_mirror'] || DEFAULT_MIRROR;
  const address = URL.parse(proxy || mirror);
  if (address === null || address.hostname === '') return null;
  const port = Number(address.port) || (address.protocol === 'http:' ? 80 : 443);
  return { host: address.hostname.replace(/^\[|\]$/g, ''), port };
}

/** True where a connection opens within `timeoutMs`. */
export function answers(reach: Reach, timeoutMs = CONNECT_MS): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect(reach);
    const end = (open: boolean) => {
      clearTimeout(timer);
      socket.destroy();
      resolve(open);
    };
    const timer = setTimeout(() => end(false), timeoutMs);
    socket.once('connect', () => end(true));
    socket.once('error', () => end(false));
  });
}

/** Fetches the runtime. Null where it is installed afterwards; else what went wrong and what to do. */
export async function fetchElectron(
  root: string,
  environment: Environment,
  limits: { readonly connectMs?: number; readonly installMs?: number } = {},
): Promise<string | null> {
  const { connectMs = CONNECT_MS, installMs = INSTALL_MS } = limits;
  const instead = '"npm start" opens the same app in a browser window without it.';
  const reach = hostToReach(environment);
  if (reach === null) return `ELECTRON_MIRROR is not an address. Correct or remove it; ${instead}`;
  if (!(await answers(reach, connectMs))) {
    return (
      `The Electron runtime cannot be fetched: ${reach.host} could not be reached within ${connectMs / 1000} s. ` +
      `Try again on a network that reaches it, or set ELECTRON_MIRROR; ${instead}`
    );
  }
  const ended = await runInstall(join(root, 'node_modules', 'electron', 'install.js'), installMs);
  if (ended === 'late') {
    return `Fetching the Electron runtime took longer than ${Math.round(installMs / 60_000)} min and was stopped. Try again; ${instead}`;
  }
  if (ended !== 0 || findElectron(root, environment) === null) {
    return `Fetching the Electron runtime failed (see above). Try again; ${instead}`;
  }
  return null;
}

function runInstall(script: string, limitMs: number): Promise<number | null | 'late'> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [script], { stdio: ['ignore', 'inherit', 'inherit'] });
    const timer = setTimeout(() => {
      child.kill('SIGKILL');
      resolve('late');
    }, limitMs);
    child.once('close', (code) => {
      clearTimeout(timer);
      resolve(code);
    });
    child.once('error', () => {
      clearTimeout(timer);
      resolve(null);
    });
  });
}
