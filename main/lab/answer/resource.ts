/** Turns a resource into an answer, whole or in part. Source: RFC 9110, sections 13 and 14. */
import { open, stat, type FileHandle } from 'node:fs/promises';
import type { Resource } from '../kept/port.ts';
import { readRange } from './range.ts';

const CHUNK = 256 * 1024;

interface Body {
  readonly size: number;
  /** Strong validator; null where the bytes are made anew each time. */
  readonly tag: string | null;
  readonly cut: (first: number, last: number) => BodyInit;
}

/** Answers GET and HEAD for a resource; null where its file is not there. */
export async function answerResource(request: Request, resource: Resource): Promise<Response | null> {
  const body = resource.kind === 'file' ? await fileBody(resource.path) : bytesBody(resource.bytes);
  if (body === null) return null;
  const headers = new Headers({ 'content-type': resource.mime, 'accept-ranges': 'bytes' });
  if (body.tag !== null) headers.set('etag', body.tag);

  const range = readRange(wantedRange(request, body.tag), body.size);
  if (range.kind === 'beyond') {
    headers.set('content-range', `bytes */${body.size}`);
    headers.delete('content-type');
    return new Response(null, { status: 416, headers });
  }
  const [first, last] = range.kind === 'part' ? [range.first, range.last] : [0, body.size - 1];
  headers.set('content-length', String(last - first + 1));
  if (range.kind === 'part') headers.set('content-range', `bytes ${first}-${last}/${body.size}`);
  const empty = request.method === 'HEAD' || last < first;
  return new Response(empty ? null : body.cut(first, last), {
    status: range.kind === 'part' ? 206 : 200,
    headers,
  });
}

/** A range counts for GET only, and where If-Range is given, only for the very bytes it names (13.1.5, 14.2). */
function wantedRange(request: Request, tag: string | null): string | null {
  if (request.method !== 'GET') return null;
  const condition = request.headers.get('if-range');
  return condition === null || condition === tag ? request.headers.get('range') : null;
}

function bytesBody(bytes: Uint8Array<ArrayBuffer>): Body {
  return { size: bytes.byteLength, tag: null, cut: (first, last) => bytes.subarray(first, last + 1) };
}

async function fileBody(path: string): Promise<Body | null> {
  const facts = await stat(path).catch(() => null);
  if (facts === null || !facts.isFile()) return null;
  return {
    size: facts.size,
    tag: `"${facts.size.toString(36)}-${Math.round(facts.mtimeMs).toString(36)}"`,
    cut: (first, last) => fileStream(path, first, last),
  };
}

/** The file is opened at the first read, so an answer that nobody reads holds nothing open. */
function fileStream(path: string, first: number, last: number): ReadableStream<Uint8Array<ArrayBuffer>> {
  let handle: FileHandle | null = null;
  let at = first;
  return new ReadableStream<Uint8Array<ArrayBuffer>>(
    {
      async pull(controller) {
        try {
          handle ??= await open(path);
          const chunk = new Uint8Array(Math.min(CHUNK, last + 1 - at));
          const { bytesRead } = await handle.read(chunk, 0, chunk.byteLength, at);
          if (bytesRead === 0) throw new Error(`${path} ended at byte ${at}, before byte ${last}.`);
          at += bytesRead;
          controller.enqueue(chunk.subarray(0, bytesRead));
          if (at <= last) return;
          controller.close();
        } catch (error) {
          await handle?.close();
          throw error;
        }
        await handle.close();
      },
      async cancel() {
        await handle?.close();
      },
    },
    { highWaterMark: 0 },
  );
}
