/** A second start asks the running program for another link. */
import { request } from 'node:http';
import type { Door } from '../lab/lock.ts';
import { DOOR_HEADER, DOOR_PATH } from './server.ts';

export type DoorAnswer =
  | { readonly kind: 'link'; readonly link: string }
  /** Nobody is there, or somebody else is. */
  | { readonly kind: 'gone' }
  /** The program is there but does not answer. */
  | { readonly kind: 'silent' };

/** Asks at the door, waiting at most `timeoutMs`. Never rejects. */
export function askForLink(door: Door, timeoutMs = 3_000): Promise<DoorAnswer> {
  return new Promise((resolve) => {
    const asking = request({
      host: '127.0.0.1',
      port: door.port,
      path: DOOR_PATH,
      method: 'POST',
      headers: { [DOOR_HEADER]: door.key },
      // An agent of its own: no proxy from the environment may stand between.
      agent: false,
    });
    const timer = setTimeout(() => {
      resolve({ kind: 'silent' });
      asking.destroy();
    }, timeoutMs);
    asking.once('error', () => resolve({ kind: 'gone' }));
    asking.once('close', () => clearTimeout(timer));
    asking.once('response', (response) => {
      let text = '';
      response.setEncoding('utf8');
      response.on('data', (part: string) => (text += part));
      response.once('end', () => {
        const link = text.trim();
        const ours = response.statusCode === 200 && link.startsWith(`http://127.0.0.1:${door.port}/?token=`);
        resolve(ours ? { kind: 'link', link } : { kind: 'gone' });
      });
    });
    asking.end();
  });
}
