/**
 * `record` and `play` over real sockets and a pseudo-terminal that socat makes. Nothing here waits for a time to pass: a
 * test waits until something is there.
 */
import { spawn, type ChildProcess } from 'node:child_process';
import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { connect, createServer, type AddressInfo, type Socket } from 'node:net';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { afterEach, describe, expect, test } from 'vitest';
import { runPlay } from '../../../main/cli/play.ts';
import { runRecord } from '../../../main/cli/record.ts';
import { parseSource } from '../../../core/live/sourcename.ts';
import { recordSource } from '../../../main/lab/live/record.ts';
import { readTraceFile } from '../../../main/files/tracefile.ts';
import { tempFolder } from '../files/day-builder.ts';
import { here, LANEBENCH, lanebench, NODE } from './run.ts';

const ROWS = Array.from({ length: 400 }, (_, k) => `${(k / 200).toFixed(3)},${8000 + k},${9000 - k}\n`);
const TRACE = `time,L,R\n${ROWS.join('')}`;
const NAMES = ['time', 'L', 'R'];

const children: ChildProcess[] = [];
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
});

async function until(holds: () => boolean | Promise<boolean>): Promise<void> {
  while (!(await holds())) await wait(10);
}

const sourceOf = (text: string) => {
  const source = parseSource(text);
  if (!source.ok) throw new Error(source.error);
  return source.value;
};

/** Records in this program; what it says and its status come with the end. */
function recordHere(
  source: string,
  out: string,
  columns: readonly string[] | null = NAMES,
  seconds: number | null = null,
) {
  return here((terminal) => runRecord({ source: sourceOf(source), columns, out, seconds }, terminal));
}

/** A recorder that others connect to; `send` answers the first who does. */
async function recorder(send: (socket: Socket) => void): Promise<string> {
  const server = createServer((socket) => {
    server.close();
    socket.on('error', () => undefined);
    send(socket);
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  return `tcp:127.0.0.1:${(server.address() as AddressInfo).port}`;
}

/** A port that nobody has. */
async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  server.close();
  await once(server, 'close');
  return port;
}

const place = async () => join(await tempFolder(), 'trace.csv');
const contents = async (path: string) => (existsSync(path) ? readFile(path, 'latin1') : '');

test('a recorder that closes: what came is kept, 3; the file is a trace', async () => {
  const out = await place();
  const source = await recorder((socket) => socket.end(TRACE));
  const ran = await recordHere(source, out, null);
  expect(ran.status).toBe(3);
  expect(ran.stdout.trim().split('\n').at(-1)).toBe('400 rows, 1.995 s, 200 Hz, 0 gaps');
  expect(await contents(out)).toBe(TRACE);
  const read = await readTraceFile(out, 'trace.csv', {
    time: { kind: 'column', column: 'time', unit: 's' },
    left: { column: 'L', sensor: null, elsewhere: null },
    right: { column: 'R', sensor: null, elsewhere: null },
  });
  expect(read.ok && read.value.rows.left).toEqual(Float64Array.from(ROWS, (_, k) => 8000 + k));
});

test('garbage, lost rows and a line cut at its beginning and end are left out and counted', async () => {
  const out = await place();
  const kept = ROWS.filter((_, k) => k > 0 && k !== 100 && k !== 101 && k !== 250);
  const sent = kept.toSpliced(50, 0, '\x00\xfe\n', 'time,L,R\n');
  const source = await recorder((socket) =>
    socket.end(`${ROWS[0]!.slice(8)}${sent.join('')}2.000,80`, 'latin1'),
  );
  const ran = await recordHere(source, out);
  expect(ran.status).toBe(3);
  expect(await contents(out)).toBe(`time,L,R\n${kept.join('')}`);
  expect(ran.stdout).toMatch(/^4 lines left out/);
  expect(ran.stdout.trim().split('\n').at(-1)).toBe('396 rows, 1.990 s, 200 Hz, 2 gaps');
});

test('no row, no header, a file that is there: 1, 2, 2, and nothing is written', async () => {
  const out = await place();
  const empty = await recordHere(await recorder((socket) => socket.end('time,L,R\n')), out, null);
  expect(empty).toMatchObject({ status: 1, stderr: expect.stringMatching(/No row came/) });
  const headless = await recordHere(await recorder((socket) => socket.write(ROWS.join(''))), out, null);
  expect(headless).toMatchObject({ status: 2, stderr: expect.stringMatching(/--columns/) });
  expect(existsSync(out)).toBe(false);
  await writeFile(out, 'mine');
  const taken = await recordHere('tcp:127.0.0.1:1', out);
  expect(taken).toMatchObject({ status: 2, stderr: expect.stringMatching(/exists/) });
  expect(await contents(out)).toBe('mine');
});

test('N seconds from the first row end it, whether the source goes on or falls silent', async () => {
  const out = await place();
  const source = await recorder((socket) => socket.write(TRACE));
  const ran = await recordHere(source, out, null, 0.2);
  expect(ran).toMatchObject({ status: 0, stderr: '' });
  expect(await contents(out)).toBe(TRACE);
  const single = await place();
  const one = await recordHere(await recorder((socket) => socket.write('5,1,2\n')), single, NAMES, 0.2);
  expect(one.status).toBe(0);
  expect(await contents(single)).toBe('time,L,R\n5,1,2\n');
});

test('tcp tries again until somebody listens; a listener lets one recorder in, then ends with it', async () => {
  const [out, port] = [await place(), await freePort()];
  const recording = recordHere(`tcp:127.0.0.1:${port}`, out, null);
  const server = createServer((socket) => socket.end(TRACE)).listen(port, '127.0.0.1');
  expect((await recording).status).toBe(3);
  server.close();
  expect(await contents(out)).toBe(TRACE);

  const [second, other] = [await place(), await freePort()];
  const listening = recordHere(`listen:${other}`, second, null);
  let socket = connect(other, '127.0.0.1');
  await until(async () => {
    if (socket.readyState === 'open') return true;
    if (socket.destroyed) socket = connect(other, '127.0.0.1');
    socket.on('error', () => undefined);
    return false;
  });
  socket.write(TRACE);
  await until(async () => (await contents(second)).length > 0);
  const late = connect(other, '127.0.0.1');
  await new Promise((resolve) => late.once('error', resolve));
  socket.end();
  expect((await listening).status).toBe(3);
  expect(await contents(second)).toBe(TRACE);
});

test('a port that another program has is told, 1', async () => {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  const ran = await recordHere(`listen:${port}`, await place());
  expect(ran).toMatchObject({ status: 1, stderr: expect.stringMatching(/already open in another program/) });
  server.close();
});

test('datagrams hold whole lines, and N seconds end them', async () => {
  const [out, port] = [await place(), await freePort()];
  const recording = recordHere(`udp:${port}`, out, NAMES, 1);
  const socket = createSocket('udp4');
  const send = (text: string) => new Promise((resolve) => socket.send(text, port, '127.0.0.1', resolve));
  // Until somebody hears, datagrams are lost.
  const isHeard = async () => (await contents(out)).length > 0;
  let k = 0;
  await until(async () => {
    await send(`${k},1,2\n${k + 1},1,2`);
    k += 2;
    return isHeard();
  });
  expect((await recording).status).toBe(0);
  socket.close();
  expect(await contents(out)).toMatch(/^time,L,R\n(?:\d+,1,2\n)+$/);
});

test('play sends every line unchanged, as fast as one says; record writes the same file', async () => {
  const folder = await tempFolder();
  const [trace, out, port] = [join(folder, 'old.csv'), join(folder, 'new.csv'), await freePort()];
  await writeFile(trace, TRACE);
  const recording = recordHere(`listen:${port}`, out, null);
  const to = sourceOf(`tcp:127.0.0.1:${port}`);
  if (to.kind === 'serial') throw new Error('no socket');
  const played = await here((terminal) => runPlay({ trace, to, speed: 20 }, terminal));
  expect(played).toMatchObject({ status: 0, stdout: '401 lines sent\n' });
  expect((await recording).status).toBe(3);
  expect(await contents(out)).toBe(TRACE);
});

test('play says what is no trace', async () => {
  const folder = await tempFolder();
  const to = { kind: 'listen', host: '127.0.0.1', port: 1 } as const;
  for (const [text, says] of [
    ['0,1,2\n', /no header/],
    ['L,R\n1,2\n1,2\n1,2\n', /no column of times/],
    ['time,L,R\n', /no row/],
  ] as const) {
    await writeFile(join(folder, 'x.csv'), text);
    const ran = await here((terminal) => runPlay({ trace: join(folder, 'x.csv'), to, speed: 1 }, terminal));
    expect(ran).toMatchObject({ status: 1, stderr: expect.stringMatching(says) });
  }
});

/** A recording in a program of its own, its source open. */
function recordApart(source: string, out: string): { child: ChildProcess; said: () => string } {
  const child = spawn(NODE, [LANEBENCH, 'record', '--source', source, '--columns', 'time,L,R', '--out', out]);
  children.push(child);
  let said = '';
  child.stdout!.on('data', (text) => (said += String(text)));
  child.stderr!.on('data', (text) => (said += String(text)));
  return { child, said: () => said };
}

test('Ctrl-C ends it, 0, with all that came', async () => {
  const out = await place();
  const { child, said } = recordApart(await recorder((socket) => socket.write(ROWS.join(''))), out);
  await until(async () => (await contents(out)).length >= TRACE.length);
  child.kill('SIGINT');
  const [status] = (await once(child, 'close')) as [number];
  expect(said().trim().split('\n').at(-1)).toBe('400 rows, 1.995 s, 200 Hz, 0 gaps');
  expect(status).toBe(0);
  expect(await contents(out)).toBe(TRACE);
});

test('killed, it has left what it had written, in whole lines', async () => {
  const out = await place();
  const { child } = recordApart(await recorder((socket) => socket.write(ROWS.join(''))), out);
  await until(async () => (await contents(out)).length >= TRACE.length);
  child.kill('SIGKILL');
  await once(child, 'close');
  expect(await contents(out)).toBe(TRACE);
});

describe.skipIf(!existsSync('/usr/bin/socat'))('a serial port', () => {
  async function pair() {
    const folder = await tempFolder();
    const [ours, theirs] = [join(folder, 'ours'), join(folder, 'theirs')];
    const ends = [ours, theirs].map((link) => `pty,raw,echo=0,link=${link}`);
    const child = spawn('/usr/bin/socat', ends, { stdio: 'ignore' });
    children.push(child);
    await until(() => existsSync(ours) && existsSync(theirs));
    return { ours, theirs, child, out: join(folder, 'trace.csv') };
  }

  test('is recorded until it is unplugged; nobody else may open it meanwhile', async () => {
    const { ours, theirs, child, out } = await pair();
    let isOpen = false;
    const recording = recordSource(
      { source: sourceOf(`serial:${ours}?baud=230400`), columns: null, out, seconds: null },
      { signal: new AbortController().signal, onOpen: () => (isOpen = true) },
    );
    // What was sent before a port is open is not heard.
    await until(() => isOpen);
    await writeFile(theirs, 'time,L,R\n', { flag: 'r+' });
    await writeFile(theirs, ROWS.join(''), { flag: 'r+' });
    await until(async () => (await contents(out)).length >= TRACE.length);
    const second = await recordHere(`serial:${ours}`, await place());
    expect(second).toMatchObject({
      status: 1,
      stderr: expect.stringMatching(/already open in another program/),
    });
    child.kill();
    const early = expect.stringMatching(/unplugged|broke off/);
    expect(await recording).toMatchObject({ kind: 'recorded', early, leftOut: 0 });
    expect(await contents(out)).toBe(TRACE);
  });

  test('that is not there is told, 1', async () => {
    const ran = await recordHere('serial:/dev/no-such-port', await place());
    expect(ran).toMatchObject({ status: 1, stderr: expect.stringMatching(/There is no port/) });
  });
});

test('wrong usage is 2, and help says how', async () => {
  for (const args of [
    ['record', '--out', 'x.csv'],
    ['record', '--source', 'usb:1', '--out', 'x.csv'],
    ['record', '--source', 'udp:9000', '--out', 'x.csv', '--seconds', '0'],
    ['play', 'x.csv', '--to', 'udp:9000'],
    ['play', '--to', 'listen:9000'],
  ])
    expect((await lanebench(args)).status, args.join(' ')).toBe(2);
  expect(await lanebench(['help', 'record'])).toMatchObject({
    status: 0,
    stdout: expect.stringMatching(/qualified person/),
  });
});
