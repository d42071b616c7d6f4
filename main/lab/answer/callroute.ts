/** A call of the contract that comes as a request: JSON in, the outcome as JSON out. */
import type { CallName } from '../../../core/contract/contract.ts';
import type { Lab } from '../kept/port.ts';
import { sentence } from './safe.ts';

const MAX_BODY_BYTES = 1024 * 1024;

/** Answers 200 with the outcome, also where the outcome is an error of the person's; 4xx where it is no such call. */
export async function answerCall(lab: Lab, name: CallName, request: Request): Promise<Response> {
  const type = request.headers.get('content-type')?.split(';')[0]?.trim().toLowerCase();
  if (type !== 'application/json')
    return sentence(415, 'A call carries JSON (content-type application/json).');
  let body: Uint8Array | null;
  try {
    body = await readBody(request);
  } catch {
    return sentence(400, 'The body of this call did not arrive whole.');
  }
  if (body === null) return sentence(413, 'A call carries at most 1 MiB.');
  let input: unknown;
  try {
    input = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(body));
  } catch {
    return sentence(400, 'The body of this call is not JSON in UTF-8.');
  }
  return Response.json(await lab.carry(name, input));
}

async function readBody(request: Request): Promise<Uint8Array | null> {
  if (Number(request.headers.get('content-length')) > MAX_BODY_BYTES) return null;
  const chunks: Uint8Array[] = [];
  let size = 0;
  if (request.body !== null) {
    for await (const chunk of request.body as unknown as AsyncIterable<Uint8Array>) {
      size += chunk.byteLength;
      if (size > MAX_BODY_BYTES) return null;
      chunks.push(chunk);
    }
  }
  return Buffer.concat(chunks);
}
