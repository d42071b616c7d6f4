/** Connections that nobody is answered on have a limit in time. */
import { once } from 'node:events';
import { createServer } from 'node:http';
import { connect, type AddressInfo } from 'node:net';
import { expect, onTestFinished, test } from 'vitest';
import { limitIdle } from '../../../main/loopback/idle.ts';

test('a connection that says nothing is closed; one that is being answered is not', async () => {
  const server = createServer((_, outgoing) => {
    setTimeout(() => outgoing.end('late'), 600);
  });
  limitIdle(server, 100);
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => void server.close());
  const { port } = server.address() as AddressInfo;
  const silent = connect(port, '127.0.0.1');
  await once(silent.resume(), 'close');
  const answer = await fetch(`http://127.0.0.1:${port}/`);
  expect(await answer.text()).toBe('late');
});
