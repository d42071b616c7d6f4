/** `lanebench verify` and `lanebench salvage`: what is damaged in a lab folder, and what can be got out of it. */
import { homedir } from 'node:os';
import { resolve } from 'node:path';
import { defaultLabFolder } from '../lab/home.ts';
import { salvageInto, verifyFolder } from '../lab/upkeep.ts';
import { COMPLETE, NOTHING, PARTLY, type Terminal } from './terminal.ts';

export async function runVerify(all: boolean, terminal: Terminal): Promise<number> {
  const home = defaultLabFolder(process.env, process.platform, homedir());
  const verified = await verifyFolder(home, all, (done, total) =>
    terminal.progress?.(`File ${done} of ${total}`),
  );
  terminal.progress?.('');
  if (!verified.ok) {
    terminal.error(`${verified.error.says} ${verified.error.todo}`);
    return NOTHING;
  }
  const { lines, noted, says } = verified.value;
  for (const line of lines) terminal.print(line);
  if (lines.length > 0) for (const line of noted) terminal.print(`${line}.`);
  if (lines.length === 0) terminal.print(says);
  return lines.length === 0 ? COMPLETE : PARTLY;
}

export async function runSalvage(from: string, to: string, terminal: Terminal): Promise<number> {
  const salvaged = await salvageInto(resolve(from), resolve(to), (done, total) =>
    terminal.progress?.(`File ${done} of ${total}`),
  );
  terminal.progress?.('');
  if (!salvaged.ok) {
    terminal.error(`${salvaged.error.says} ${salvaged.error.todo}`);
    return NOTHING;
  }
  const { says, summary } = salvaged.value;
  for (const line of says) terminal.print(line);
  terminal.print(summary);
  return says.length === 0 ? COMPLETE : PARTLY;
}
