/** Fetching the Electron runtime and building the screens, with small scripts in the place of both. */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type AddressInfo } from 'node:net';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ensureBuilt, isBuilt, sourceHash } from '../../../main/start/build.ts';
import { answers, fetchElectron, findElectron, hostToReach } from '../../../main/start/runtime.ts';
import { closedPort } from './ask.ts';
import { fakeRoot } from './fake-lab.ts';

let root: string;
let remove: () => void;
beforeEach(() => {
  ({ root, remove } = fakeRoot());
});
afterEach(() => remove());

const write = (path: string, text: string) => {
  mkdirSync(join(root, path, '..'), { recursive: true });
  writeFileSync(join(root, path), text);
};

describe('the Electron runtime', () => {
  it('is found where path.txt says, without loading the package', () => {
    write('node_modules/electron/index.js', 'throw new Error("loaded")');
    expect(findElectron(root, {})).toBeNull();
    write('node_modules/electron/path.txt', 'electron');
    expect(findElectron(root, {})).toBeNull();
    write('node_modules/electron/dist/electron', '');
    expect(findElectron(root, {})).toBe(join(root, 'node_modules/electron/dist/electron'));
  });

  it('is found where ELECTRON_OVERRIDE_DIST_PATH says', () => {
    const environment = { ELECTRON_OVERRIDE_DIST_PATH: join(root, 'mine') };
    expect(findElectron(root, environment)).toBeNull();
    write('mine/electron', '');
    expect(findElectron(root, environment)).toBe(join(root, 'mine/electron'));
  });

  it.each([
    [{}, { host: 'github.com', port: 443 }],
    [{ ELECTRON_MIRROR: 'https://mirror.example/electron/' }, { host: 'mirror.example', port: 443 }],
    [{ ELECTRON_MIRROR: 'http://127.0.0.1:8099/' }, { host: '127.0.0.1', port: 8099 }],
    [{ ELECTRON_MIRROR: 'http://mirror.example' }, { host: 'mirror.example', port: 80 }],
    [{ ELECTRON_MIRROR: 'http://[::1]:8099/' }, { host: '::1', port: 8099 }],
    [
      { ELECTRON_GET_USE_PROXY: '1', HTTPS_PROXY: 'http://proxy.example:3128' },
      { host: 'proxy.example', port: 3128 },
    ],
    [{ HTTPS_PROXY: 'http://proxy.example:3128' }, { host: 'github.com', port: 443 }],
    [{ ELECTRON_MIRROR: 'no address' }, null],
  ])('would come, with %j, from %j', (environment, reach) => {
    expect(hostToReach(environment)).toEqual(reach);
  });

  it('that cannot be reached is said so within the time limit', async () => {
    const port = await closedPort();
    const environment = { ELECTRON_MIRROR: `http://127.0.0.1:${port}/` };
    expect(await fetchElectron(root, environment)).toMatch(
      /127\.0\.0\.1 could not be reached within 3 s.*"npm start"/,
    );
    // TEST-NET-1 (RFC 5737) leads nowhere.
    const startedAt = performance.now();
    expect(await answers({ host: '192.0.2.1', port: 443 }, 300)).toBe(false);
    expect(performance.now() - startedAt).toBeLessThan(2_000);
    expect(await fetchElectron(root, { ELECTRON_MIRROR: '::' })).toContain(
      'ELECTRON_MIRROR is not an address',
    );
  });

  it("is fetched by the package's own script; a failing or endless one is said so", async () => {
    const server = createServer((socket) => socket.destroy());
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const environment = { ELECTRON_MIRROR: `http://127.0.0.1:${(server.address() as AddressInfo).port}/` };
    const script = 'node_modules/electron/install.js';
    const fetching = (installMs = 10_000) => fetchElectron(root, environment, { installMs });
    write(script, 'process.exit(1)');
    expect(await fetching()).toContain('failed');
    write(script, '');
    expect(await fetching()).toContain('failed');
    write(script, 'setInterval(() => {}, 1000)');
    expect(await fetching(300)).toContain('was stopped');
    write(
      script,
      `const fs = require('fs'); fs.mkdirSync(__dirname + '/dist');
       fs.writeFileSync(__dirname + '/dist/electron', ''); fs.writeFileSync(__dirname + '/path.txt', 'electron');`,
    );
    expect(await fetching()).toBeNull();
    await new Promise((resolve) => server.close(resolve));
  });
});

describe('the build', () => {
  const builder = 'node_modules/electron-vite/bin/electron-vite.js';
  const products = `const fs = require('fs');
    for (const f of ['renderer/index.html', 'main/main.js', 'main/filmworker.js', 'preload/preload.cjs']) {
      fs.mkdirSync('out/' + f.split('/')[0], { recursive: true }); fs.writeFileSync('out/' + f, '');
    }
    fs.appendFileSync('builds.txt', 'x');`;
  const said: string[] = [];
  const build = () => ensureBuilt(root, (line) => said.push(line));
  beforeEach(() => {
    said.length = 0;
    write('renderer/a.ts', '1');
    write('core/b.ts', '2');
    write('package.json', '{}');
  });

  it('is made once, said so, and again when a source changed, came or went', async () => {
    write(builder, products);
    expect(await build()).toBeNull();
    expect(said.join(' ')).toMatch(/Building .* Built in \d+\.\d s\./);
    expect(isBuilt(root)).toBe(true);
    said.length = 0;
    expect(await build()).toBeNull();
    expect(said).toEqual([]);
    for (const change of [
      () => write('core/b.ts', '3'),
      () => write('main/desktop/c.ts', ''),
      () => rmSync(join(root, 'renderer/a.ts')),
      () => rmSync(join(root, 'out/preload/preload.cjs')),
    ]) {
      change();
      expect(isBuilt(root)).toBe(false);
      expect(await build()).toBeNull();
      expect(isBuilt(root)).toBe(true);
    }
  });

  it("tells a file's end from the next one's name", () => {
    const before = sourceHash(root);
    write('core/b.ts', '');
    write('core/c.ts', '2');
    expect(sourceHash(root)).not.toBe(before);
  });

  it('that fails shows what the builder said and does not count', async () => {
    write(builder, `${products} console.error('a.ts: line 3'); process.exit(1);`);
    expect(await build()).toMatch(/could not be built:\na\.ts: line 3/);
    expect(isBuilt(root)).toBe(false);
  });

  it('without a builder says what to do', async () => {
    expect(await build()).toContain('npm ci');
  });
});
