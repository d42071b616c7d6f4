/** The loopback server against raw sockets: what is too large, cut short, abandoned or no HTTP at all. Source: RFC 9112. */
import { existsSync, readdirSync, readlinkSync } from 'node:fs';
import { once } from 'node:events';
import { connect } from 'node:net';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { enter, statusOf, talk } from './ask.ts';
import { openTestLoopback, type LoopbackUnderTest } from './hosts.ts';

let loopback: LoopbackUnderTest;
let port: number;
beforeEach(async () => {
  loopback = await openTestLoopback();
  port = loopback.door.port;
});
afterEach(async () => {
  await loopback.shut();
  expect(loopback.bugs).toEqual([]);
});

describe('limits', () => {
  it('lets the window in while somebody holds hundreds of connections and says nothing', async () => {
    const held = Array.from({ length: 300 }, () => connect(port, '127.0.0.1').on('error', () => undefined));
    try {
      await Promise.all(held.map((socket) => once(socket, 'connect').catch(() => undefined)));
      await enter(loopback.newLink());
      // The oldest are let go of.
      await vi.waitFor(() => expect(held.filter(({ closed }) => closed).length).toBeGreaterThan(200));
    } finally {
      for (const socket of held) socket.destroy();
    }
  });

  it('refuses a header that is too large', async () => {
    const heard = await talk(
      port,
      `GET / HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nX: ${'x'.repeat(17_000)}\r\n\r\n`,
    );
    expect(statusOf(heard)).toBe(431);
  });

  it.each(['\x16\x03\x01\x02', 'GET / HTTP/9.9\r\n\r\n', 'nonsense\r\n\r\n', 'GET /\u0000 HTTP/1.1\r\n\r\n'])(
    'outlives what is no HTTP (%j)',
    async (bytes) => {
      expect([0, 400]).toContain(statusOf(await talk(port, bytes, 500)));
      await enter(loopback.newLink());
    },
  );

  it.skipIf(!existsSync('/proc/self/fd'))('lets a film go when its reader goes away', async () => {
    const cookie = await enter(loopback.newLink());
    const openFilms = () =>
      readdirSync('/proc/self/fd').filter((fd) => linkOf(fd).endsWith('large.mp4')).length;
    for (let i = 0; i < 20; i++) {
      await new Promise<void>((resolve) => {
        const socket = connect(port, '127.0.0.1', () => {
          socket.write(
            `GET /film/1/T1/large HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nCookie: ${cookie}\r\n\r\n`,
          );
          // Some leave before the first byte, some in the middle.
          if (i % 2 === 0) socket.destroy();
        });
        socket.once('data', () => socket.destroy());
        socket.once('error', () => {});
        socket.once('close', () => resolve());
      });
    }
    await vi.waitFor(() => expect(openFilms()).toBe(0), 5_000);
  });
});

describe('what raw sockets try', () => {
  let head: string;
  let own: string;
  beforeEach(async () => {
    head = `Host: 127.0.0.1:${port}\r\nCookie: ${await enter(loopback.newLink())}\r\n`;
    own = `${head}Origin: ${loopback.origin}\r\nContent-Type: application/json\r\n`;
  });
  const statuses = (heard: string) =>
    [...heard.matchAll(/HTTP\/1\.1 (\d{3}) /g)].map(([, status]) => Number(status));

  it('judges every request of a connection by itself', async () => {
    const foreign = 'GET / HTTP/1.1\r\nHost: a.example\r\n\r\n';
    const heard = await talk(
      port,
      `GET / HTTP/1.1\r\n${head}\r\n${foreign}GET /nothing HTTP/1.1\r\n${head}\r\n`,
      500,
    );
    expect(statuses(heard)).toEqual([200, 421, 404]);
  });

  it.each([
    ['two lengths', 'Content-Length: 2\r\nContent-Length: 3\r\n\r\n{} '],
    [
      'a length and chunks',
      'Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nGET / HTTP/1.1\r\n',
    ],
    ['a negative length', 'Content-Length: -2\r\n\r\n{}'],
    ['a folded header', 'X: a\r\n b\r\nContent-Length: 2\r\n\r\n{}'],
  ])('takes no call with %s (RFC 9112)', async (_what, rest) => {
    expect(statuses(await talk(port, `POST /call/days.list HTTP/1.1\r\n${own}${rest}`, 500))).toEqual([400]);
    expect(loopback.lab.carried).toEqual([]);
  });

  it('hides no request in a body it refused', async () => {
    const hidden = `GET /assets/index.js HTTP/1.1\r\n${head}\r\n`;
    const refused = `POST /call/none HTTP/1.1\r\n${own}Content-Length: ${hidden.length}\r\n\r\n${hidden}`;
    expect(statuses(await talk(port, refused, 500))).toEqual([404]);
  });

  it.each(['TRACE', 'PROPFIND'])('refuses the method %s', async (method) => {
    const heard = await talk(port, `${method} / HTTP/1.1\r\n${own}Connection: close\r\n\r\n`);
    expect(statusOf(heard)).toBe(405);
  });

  it('is not troubled by a call cut short', async () => {
    await talk(port, `POST /call/days.list HTTP/1.1\r\n${own}Content-Length: 100\r\n\r\n{`, 100);
    await talk(port, `POST /call/days.list HTTP/1.1\r\n${own}Transfer-Encoding: chunked\r\n\r\nzz\r\n`, 100);
    expect(loopback.lab.carried).toEqual([]);
  });
});

function linkOf(fd: string): string {
  try {
    return readlinkSync(`/proc/self/fd/${fd}`);
  } catch {
    return '';
  }
}
