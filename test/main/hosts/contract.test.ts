/** One suite for both hosts: a screen cannot tell which one carries it. Ranges: RFC 9110, section 14. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { BYTES } from './fake-lab.ts';
import { desktopHost, loopbackHost, type HostUnderTest } from './hosts.ts';

describe.each([
  ['loopback', loopbackHost],
  ['desktop', desktopHost],
] as const)('%s host', (_name, open) => {
  let host: HostUnderTest;
  beforeEach(async () => {
    host = await open();
  });
  afterEach(async () => {
    await host.close();
  });

  describe('calls', () => {
    it('carries a call in and its outcome out, as JSON carries values', async () => {
      const input = { day: 3, text: 'Ä ÷ 千' };
      const outcome = await host.call('days.get', input);
      expect(outcome).toEqual({ ok: true, value: { version: '1.2.3', noNumber: null, input } });
      expect(host.lab.carried).toEqual([{ name: 'days.get', input }]);
    });

    it('carries an error that a person caused as a value', async () => {
      expect(await host.call('trials.get', { day: 1, trial: 'T9' })).toEqual({
        ok: false,
        error: { code: 'not_found', says: 'There is no trial "T9".', todo: 'Choose another.' },
      });
    });

    it('surfaces a bug as one, without its insides', async () => {
      const failure = await host.call('history.undo', { day: 1 }).then(String, String);
      expect(failure).toContain('a fault of its own');
      expect(failure).not.toContain('secret');
      expect(host.bugs().map(String)).toEqual([expect.stringContaining('TypeError')]);
    });

    it.each(['nothing.here', 'toString', '__proto__', 'constructor', '', 'days.get/..', 'DAYS.GET'])(
      'refuses the unknown call "%s"',
      async (name) => {
        await expect(host.call(name, {})).rejects.toThrow(/no such call|404|405/i);
        expect(host.lab.carried).toEqual([]);
      },
    );
  });

  describe('ranges of a film', () => {
    const film = '/film/1/T1/A';
    it('gives the whole film, says that ranges work, and names its bytes', async () => {
      const got = await host.get(film);
      expect([got.status, got.header('content-length'), got.header('accept-ranges')]).toEqual([
        200,
        '1000',
        'bytes',
      ]);
      expect(got.header('content-type')).toBe('video/mp4');
      expect(got.header('etag')).toMatch(/^"[^"]+"$/);
      expect(got.body.equals(BYTES)).toBe(true);
    });

    it.each([
      ['bytes=0-0', 0, 0],
      ['bytes=10-19', 10, 19],
      ['bytes=990-', 990, 999],
      ['bytes=-10', 990, 999],
      ['bytes=-5000', 0, 999],
      ['bytes=500-99999999999999999999', 500, 999],
      ['BYTES=0-4', 0, 4],
    ])('%s is a part', async (range, first, last) => {
      const got = await host.get(film, { range });
      expect([got.status, got.header('content-range')]).toEqual([206, `bytes ${first}-${last}/1000`]);
      expect(got.header('content-length')).toBe(String(last - first + 1));
      expect(got.body.equals(BYTES.subarray(first, last + 1))).toBe(true);
    });

    it.each(['bytes=1000-', 'bytes=1000-1001', 'bytes=-0', 'bytes=99999999999999999999-'])(
      '%s lies beyond the end',
      async (range) => {
        const got = await host.get(film, { range });
        expect([got.status, got.header('content-range'), got.body.length]).toEqual([416, 'bytes */1000', 0]);
      },
    );

    it.each([
      'bytes=5-2',
      'bytes=-',
      'bytes=a-b',
      'bytes',
      'seconds=0-1',
      'bytes=0-1,4-5',
      'bytes=0x1-2',
      'bytes=--1',
    ])('%s is ignored', async (range) => {
      const got = await host.get(film, { range });
      expect([got.status, got.body.length]).toEqual([200, 1000]);
    });

    it('counts a range only for the bytes that If-Range names', async () => {
      const tag = (await host.get(film)).header('etag') ?? '';
      expect((await host.get(film, { range: 'bytes=0-1', 'if-range': tag })).status).toBe(206);
      expect((await host.get(film, { range: 'bytes=0-1', 'if-range': '"other"' })).status).toBe(200);
      expect((await host.get(film, { range: 'bytes=0-1', 'if-range': `W/${tag}` })).status).toBe(200);
    });

    it('answers HEAD with the size and no bytes, whatever the range', async () => {
      const got = await host.get(film, { range: 'bytes=0-1' }, 'HEAD');
      expect([got.status, got.header('content-length'), got.body.length]).toEqual([200, '1000', 0]);
    });

    it('gives an empty film, of which no range can be had', async () => {
      const got = await host.get('/film/1/T1/empty');
      expect([got.status, got.header('content-length'), got.body.length]).toEqual([200, '0', 0]);
      expect((await host.get('/film/1/T1/empty', { range: 'bytes=0-' })).status).toBe(416);
    });

    it('gives samples, whole and in part', async () => {
      expect((await host.get('/samples/1/T1/left')).body.equals(BYTES)).toBe(true);
      expect(
        (await host.get('/samples/1/T1/left', { range: 'bytes=8-15' })).body.equals(BYTES.subarray(8, 16)),
      ).toBe(true);
    });

    it('says 404 for a film that is lost or was never there, 500 for a bug', async () => {
      expect((await host.get('/film/1/T1/lost')).status).toBe(404);
      expect((await host.get('/film/1/T1/none')).status).toBe(404);
      const bug = await host.get('/film/1/T1/bug');
      expect(bug.status).toBe(500);
      expect(bug.body.toString()).not.toContain('secret');
    });
  });

  describe('screens', () => {
    it('serves the built screens with their types', async () => {
      expect((await host.get('/')).body.toString()).toContain('<title>screens');
      expect((await host.get('/')).header('content-type')).toBe('text/html; charset=utf-8');
      expect((await host.get('/assets/index.js')).header('content-type')).toBe(
        'text/javascript; charset=utf-8',
      );
    });

    it.each([
      '/../secret.txt',
      '/%2e%2e/secret.txt',
      '/assets/%2e%2e/%2e%2e/secret.txt',
      '/..%2fsecret.txt',
      '/%252e%252e/secret.txt',
      '/..\\secret.txt',
      '/..%5csecret.txt',
      '/%5c..%5csecret.txt',
      '/index.html%00.txt',
      '/%00',
      '/linked.txt',
      '/up/secret.txt',
      '/up/renderer-private/secret.txt',
      '/../renderer-private/secret.txt',
      '/..%2frenderer-private/secret.txt',
      '/C:/secret.txt',
      '/index.html::$DATA',
      '/%ff',
      '/%',
      '/assets',
      '/film/1/..%2f..%2fsecret.txt',
    ])('keeps %s out of reach', async (path) => {
      const got = await host.get(path);
      expect([400, 404]).toContain(got.status);
      expect(got.body.toString()).not.toContain('SECRET');
    });

    it.each(['/', '/film/1/T1/A', '/samples/1/T1/left', '/nothing', '/%00'])(
      'sends the safe headers with %s',
      async (path) => {
        const got = await host.get(path);
        const policy = got.header('content-security-policy') ?? '';
        for (const part of [
          "default-src 'self'",
          "script-src 'self'",
          "frame-ancestors 'none'",
          "object-src 'none'",
        ]) {
          expect(policy.split('; ')).toContain(part);
        }
        expect(policy).not.toContain('unsafe-eval');
        expect(policy.replace("style-src-attr 'unsafe-inline'", '')).not.toContain('unsafe-inline');
        expect(got.header('x-content-type-options')).toBe('nosniff');
        expect(got.header('referrer-policy')).toBe('no-referrer');
        expect(got.header('cache-control')).toBe('no-store');
      },
    );

    it.each(['PUT', 'DELETE', 'PATCH', 'OPTIONS'])('does not take %s', async (method) => {
      const got = await host.get('/', {}, method);
      expect([got.status, got.header('allow')]).toEqual([405, 'GET, HEAD']);
    });

    it('has no call behind a GET', async () => {
      expect([404, 405]).toContain((await host.get('/call/days.list')).status);
      expect(host.lab.carried).toEqual([]);
    });
  });
});
