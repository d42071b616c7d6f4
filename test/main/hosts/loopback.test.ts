/** The loopback server against requests that are not the window's. Sources: RFC 9110, RFC 9112 (Host), Fetch (Origin, Sec-Fetch). */
import { connect } from 'node:net';
import { networkInterfaces } from 'node:os';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { askForLink } from '../../../main/loopback/door.ts';
import { ask, enter, statusOf, talk } from './ask.ts';
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

const json = { 'content-type': 'application/json' };
const callDays = (headers: Record<string, string>, body: string | Buffer = '{}') =>
  ask(port, { method: 'POST', path: '/call/days.list', headers, body });

describe('the address', () => {
  it('listens on 127.0.0.1 and on no other address of this computer', async () => {
    const others = Object.values(networkInterfaces())
      .flatMap((list) => list ?? [])
      .filter((one) => one.address !== '127.0.0.1' && !one.address.startsWith('fe80'))
      .map((one) => one.address);
    for (const host of [...others, '127.0.0.2']) {
      const reached = await new Promise((resolve) => {
        const socket = connect({ host, port, timeout: 1_000 });
        const end = (open: boolean) => {
          socket.destroy();
          resolve(open);
        };
        socket.once('connect', () => end(true));
        socket.once('error', () => end(false));
        socket.once('timeout', () => end(false));
      });
      expect([host, reached]).toEqual([host, false]);
    }
  });

  it('takes its own Host only, before anything is routed', async () => {
    const cookie = await enter(loopback.newLink());
    const wrong = [
      `localhost:${port}`,
      `127.0.0.1`,
      `127.0.0.1:${port + 1}`,
      `127.0.0.1:${port}.example`,
      `127.0.0.1:0${port}`,
      `127.0.0.1.nip.example:${port}`,
      `[::1]:${port}`,
      `user@127.0.0.1:${port}`,
      `0x7f.1:${port}`,
      `2130706433:${port}`,
      `127.1:${port}`,
      `127.0.0.1:${port},127.0.0.1:${port}`,
    ];
    for (const host of wrong) {
      const heard = await talk(
        port,
        `GET / HTTP/1.1\r\nHost: ${host}\r\nCookie: ${cookie}\r\nConnection: close\r\n\r\n`,
      );
      expect([host, statusOf(heard)]).toEqual([host, 421]);
    }
  });

  it.each([
    ['none', ''],
    ['an empty one', 'Host: \r\n'],
    ['two equal ones', 'Host: 127.0.0.1:PORT\r\nHost: 127.0.0.1:PORT\r\n'],
    ['two different ones', 'Host: 127.0.0.1:PORT\r\nHost: elsewhere.example\r\n'],
  ])('refuses a request whose Host is %s', async (_what, hosts) => {
    const cookie = await enter(loopback.newLink());
    const lines = hosts.replaceAll('PORT', String(port));
    const heard = await talk(
      port,
      `GET / HTTP/1.1\r\n${lines}Cookie: ${cookie}\r\nConnection: close\r\n\r\n`,
    );
    expect([400, 421]).toContain(statusOf(heard));
    expect(heard).not.toContain('screens');
  });

  it('does not spend a link asked for under another Host', async () => {
    const link = new URL(loopback.newLink());
    await talk(
      port,
      `GET ${link.pathname}${link.search} HTTP/1.1\r\nHost: a.example\r\nConnection: close\r\n\r\n`,
    );
    await enter(link.href);
  });

  it.each(['http://127.0.0.1:PORT/', '//elsewhere.example/', '*', 'elsewhere.example:80'])(
    'refuses the request target %s',
    async (target) => {
      const cookie = await enter(loopback.newLink());
      const line = `GET ${target.replace('PORT', String(port))} HTTP/1.1`;
      const heard = await talk(
        port,
        `${line}\r\nHost: 127.0.0.1:${port}\r\nCookie: ${cookie}\r\nConnection: close\r\n\r\n`,
      );
      expect(statusOf(heard)).toBe(400);
    },
  );
});

describe('the link', () => {
  it('works once, sets a strict HttpOnly cookie and leads to a clean address', async () => {
    const link = new URL(loopback.newLink());
    const first = await ask(port, { path: link.pathname + link.search });
    expect([first.status, first.headers['location']]).toEqual([303, '/']);
    expect([first.headers['set-cookie']].flat()).toEqual([
      expect.stringMatching(/^lanebench-\d+=[\w-]{43}; HttpOnly; SameSite=Strict; Path=\/$/),
    ]);
    expect(first.headers['referrer-policy']).toBe('no-referrer');
    expect((await ask(port, { path: link.pathname + link.search })).status).toBe(401);
    await expect(loopback.entered).resolves.toBeUndefined();
  });

  it('is not spent by HEAD, nor by a wrong token', async () => {
    const link = new URL(loopback.newLink());
    expect((await ask(port, { method: 'HEAD', path: link.pathname + link.search })).status).toBe(401);
    for (const token of ['', 'x', 'undefined', `${link.searchParams.get('token')}x`, '%00']) {
      expect((await ask(port, { path: `/?token=${token}` })).status).toBe(401);
    }
    await enter(link.href);
  });

  it('opened again by a window that is in, leads to the clean address and is dead for others', async () => {
    const cookie = await enter(loopback.newLink());
    const second = new URL(loopback.newLink());
    const again = await ask(port, { path: second.pathname + second.search, headers: { cookie } });
    expect([again.status, again.headers['set-cookie']]).toEqual([303, undefined]);
    expect((await ask(port, { path: second.pathname + second.search })).status).toBe(401);
  });
});

describe('the cookie', () => {
  it.each(['/', '/assets/index.js', '/film/1/T1/A', '/samples/1/T1/left', '/nothing'])(
    'is needed for %s',
    async (path) => {
      await enter(loopback.newLink());
      const answer = await ask(port, { path });
      expect(answer.status).toBe(401);
      expect(answer.headers['content-security-policy']).toContain("frame-ancestors 'none'");
      expect(answer.headers['x-content-type-options']).toBe('nosniff');
    },
  );

  it("must be this server's own", async () => {
    const cookie = await enter(loopback.newLink());
    const value = cookie.split('=')[1] ?? '';
    for (const wrong of [
      `lanebench=${value}`,
      `lanebench-${port + 1}=${value}`,
      `x${cookie}`,
      cookie.slice(0, -1),
      `${cookie}x`,
      `lanebench-${port}=`,
    ]) {
      expect((await ask(port, { path: '/', headers: { cookie: wrong } })).status).toBe(401);
    }
    expect((await ask(port, { path: '/', headers: { cookie: `a=b; ${cookie}; c=d` } })).status).toBe(200);
  });

  it('is needed for calls as well', async () => {
    expect((await callDays({ ...json, origin: loopback.origin })).status).toBe(401);
    expect(loopback.lab.carried).toEqual([]);
  });
});

describe('writes', () => {
  let cookie: string;
  beforeEach(async () => {
    cookie = await enter(loopback.newLink());
  });

  it.each([
    ['none', undefined],
    ['null', 'null'],
    ['localhost', 'http://localhost:PORT'],
    ['another port', 'http://127.0.0.1:1'],
    ['https', 'https://127.0.0.1:PORT'],
    ['a look-alike', 'http://127.0.0.1:PORT.example'],
    ['a trailing slash', 'http://127.0.0.1:PORT/'],
    ['empty', ''],
  ])('need the own Origin, not %s', async (_what, origin) => {
    const headers = origin === undefined ? {} : { origin: origin.replace('PORT', String(port)) };
    expect((await callDays({ ...json, cookie, ...headers })).status).toBe(403);
    expect(loopback.lab.carried).toEqual([]);
  });

  it('need one Origin, not two', async () => {
    const own = loopback.origin;
    const heard = await talk(
      port,
      `POST /call/days.list HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nCookie: ${cookie}\r\nOrigin: ${own}\r\nOrigin: ${own}\r\n` +
        'Content-Type: application/json\r\nContent-Length: 2\r\nConnection: close\r\n\r\n{}',
    );
    expect(statusOf(heard)).toBe(403);
  });

  it.each(['cross-site', 'same-site'])(
    'and reads embedded elsewhere are refused (Sec-Fetch-Site: %s)',
    async (site) => {
      const headers = {
        cookie,
        'sec-fetch-site': site,
        'sec-fetch-mode': 'no-cors',
        'sec-fetch-dest': 'video',
      };
      expect((await ask(port, { path: '/film/1/T1/A', headers })).status).toBe(403);
      expect(
        (await callDays({ ...json, cookie, origin: loopback.origin, 'sec-fetch-site': site })).status,
      ).toBe(403);
    },
  );

  it.each([
    'application/x-www-form-urlencoded',
    'multipart/form-data; boundary=x',
    'text/plain',
    'text/json',
    '',
  ])('of type "%s" are refused', async (type) => {
    const headers: Record<string, string> = { cookie, origin: loopback.origin };
    if (type !== '') headers['content-type'] = type;
    expect((await callDays(headers, 'a=b')).status).toBe(415);
    expect(loopback.lab.carried).toEqual([]);
  });

  it('take JSON with a charset', async () => {
    const headers = { cookie, origin: loopback.origin, 'content-type': 'Application/JSON; charset=utf-8' };
    expect((await callDays(headers)).status).toBe(200);
  });

  it.each(['{', '', 'undefined', '{"a":1}x', Buffer.from([0x22, 0xff, 0x22])])(
    'whose body is no JSON in UTF-8 are refused (%s)',
    async (body) => {
      expect((await callDays({ ...json, cookie, origin: loopback.origin }, body)).status).toBe(400);
    },
  );

  it('take 1 MiB and no more, whether the length is told or not', async () => {
    const headers = { ...json, cookie, origin: loopback.origin };
    const most = JSON.stringify('x'.repeat(1024 * 1024 - 2));
    expect((await callDays(headers, most)).status).toBe(200);
    expect(
      (await callDays({ ...headers, 'content-length': String(most.length + 1) }, `${most} `)).status,
    ).toBe(413);
    const chunk = `10000\r\n${'x'.repeat(0x10000)}\r\n`;
    const heard = await talk(
      port,
      `POST /call/days.list HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nCookie: ${cookie}\r\nOrigin: ${loopback.origin}\r\n` +
        `Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n${chunk.repeat(20)}`,
    );
    expect(statusOf(heard)).toBe(413);
  });
});

describe('the door for a second start', () => {
  it('gives a link that works', async () => {
    const answer = await askForLink(loopback.door);
    expect(answer.kind).toBe('link');
    if (answer.kind === 'link') await enter(answer.link);
  });

  it('stays shut without the key, to pages, and under another Host', async () => {
    const { key } = loopback.door;
    const tries: Record<string, string>[] = [
      {},
      { 'x-lanebench-door': '' },
      { 'x-lanebench-door': `${key}x` },
      { 'x-lanebench-door': 'é'.repeat(key.length) },
      { 'x-lanebench-door': key, origin: loopback.origin },
      { 'x-lanebench-door': key, host: 'a.example' },
    ];
    for (const headers of tries) {
      const answer = await ask(port, { method: 'POST', path: '/link', headers });
      expect([answer.status, answer.body.toString().includes('token')]).toEqual([403, false]);
    }
    expect((await askForLink({ port, key: 'x'.repeat(43) })).kind).toBe('gone');
  });

  it('is gone once the server is closed', async () => {
    const { door } = loopback;
    await loopback.close();
    expect(await askForLink(door)).toEqual({ kind: 'gone' });
  });
});
