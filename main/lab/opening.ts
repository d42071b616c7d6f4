/** Opening the lab from a host, and what a person hears where it does not open. */
import { StoreFailure } from '../store/errors.ts';
import type { Lab, PrintPdf } from './kept/port.ts';

export type OpenLab = (options: {
  readonly home: string;
  readonly sampleFolder: string | null;
  readonly version: string;
  readonly printPdf?: PrintPdf;
}) => Promise<Lab>;

/** Sentences for an error on the way to an open lab: what is wrong and what to do. Bugs keep their stack. */
export function openingFault(error: unknown, home: string): string {
  if (typeof error === 'object' && error !== null) {
    if (error instanceof StoreFailure) return openingFault(error.error, home);
    if ('says' in error && 'todo' in error) return `${String(error.says)} ${String(error.todo)}`;
    if ('code' in error && 'syscall' in error && 'message' in error) {
      return (
        `The lab folder ${home} cannot be used: ${String(error.message)}. ` +
        'Make it writable for you, or set LANEBENCH_HOME to another folder.'
      );
    }
  }
  const stack = error instanceof Error ? (error.stack ?? error.message) : String(error);
  return `Lanebench could not open the lab folder ${home} because of a fault of its own:\n${stack}`;
}

/** What a second start says where the first one cannot be asked for another window. */
export function alreadyOpen(home: string, pid: number, file: string): string {
  return (
    `Lanebench is already open on the lab folder ${home} (process ${pid}). Go to its window. ` +
    `If there is none, end that process; if there is no such process, delete ${file}.`
  );
}
