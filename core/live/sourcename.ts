/** The names of live sources: `serial:PATH?baud=N`, `tcp:HOST:PORT`, `listen:…`, `udp:…`. Contract: formats.md section 5. */
import { quoted } from '../base/plaintext.ts';
import { done, failed, type Outcome } from '../base/refusal.ts';

export type LiveSource =
  | { readonly kind: 'serial'; readonly path: string; readonly baud: number }
  | { readonly kind: 'tcp' | 'listen' | 'udp'; readonly host: string; readonly port: number };

/** The address of this computer alone. */
export const THIS_COMPUTER = '127.0.0.1';

/** Rate of a serial line that names none, bit/s: common practice, no source. */
const USUAL_BAUD = 115_200;

const TAKES = 'serial:PATH?baud=N, tcp:HOST:PORT, listen:PORT, listen:HOST:PORT or udp:PORT';

/** Reads a source's name; the failure is a sentence. */
export function parseSource(text: string): Outcome<LiveSource, string> {
  const [, kind, rest] = /^(serial|tcp|listen|udp):(.+)$/i.exec(text.trim()) ?? [];
  if (kind === undefined) return failed(`${quoted(text)} names no source; it takes ${TAKES}.`);
  const known = kind.toLowerCase() as LiveSource['kind'];
  return known === 'serial' ? parseSerial(rest!) : parseAddress(known, rest!);
}

function parseSerial(rest: string): Outcome<LiveSource, string> {
  const [, path, options] = /^([^?]+)(?:\?(.*))?$/.exec(rest) ?? [];
  const [, digits] = /^baud=(\d{2,8})$/.exec(options ?? `baud=${USUAL_BAUD}`) ?? [];
  if (path === undefined || digits === undefined)
    return failed(
      `${quoted(`serial:${rest}`)} names no serial port; it takes serial:PATH?baud=N, such as baud=115200.`,
    );
  return done({ kind: 'serial', path, baud: Number(digits) });
}

function parseAddress(kind: 'tcp' | 'listen' | 'udp', rest: string): Outcome<LiveSource, string> {
  const [, host, digits] = /^(?:(.+):)?(\d{1,5})$/.exec(rest) ?? [];
  const port = Number(digits);
  if (digits === undefined || port < 1 || port > 65_535)
    return failed(`${quoted(`${kind}:${rest}`)} has no port from 1 to 65535; it takes ${TAKES}.`);
  if (host === undefined && kind === 'tcp')
    return failed(`${quoted(`tcp:${rest}`)} names no computer; it takes tcp:HOST:PORT.`);
  return done({ kind, host: host?.replace(/^\[(.*)\]$/, '$1') ?? THIS_COMPUTER, port });
}

/** True where a source takes what comes from beyond this computer: only where a person named an address for it. */
export function listensBeyond(source: LiveSource): boolean {
  if (source.kind !== 'listen' && source.kind !== 'udp') return false;
  return !/^(?:127\.|localhost$|::1$)/i.test(source.host);
}
