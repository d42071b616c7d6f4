/** The app served to a browser window on this computer, and to nobody else. */
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { randomBytes, timingSafeEqual } from 'node:crypto';
import type { Respond } from '../lab/answer/respond.ts';
import type { Door } from '../lab/lock.ts';
import { SAFE_HEADERS, sentence } from '../lab/answer/safe.ts';
import { send, toRequest } from './bridge.ts';
import { judge, refuseAddress, type Own, type Verdict } from './guard.ts';
import { limitIdle } from './idle.ts';
import { makeKeys } from './keys.ts';

export const DOOR_PATH = '/link';
export const DOOR_HEADER = 'x-lanebench-door';

export interface Loopback {
  readonly origin: string;
  /** A link that lets one window in, once; `fragment` (from `#` on) says where in the app it arrives. */
  readonly newLink: (fragment?: string) => string;
  /** How a second start of the program asks for another link. */
  readonly door: Door;
  /** Resolves when the first window has come in. */
  readonly entered: Promise<unknown>;
  readonly close: () => Promise<void>;
}

interface LoopbackOptions {
  readonly respond: Respond;
  readonly onBug: (error: unknown) => void;
}

/** Listens on 127.0.0.1 at a port the system chooses. */
export async function openLoopback(options: LoopbackOptions): Promise<Loopback> {
  const keys = makeKeys();
  const doorKey = randomBytes(32).toString('base64url');
  const entered = Promise.withResolvers<undefined>();
  const server = createServer({
    maxHeaderSize: 16 * 1024,
    headersTimeout: 10_000,
    requestTimeout: 30_000,
    connectionsCheckingInterval: 5_000,
  });
  server.maxConnections = 100;
  limitIdle(server);
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(0, '127.0.0.1', resolve);
  });
  const { port } = server.address() as AddressInfo;
  const host = `127.0.0.1:${port}`;
  const own: Own = { host, origin: `http://${host}`, cookie: `lanebench-${port}` };
  // A browser carries the fragment over the redirect to the clean address.
  const newLink = (fragment = '') => `${own.origin}/?token=${keys.newToken()}${fragment}`;

  async function answer(incoming: IncomingMessage): Promise<Response> {
    if (asksAtDoor(incoming)) return answerDoor(incoming);
    const verdict = judge(incoming, own, keys);
    if (verdict.kind === 'in') return options.respond(toRequest(incoming, own.origin));
    if (verdict.kind === 'enter') entered.resolve(undefined);
    return answerVerdict(verdict, own);
  }

  function answerDoor(incoming: IncomingMessage): Response {
    const key = incoming.headers[DOOR_HEADER];
    const right =
      refuseAddress(incoming, own) === null &&
      incoming.headers.origin === undefined &&
      typeof key === 'string' &&
      key.length === doorKey.length &&
      timingSafeEqual(Buffer.from(key, 'latin1'), Buffer.from(doorKey, 'latin1'));
    return right ? sentence(200, newLink()) : sentence(403, 'This door needs its key.');
  }

  server.on('request', (incoming: IncomingMessage, outgoing: ServerResponse) => {
    void answer(incoming)
      .then((response) => send(response, incoming, outgoing))
      .catch((error: unknown) => {
        outgoing.destroy();
        if (!isReaderGone(error)) options.onBug(error);
      });
  });

  return {
    origin: own.origin,
    newLink,
    door: { port, key: doorKey },
    entered: entered.promise,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

function asksAtDoor(incoming: IncomingMessage): boolean {
  return incoming.method === 'POST' && incoming.url === DOOR_PATH;
}

function answerVerdict(verdict: Exclude<Verdict, { kind: 'in' }>, own: Own): Response {
  if (verdict.kind === 'out')
    return verdict.status === 401 ? noKeyPage(verdict.says) : sentence(verdict.status, verdict.says);
  const headers = new Headers({ ...SAFE_HEADERS, location: '/' });
  if (verdict.kind === 'enter') {
    headers.set('set-cookie', `${own.cookie}=${verdict.session}; HttpOnly; SameSite=Strict; Path=/`);
  }
  return new Response(null, { status: 303, headers });
}

/**
 * The way back in is a link on a page of our own: a browser keeps a strict cookie back from a redirect that began on
 * another site (a link followed from a mail or a web terminal), but sends it when the person goes on from here.
 */
function noKeyPage(says: string): Response {
  const page = `<!doctype html><html lang="en"><meta charset="utf-8"><title>Lanebench</title>
<h1>Lanebench</h1><p>${says}</p>
<p>If you have just followed a link from the terminal, <a href="/">go on</a>. Otherwise start Lanebench again (npm start): it opens a new window or gives a new link.</p>
</html>
`;
  const headers = { ...SAFE_HEADERS, 'content-type': 'text/html; charset=utf-8' };
  return new Response(page, { status: 401, headers });
}

function isReaderGone(error: unknown): boolean {
  const code = (error as NodeJS.ErrnoException).code;
  return code === 'ERR_STREAM_PREMATURE_CLOSE' || code === 'ECONNRESET' || code === 'EPIPE';
}
