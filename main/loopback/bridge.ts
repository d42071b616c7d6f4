/** Node's request and response on one side, the web's on the other. */
import type { IncomingMessage, ServerResponse } from 'node:http';
import type { Socket } from 'node:net';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { ReadableStream } from 'node:stream/web';

export function toRequest(incoming: IncomingMessage, origin: string): Request {
  const headers = new Headers();
  for (const [name, value] of Object.entries(incoming.headersDistinct)) {
    for (const one of value ?? []) headers.append(name, one);
  }
  const method = incoming.method ?? 'GET';
  const body = method === 'GET' || method === 'HEAD' ? null : (Readable.toWeb(incoming) as BodyInit);
  return new Request(origin + incoming.url, { method, headers, body, duplex: 'half' } as RequestInit);
}

/** Sends the answer; a reader who goes away stops the body at its source. */
export async function send(
  answer: Response,
  incoming: IncomingMessage,
  outgoing: ServerResponse,
): Promise<void> {
  if (outgoing.destroyed) {
    await answer.body?.cancel();
    return;
  }
  outgoing.statusCode = answer.status;
  for (const [name, value] of answer.headers) outgoing.setHeader(name, value);
  if (hasBody(incoming) && !incoming.complete) hangUpAfter(incoming, outgoing);
  if (answer.body === null) {
    outgoing.end();
    return;
  }
  await pipeline(Readable.fromWeb(answer.body as ReadableStream), outgoing);
}

function hasBody({ headers }: IncomingMessage): boolean {
  return headers['transfer-encoding'] !== undefined || Number(headers['content-length'] ?? 0) > 0;
}

/** A body refused half-way is not read to its end: answer, give the answer time to arrive, hang up. */
function hangUpAfter(incoming: IncomingMessage, outgoing: ServerResponse): void {
  // Node takes the socket off a request that has ended, so it is held here; one taken off needs no hanging up.
  const socket = incoming.socket as Socket | null;
  outgoing.setHeader('connection', 'close');
  outgoing.once('finish', () => setTimeout(() => socket?.destroy(), 500).unref());
}
