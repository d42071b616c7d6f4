/** A serial port, and why one cannot be opened. */
import { readFileSync, statSync } from 'node:fs';
import { SerialPort } from 'serialport';
import type { LiveSource } from '../../core/live/sourcename.ts';
import type { Ended, Hearing } from './hearing.ts';

/** Hears a serial port until it is unplugged or the signal stops it. */
export function openSerial(
  { path, baud }: Extract<LiveSource, { readonly kind: 'serial' }>,
  { onBytes, onOpen }: Hearing,
  stop: AbortSignal,
): Promise<Ended> {
  return new Promise((resolve) => {
    const port = new SerialPort({ path, baudRate: baud, autoOpen: false, lock: true });
    const end = (ended: Ended) => {
      stop.removeEventListener('abort', onStop);
      resolve(ended);
    };
    const close = () => {
      if (port.isOpen) port.close(() => undefined);
    };
    const onStop = () => {
      close();
      end({ kind: 'stopped' });
    };
    stop.addEventListener('abort', onStop, { once: true });
    port.on('data', onBytes);
    port.on('error', () => {
      close();
      end({ kind: 'closed', says: `The port ${path} broke off.` });
    });
    port.once('close', () => end({ kind: 'closed', says: `The port ${path} was unplugged.` }));
    port.open((error) => {
      if (error !== null) end({ kind: 'not_opened', says: openFault(path, error.message) });
      else if (stop.aborted) close();
      else onOpen?.();
    });
  });
}

function openFault(path: string, message: string): string {
  if (/no such file|file not found/i.test(message))
    return `There is no port ${path}; plug the recorder in, or correct the path.`;
  if (/permission|access denied|access is denied/i.test(message)) {
    const group = groupOf(path);
    return group === null
      ? `You may not open the port ${path}; give yourself the right to.`
      : `You may not open the port ${path}: it is open to the group "${group}". Join it (sudo usermod -aG ${group} YOUR_NAME), then log out and in.`;
  }
  if (/cannot lock|temporarily unavailable|busy/i.test(message))
    return `The port ${path} is already open in another program; close it there.`;
  return `The port ${path} cannot be opened: ${message.replace(/^Error:?\s*/, '')}.`;
}

/** The group that a device belongs to; null where the system has none or does not say. */
function groupOf(path: string): string | null {
  try {
    const { gid } = statSync(path);
    const line = readFileSync('/etc/group', 'utf8')
      .split('\n')
      .find((one) => one.split(':')[2] === String(gid));
    return line?.split(':')[0] ?? null;
  } catch {
    return null;
  }
}
