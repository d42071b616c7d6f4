/** Requests that a browser would not send: the path, the headers and the bytes exactly as given. */
import { request } from 'node:http';
import { connect, createServer, type AddressInfo } from 'node:net';

export interface Answer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly body: Buffer;
}

interface Question {
  readonly method?: string;
  readonly path: string;
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: string | Buffer;
}

export function ask(port: number, { method = 'GET', path, headers = {}, body }: Question): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const asking = request({ host: '127.0.0.1', port, method, path, headers: { ...headers }, agent: false });
    asking.once('error', reject);
    asking.once('response', (response) => {
      const chunks: Buffer[] = [];
      response.on('data', (chunk: Buffer) => chunks.push(chunk));
      response.once('error', reject);
      response.once('end', () =>
        resolve({ status: response.statusCode ?? 0, headers: response.headers, body: Buffer.concat(chunks) }),
      );
    });
    asking.end(body);
  });
}

/** Sends bytes and gives back everything that comes until the other side hangs up or `waitMs` have passed. */
export function talk(port: number, bytes: string | Buffer, waitMs = 3_000): Promise<string> {
  return new Promise((resolve) => {
    const socket = connect(port, '127.0.0.1');
    let heard = '';
    const end = () => {
      clearTimeout(timer);
      socket.destroy();
      resolve(heard);
    };
    const timer = setTimeout(end, waitMs);
    socket.setEncoding('latin1');
    socket.on('data', (text: string) => (heard += text));
    socket.once('error', end);
    socket.once('close', end);
    socket.write(bytes);
  });
}

/** The status of an answer heard by `talk`; 0 where none came. */
export function statusOf(heard: string): number {
  return Number(/^HTTP\/1\.1 (\d{3})/.exec(heard)?.[1] ?? 0);
}

/** Goes in by a link and gives the cookie. */
export async function enter(link: string): Promise<string> {
  const url = new URL(link);
  const answer = await ask(Number(url.port), { path: url.pathname + url.search });
  const cookie = [answer.headers['set-cookie'] ?? []].flat()[0]?.split(';')[0];
  if (answer.status !== 303 || cookie === undefined) throw new Error(`The link answered ${answer.status}.`);
  return cookie;
}

/** A port on which nobody listens: one that was free a moment ago. */
export async function closedPort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
}
