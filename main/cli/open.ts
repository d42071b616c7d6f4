import type { Terminal } from './terminal.ts';
export async function runOpen(_folder: string, _terminal: Terminal): Promise<number> {
  return 1;
}
