/**
 * Connections that nobody is being answered on: limited in time, and in number by letting go of the oldest, so that
 * whoever opens many of them and says nothing cannot keep the window out.
 */
import type { Server } from 'node:http';
import type { Socket } from 'node:net';

/** Longer than a browser keeps one for its next request, s. */
const MOST_IDLE_MS = 10_000;
const MOST_IDLE = 64;

export function limitIdle(server: Server, mostMs = MOST_IDLE_MS, most = MOST_IDLE): void {
  const idle = new Set<Socket>();
  const rest = (socket: Socket) => {
    if (socket.destroyed) return;
    idle.add(socket);
    socket.setTimeout(mostMs);
    for (const oldest of idle) {
      if (idle.size <= most) break;
      idle.delete(oldest);
      oldest.destroy();
    }
  };
  server.on('connection', (socket: Socket) => {
    socket.on('timeout', () => {
      if (idle.has(socket)) socket.destroy();
    });
    socket.once('close', () => idle.delete(socket));
    rest(socket);
  });
  server.on('request', ({ socket }, outgoing) => {
    idle.delete(socket);
    socket.setTimeout(0);
    outgoing.once('close', () => rest(socket));
  });
}
