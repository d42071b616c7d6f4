/** `lanebench gather`: makes a day folder from a folder of recordings and tells the person what came of it. */
import { homedir } from 'node:os';
import { counted } from '../../core/base/words.ts';
import type { Gathered } from '../../core/gather/gather.ts';
import { gatherFolder, type GatherOrder } from '../lab/gather/gather.ts';
import { proposeFor } from '../lab/gather/look.ts';
import { defaultLabFolder } from '../lab/home.ts';
import { cancelledBy, COMPLETE, NOTHING, PARTLY, USAGE, type Terminal } from './terminal.ts';

/** Refusals shown on the terminal; the rest is counted. */
const SHOWN = 40;

export async function runGather(order: Omit<GatherOrder, 'home'>, terminal: Terminal): Promise<number> {
  const home = defaultLabFolder(process.env, process.platform, homedir());
  const outcome = await cancelledBy((signal) =>
    gatherFolder(
      { ...order, home },
      { signal, onFile: (done, total) => terminal.progress?.(`File ${done} of ${total}`) },
    ),
  );
  terminal.progress?.('');
  if (outcome.kind === 'misplaced' || outcome.kind === 'cancelled') {
    terminal.error(outcome.says);
    return outcome.kind === 'misplaced' ? USAGE : NOTHING;
  }
  const refused = outcome.gathered === null ? [] : refusedSaid(outcome.gathered);
  if (outcome.kind === 'nothing') {
    terminal.error([outcome.says, ...refused].join('\n'));
    return NOTHING;
  }
  const { gathered, remarks } = outcome;
  terminal.print([written(gathered, order.out), ...remarks].join('\n'));
  const { leftOut, missing, others } = gathered;
  if (leftOut.swimmers > 0)
    terminal.print(
      `Left out for consent: ${counted(leftOut.swimmers, 'swimmer')}, ${counted(leftOut.trials, 'trial')}, ${counted(leftOut.files, 'file')}.`,
    );
  const passed = others.filter(({ what }) => what === 'none').length;
  if (passed > 0)
    terminal.print(
      `${counted(passed, 'file')} belong${passed === 1 ? 's' : ''} to no trial; gathered.csv says why.`,
    );
  if (missing.length > 0) terminal.print(['Missing:', ...missing.map((says) => `  ${says}`)].join('\n'));
  if (refused.length > 0) terminal.print(['Not taken:', ...refused].join('\n'));
  return refused.length > 0 ? PARTLY : COMPLETE;
}

/** Writes a map that is proposed for a folder, and says what a person should look at in it. */
export async function runPropose(folder: string, map: string, terminal: Terminal): Promise<number> {
  const proposed = await proposeFor(folder, map);
  if (!proposed.ok) {
    terminal.error(proposed.error.says);
    return proposed.error.kind === 'misplaced' ? USAGE : NOTHING;
  }
  const { remarks } = proposed.value;
  terminal.print(
    `A map is proposed in ${map}. Look through it, then: lanebench gather ${folder} --map ${map} --out DAY_FOLDER`,
  );
  if (remarks.length > 0) terminal.print(['Look at this:', ...remarks.map((says) => `  ${says}`)].join('\n'));
  return COMPLETE;
}

function written({ trials, copies, swimmers }: Gathered, out: string): string {
  const traces = copies.filter(({ kind }) => kind === 'trace').length;
  return `${counted(trials.length, 'trial')} of ${counted(swimmers, 'swimmer')} gathered into ${out}: ${counted(traces, 'trace')}, ${counted(copies.length - traces, 'film')} copied.`;
}

function refusedSaid({ refused, doubtful }: Gathered): readonly string[] {
  const lines = [
    ...refused.map(({ file, line, reason }) => `  ${file}${line === null ? '' : ` line ${line}`}: ${reason}`),
    ...doubtful.map((says) => `  ${says}`),
  ];
  return lines.length <= SHOWN ? lines : [...lines.slice(0, SHOWN), `  and ${lines.length - SHOWN} more.`];
}
