/**
 * What every host answers: the built screens, the lab's resources, and (where a host has no bridge of its own) calls.
 * A host decides who may ask; this decides what there is.
 */
import { realpath } from 'node:fs/promises';
import { extname, join, sep } from 'node:path';
import { readAddress } from '../../../core/contract/addresses.ts';
import { isCallName } from '../../../core/contract/contract.ts';
import { answerCall } from './callroute.ts';
import type { Lab } from '../kept/port.ts';
import { answerResource } from './resource.ts';
import { SAFE_HEADERS, sentence } from './safe.ts';

export type Respond = (request: Request) => Promise<Response>;

interface RespondOptions {
  readonly lab: Lab;
  /** The folder of the built screens. */
  readonly rendererFolder: string;
  /** Whether `POST /call/<name>` is answered here. */
  readonly calls: boolean;
  /** Hears of every error that no person caused. */
  readonly onBug: (error: unknown) => void;
}

const MIME: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.webp': 'image/webp',
  '.woff2': 'font/woff2',
};

/** Makes the answerer. It never rejects: a bug is told to `onBug` and answered with 500. */
export function makeRespond(options: RespondOptions): Respond {
  return async (request) => {
    try {
      const answer = await route(options, request);
      for (const [name, value] of Object.entries(SAFE_HEADERS)) answer.headers.set(name, value);
      return answer;
    } catch (error) {
      options.onBug(error);
      return sentence(500, 'Lanebench met a fault of its own here. What was saved before is safe.');
    }
  };
}

async function route(options: RespondOptions, request: Request): Promise<Response> {
  const path = decodedPath(new URL(request.url).pathname);
  if (path === null) return sentence(400, 'This address cannot be read.');
  if (options.calls && path.startsWith('/call/')) {
    const name = path.slice('/call/'.length);
    if (!isCallName(name)) return sentence(404, 'There is no such call.');
    return request.method === 'POST' ? answerCall(options.lab, name, request) : wrongMethod('POST');
  }
  if (request.method !== 'GET' && request.method !== 'HEAD') return wrongMethod('GET, HEAD');
  const resource =
    readAddress(path) === null
      ? await screenFile(options.rendererFolder, path)
      : await options.lab.resource(path);
  const answer = resource && (await answerResource(request, resource));
  return answer ?? sentence(404, 'There is nothing at this address.');
}

function wrongMethod(allow: string): Response {
  const answer = sentence(405, `This address takes ${allow} only.`);
  answer.headers.set('allow', allow);
  return answer;
}

/** The path decoded once, or null where it is malformed or steps outside by dots, backslashes or control characters. */
function decodedPath(path: string): string | null {
  let decoded: string;
  try {
    decoded = decodeURIComponent(path);
  } catch {
    return null;
  }
  // eslint-disable-next-line no-control-regex -- control characters are what is looked for
  if (/[\u0000-\u001f\u007f\\]/.test(decoded)) return null;
  return decoded.split('/').some((part) => part === '.' || part === '..') ? null : decoded;
}

async function screenFile(folder: string, path: string) {
  // A colon names a drive or a stream on Windows.
  if (path.includes(':')) return null;
  try {
    const root = await realpath(folder);
    const file = await realpath(join(root, path === '/' ? 'index.html' : path));
    if (!file.startsWith(root + sep)) return null;
    const mime = MIME[extname(file).toLowerCase()] ?? 'application/octet-stream';
    return { kind: 'file', path: file, mime } as const;
  } catch {
    return null;
  }
}
