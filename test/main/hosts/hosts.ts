/** Both hosts behind one face, so that one suite can hold them to the same contract. */
import { join } from 'node:path';
import { vi } from 'vitest';
import '../../../main/desktop/preload.ts';
import { runShell } from '../../../main/desktop/shell.ts';
import { makeRespond } from '../../../main/lab/answer/respond.ts';
import { openLoopback, type Loopback } from '../../../main/loopback/server.ts';
import { ask, enter } from './ask.ts';
import { app, protocol, resetElectron, world } from './fake-electron.ts';
import { fakeLab, fakeRoot, type FakeLab } from './fake-lab.ts';

export interface HostUnderTest {
  readonly lab: FakeLab;
  readonly call: (name: string, input: unknown) => Promise<unknown>;
  readonly get: (path: string, headers?: Record<string, string>, method?: string) => Promise<Got>;
  /** What was told to the developer. */
  readonly bugs: () => readonly unknown[];
  readonly close: () => Promise<void>;
}

export interface Got {
  readonly status: number;
  readonly header: (name: string) => string | null;
  readonly body: Buffer;
}

export interface LoopbackUnderTest extends Loopback {
  readonly lab: FakeLab;
  readonly bugs: readonly unknown[];
  readonly shut: () => Promise<void>;
}

export async function openTestLoopback(): Promise<LoopbackUnderTest> {
  const { root, remove } = fakeRoot();
  const lab = fakeLab(root);
  const bugs: unknown[] = [];
  const onBug = (error: unknown) => void bugs.push(error);
  const rendererFolder = join(root, 'out', 'renderer');
  const respond = makeRespond({ lab, rendererFolder, calls: true, onBug });
  const loopback = await openLoopback({ respond, onBug });
  return { ...loopback, lab, bugs, shut: () => loopback.close().then(remove) };
}

export async function loopbackHost(): Promise<HostUnderTest> {
  const loopback = await openTestLoopback();
  const { lab, bugs } = loopback;
  const cookie = await enter(loopback.newLink());
  const { port } = loopback.door;
  return {
    lab,
    bugs: () => bugs,
    call: async (name, input) => {
      const answer = await ask(port, {
        method: 'POST',
        path: `/call/${name}`,
        headers: { cookie, origin: loopback.origin, 'content-type': 'application/json' },
        body: JSON.stringify(input),
      });
      if (answer.status !== 200) throw new Error(`${answer.status} ${answer.body.toString()}`);
      return JSON.parse(answer.body.toString()) as unknown;
    },
    get: async (path, headers = {}, method = 'GET') => {
      const answer = await ask(port, {
        method,
        path,
        headers: { cookie, origin: loopback.origin, ...headers },
      });
      const header = (name: string) => [answer.headers[name] ?? []].flat()[0] ?? null;
      return { status: answer.status, header, body: answer.body };
    },
    close: loopback.shut,
  };
}

export async function desktopHost(): Promise<HostUnderTest> {
  resetElectron();
  const told = vi.spyOn(console, 'error').mockImplementation(() => {});
  const { root, home, remove } = fakeRoot();
  const lab = fakeLab(root);
  await runShell({ root, home, version: '1.2.3', sample: false, openLab: async () => lab });
  return {
    lab,
    bugs: () => told.mock.calls.map(([error]) => error as unknown),
    call: (name, input) => world.get('lanebench')!['call']!(name, input),
    get: async (path, headers = {}, method = 'GET') => {
      const answer = await protocol.fetch(new Request(`lanebench://app${path}`, { method, headers }));
      const body = Buffer.from(await answer.arrayBuffer());
      return { status: answer.status, header: (name) => answer.headers.get(name), body };
    },
    close: async () => {
      const ended = new Promise((resolve) => app.once('quit', resolve));
      app.quit();
      await ended;
      told.mockRestore();
      remove();
    },
  };
}
