/** `lanebench backup` and `lanebench restore`: a copy of the lab folder in another place, and back. */
import { existsSync, readdirSync } from 'node:fs';
import { homedir } from 'node:os';
import { resolve } from 'node:path';
import { defaultLabFolder } from '../lab/home.ts';
import { openingFault } from '../lab/opening.ts';
import { backupFolder } from '../lab/lab.ts';
import { restoreFolder } from '../lab/days/backup.ts';
import { VERSION } from '../lab/kept/version.ts';
import { COMPLETE, NOTHING, PARTLY, USAGE, type Terminal } from './terminal.ts';

export async function runBackup(to: string, full: boolean, terminal: Terminal): Promise<number> {
  const home = defaultLabFolder(process.env, process.platform, homedir());
  if (!existsSync(home)) {
    terminal.error(`There is no lab folder ${home}. LANEBENCH_HOME names it.`);
    return NOTHING;
  }
  let made;
  try {
    made = await backupFolder(home, resolve(to), full, VERSION, (done, total) =>
      terminal.progress?.(`File ${done} of ${total}`),
    );
  } catch (error) {
    terminal.error(openingFault(error, home));
    return NOTHING;
  }
  terminal.progress?.('');
  if (!made.ok) {
    terminal.error(`${made.error.says} ${made.error.todo}`);
    return made.error.code === 'bad_input' ? USAGE : NOTHING;
  }
  terminal.print(made.value.says);
  return made.value.isWhole ? COMPLETE : PARTLY;
}

export async function runRestore(from: string, home: string, terminal: Terminal): Promise<number> {
  const to = resolve(home);
  if (existsSync(to) && readdirSync(to).length > 0) {
    terminal.error(`${home} exists and is not empty; choose another NEW_LAB_FOLDER.`);
    return USAGE;
  }
  const restored = await restoreFolder(resolve(from), to, (done, total) =>
    terminal.progress?.(`File ${done} of ${total}`),
  );
  terminal.progress?.('');
  if (!restored.ok) {
    terminal.error(`${restored.error.says} ${restored.error.todo}`);
    return NOTHING;
  }
  const { lines, says } = restored.value;
  for (const line of lines) terminal.print(`${line}.`);
  terminal.print(says);
  return lines.length === 0 ? COMPLETE : PARTLY;
}
