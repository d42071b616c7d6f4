/** `lanebench open`: brings a day folder into the lab folder. */
import { homedir } from 'node:os';
import { resolve } from 'node:path';
import { defaultLabFolder } from '../lab/home.ts';
import { openIntoLab } from '../lab/lab.ts';
import { openingFault } from '../lab/opening.ts';
import { VERSION } from '../lab/kept/version.ts';
import { COMPLETE, NOTHING, PARTLY, type Terminal } from './terminal.ts';

export async function runOpen(folder: string, terminal: Terminal): Promise<number> {
  const home = defaultLabFolder(process.env, process.platform, homedir());
  let outcome;
  try {
    outcome = await openIntoLab(home, resolve(folder), VERSION, (done, total) =>
      terminal.progress?.(`Step ${done.toFixed(done === Math.floor(done) ? 0 : 2)} of ${total}`),
    );
  } catch (error) {
    terminal.error(openingFault(error, home));
    return NOTHING;
  }
  terminal.progress?.('');
  if (!outcome.ok) {
    terminal.error(`${outcome.error.says} ${outcome.error.todo}`);
    return NOTHING;
  }
  const { day, trials, refused, leftOut } = outcome.value;
  terminal.print(`Day ${day}: ${trials} trials are in the lab folder ${home}.`);
  if (refused > 0)
    terminal.print(`${refused} inputs were refused; the app and "lanebench process" say which and why.`);
  if (leftOut.swimmers > 0)
    terminal.print(`Left out for consent: swimmers ${leftOut.swimmers}, trials ${leftOut.trials}.`);
  return refused > 0 ? PARTLY : COMPLETE;
}
