/** Decides, before anything is routed, whether a request may come in at all. */
import type { IncomingMessage } from 'node:http';
import type { Keys } from './keys.ts';

export interface Own {
  /** The only Host accepted, `127.0.0.1:PORT`. */
  readonly host: string;
  /** The only Origin accepted on writes, `http://127.0.0.1:PORT`. */
  readonly origin: string;
  /** Cookies are shared by all ports of a host, so its name holds the port. */
  readonly cookie: string;
}

export type Verdict =
  | { readonly kind: 'in' }
  /** A link's token was spent: hand over the session and show a clean address. */
  | { readonly kind: 'enter'; readonly session: string }
  /** A spent link, opened again by somebody who is in already. */
  | { readonly kind: 'tidy' }
  | { readonly kind: 'out'; readonly status: number; readonly says: string };

const out = (status: number, says: string): Verdict => ({ kind: 'out', status, says });

/** Methods that the web's Request cannot even name. */
const NEVER = new Set(['CONNECT', 'TRACE', 'TRACK']);

type Asked = Pick<IncomingMessage, 'method' | 'url' | 'rawHeaders'>;

/** Host and address: wrong where a page elsewhere was made to reach this server under another name. */
export function refuseAddress(asked: Asked, own: Own): Verdict | null {
  const hosts = values(asked, 'host');
  if (hosts.length !== 1 || hosts[0] !== own.host)
    return out(421, 'This is not the address of this program.');
  if (!/^\/(?!\/)[\u0021-\u007e]*$/.test(asked.url ?? '')) return out(400, 'This address cannot be read.');
  return null;
}

export function judge(asked: Asked, own: Own, keys: Keys): Verdict {
  const wrong = refuseAddress(asked, own);
  if (wrong !== null) return wrong;

  const reading = asked.method === 'GET' || asked.method === 'HEAD';
  const known = cookies(asked, own.cookie).some(keys.knows);
  const token = asked.method === 'GET' ? linkToken(asked.url ?? '') : null;
  if (token !== null) {
    const session = known ? null : keys.redeem(token);
    if (session !== null) return { kind: 'enter', session };
    if (known) {
      keys.redeem(token);
      return { kind: 'tidy' };
    }
  }
  if (!known) return out(401, 'This window has no key, or its link was used before.');

  if (NEVER.has(asked.method ?? '')) return out(405, 'This address takes GET and HEAD only.');
  const origins = values(asked, 'origin');
  const ownOrigin = origins.length === 1 && origins[0] === own.origin;
  if (reading ? origins.length > 0 && !ownOrigin : !ownOrigin)
    return out(403, 'This request comes from another page.');
  if (!reading || !isOwnNavigation(asked)) {
    const site = values(asked, 'sec-fetch-site');
    if (site.some((value) => value !== 'same-origin' && value !== 'none')) {
      return out(403, 'This request comes from another page.');
    }
  }
  return { kind: 'in' };
}

/** A window going to an address, as opposed to a page fetching or embedding it. */
function isOwnNavigation(asked: Asked): boolean {
  return (
    values(asked, 'sec-fetch-mode')[0] === 'navigate' && values(asked, 'sec-fetch-dest')[0] === 'document'
  );
}

function linkToken(url: string): string | null {
  return /^\/\?token=([A-Za-z0-9_-]{1,100})$/.exec(url)?.[1] ?? null;
}

function values(asked: Asked, name: string): string[] {
  return asked.rawHeaders.filter((_, i, all) => i % 2 === 1 && all[i - 1]?.toLowerCase() === name);
}

function cookies(asked: Asked, name: string): string[] {
  return values(asked, 'cookie')
    .flatMap((header) => header.split(';'))
    .map((pair) => pair.trim())
    .filter((pair) => pair.startsWith(`${name}=`))
    .map((pair) => pair.slice(name.length + 1));
}
