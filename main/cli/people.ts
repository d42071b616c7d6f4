/** `lanebench person` and `lanebench erase`: what the lab holds on a swimmer, handed over or erased. */
import { homedir } from 'node:os';
import { existsSync } from 'node:fs';
import { failed, done } from '../../core/base/refusal.ts';
import { defaultLabFolder } from '../lab/home.ts';
import { takeLock } from '../lab/lock.ts';
import { openingFault } from '../lab/opening.ts';
import { erasePerson } from '../lab/people/erase.ts';
import { handOver } from '../lab/people/handover.ts';
import { atLab, progressOf } from './releases.ts';
import { COMPLETE, NOTHING, PARTLY, USAGE, type Terminal } from './terminal.ts';

export function runPerson(
  order: { readonly participant: string; readonly out: string; readonly replace: boolean },
  terminal: Terminal,
): Promise<number> {
  return atLab(terminal, async (session) => {
    const handed = await handOver(session, order, progressOf(terminal, 'File'));
    if (handed.kind === 'nothing') return failed(handed.error);
    terminal.progress?.('');
    if (handed.kind === 'misplaced') {
      terminal.error(handed.says);
      return done(USAGE);
    }
    terminal.print(handed.says);
    for (const line of handed.lines) terminal.print(line);
    return done(handed.lines.length === 0 ? COMPLETE : PARTLY);
  });
}

export async function runErase(participant: string, terminal: Terminal): Promise<number> {
  const home = defaultLabFolder(process.env, process.platform, homedir());
  if (!existsSync(home)) {
    terminal.error(`There is no lab folder ${home}. LANEBENCH_HOME names it.`);
    return NOTHING;
  }
  let lock;
  try {
    lock = await takeLock(home, null);
  } catch (error) {
    terminal.error(openingFault(error, home));
    return NOTHING;
  }
  if (lock.kind === 'held') {
    terminal.error(
      `Nothing was erased: the lab folder ${home} is open in a window, which still knows the swimmer. Close the window and try again.`,
    );
    return NOTHING;
  }
  try {
    return await atLab(terminal, async (session) => {
      const erased = await erasePerson(session, participant);
      if (!erased.ok) return erased;
      const { says, elsewhere, lines } = erased.value;
      terminal.print(says);
      for (const line of lines) terminal.print(line);
      if (elsewhere.length > 0)
        terminal.print('These may still hold the swimmer and are for you to deal with:');
      for (const line of elsewhere) terminal.print(`  ${line}`);
      terminal.print('Copies that were exported, printed or sent are not known to the program.');
      return done(lines.length === 0 ? COMPLETE : PARTLY);
    });
  } finally {
    await lock.release();
  }
}
