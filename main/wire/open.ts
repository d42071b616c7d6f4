/**
 * Opens a live source and hands on its bytes: a serial port, a connection made or waited for, datagrams. One that cannot
 * be opened is told in a sentence. Listening beyond this computer happens only where the source names an address for it.
 */
import { createSocket } from 'node:dgram';
import { connect, createServer, type Socket } from 'node:net';
import type { LiveSource } from '../../core/live/sourcename.ts';
import type { Ended, Hearing } from './hearing.ts';

/** How long until a connection is tried again, ms. */
const AGAIN_MS = 250;

/** Hears a source until it closes or the signal stops it. Never rejects for what the other end does. */
export async function hearSource(source: LiveSource, hearing: Hearing, stop: AbortSignal): Promise<Ended> {
  if (stop.aborted) return { kind: 'stopped' };
  // Loaded where it is needed: its native part is of no use to the others.
  if (source.kind === 'serial') return (await import('./serial.ts')).openSerial(source, hearing, stop);
  const { kind, host, port } = source;
  if (kind === 'tcp') return dial(host, port, (socket) => hearSocket(socket, hearing, stop), stop);
  if (kind === 'listen') return awaitOne(host, port, (socket) => hearSocket(socket, hearing, stop), stop);
  return hearDatagrams(host, port, hearing, stop);
}

/** Connects, again and again until it can, and does something with the connection. */
export function dial<T>(
  host: string,
  port: number,
  use: (socket: Socket) => Promise<T>,
  stop: AbortSignal,
): Promise<T | { readonly kind: 'stopped' }> {
  return new Promise((resolve, reject) => {
    let timer: NodeJS.Timeout | undefined;
    let trying: Socket | undefined;
    const onStop = () => {
      clearTimeout(timer);
      trying?.destroy();
      resolve({ kind: 'stopped' });
    };
    stop.addEventListener('abort', onStop, { once: true });
    const attempt = () => {
      const socket = connect({ host, port });
      trying = socket;
      const onError = () => {
        socket.destroy();
        if (!stop.aborted) timer = setTimeout(attempt, AGAIN_MS);
      };
      socket.once('error', onError);
      socket.once('connect', () => {
        socket.off('error', onError);
        stop.removeEventListener('abort', onStop);
        use(socket).then(resolve, reject);
      });
    };
    attempt();
  });
}

/** Waits for one connection, then lets nobody else in, and does something with it. */
export function awaitOne<T>(
  host: string,
  port: number,
  use: (socket: Socket) => Promise<T>,
  stop: AbortSignal,
): Promise<T | { readonly kind: 'stopped' } | { readonly kind: 'not_opened'; readonly says: string }> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    const onStop = () => {
      server.close();
      resolve({ kind: 'stopped' });
    };
    stop.addEventListener('abort', onStop, { once: true });
    server.once('error', (error: NodeJS.ErrnoException) => {
      stop.removeEventListener('abort', onStop);
      resolve({ kind: 'not_opened', says: listenFault(host, port, error) });
    });
    server.once('connection', (socket) => {
      stop.removeEventListener('abort', onStop);
      server.close();
      use(socket).then(resolve, reject);
    });
    server.listen({ host, port, exclusive: true });
  });
}

function listenFault(host: string, port: number, { code }: NodeJS.ErrnoException): string {
  if (code === 'EADDRINUSE')
    return `Port ${port} is already open in another program; close it there or choose another.`;
  if (code === 'EACCES') return `Port ${port} may not be opened by you; choose one above 1023.`;
  if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND')
    return `${host} is no address of this computer; name one of its own, or none.`;
  return `Port ${port} of ${host} cannot be opened (${code ?? 'unknown error'}).`;
}

function hearSocket(socket: Socket, { onBytes, onOpen }: Hearing, stop: AbortSignal): Promise<Ended> {
  return new Promise((resolve) => {
    const end = (ended: Ended) => {
      stop.removeEventListener('abort', onStop);
      socket.destroy();
      resolve(ended);
    };
    const onStop = () => end({ kind: 'stopped' });
    stop.addEventListener('abort', onStop, { once: true });
    socket.setNoDelay(true);
    socket.setKeepAlive(true, 5000);
    socket.on('data', onBytes);
    socket.once('error', ({ code }: NodeJS.ErrnoException) =>
      end({ kind: 'closed', says: `The connection broke (${code ?? 'unknown error'}).` }),
    );
    socket.once('close', () => end({ kind: 'closed', says: 'The recorder closed the connection.' }));
    if (stop.aborted) onStop();
    else onOpen?.();
  });
}

/** Room for datagrams that wait, bytes: half a second of the fastest recorder. */
const WAITING_BYTES = 1 << 20;

function hearDatagrams(
  host: string,
  port: number,
  { onBytes, onOpen }: Hearing,
  stop: AbortSignal,
): Promise<Ended> {
  return new Promise((resolve) => {
    const socket = createSocket({
      type: host.includes(':') ? 'udp6' : 'udp4',
      recvBufferSize: WAITING_BYTES,
    });
    const onStop = () => {
      socket.close();
      resolve({ kind: 'stopped' });
    };
    stop.addEventListener('abort', onStop, { once: true });
    socket.on('message', onBytes);
    socket.once('error', (error: NodeJS.ErrnoException) => {
      stop.removeEventListener('abort', onStop);
      socket.close();
      resolve({ kind: 'not_opened', says: listenFault(host, port, error) });
    });
    socket.once('listening', () => onOpen?.());
    socket.bind({ address: host, port, exclusive: true });
  });
}
