/** Entry of the command line: picks the command and turns what came of it into an exit status. */
import { parseArgs } from 'node:util';
import { HELP, HELP_OPEN, HELP_PROCESS, HELP_SALVAGE, HELP_VERIFY } from './help.ts';
import { runOpen } from './open.ts';
import { runProcess } from './process.ts';
import { runSalvage, runVerify } from './verify.ts';
import { USAGE, type Terminal } from './terminal.ts';
import { VERSION } from '../lab/kept/version.ts';

const OPTIONS = {
  out: { type: 'string' },
  replace: { type: 'boolean' },
  all: { type: 'boolean' },
  home: { type: 'string' },
  help: { type: 'boolean', short: 'h' },
  version: { type: 'boolean' },
} as const;

const HELP_OF: Readonly<Record<string, string>> = {
  process: HELP_PROCESS,
  open: HELP_OPEN,
  verify: HELP_VERIFY,
  salvage: HELP_SALVAGE,
};

async function run(args: readonly string[], terminal: Terminal): Promise<number> {
  let parsed;
  try {
    parsed = parseArgs({ args: [...args], options: OPTIONS, allowPositionals: true });
  } catch (error) {
    terminal.error(`${(error as Error).message}\nSee: lanebench --help`);
    return USAGE;
  }
  const { values, positionals } = parsed;
  const [command, folder, ...more] = positionals;
  if (values.version === true) {
    terminal.print(VERSION);
    return 0;
  }
  if (values.help === true || command === 'help' || args.length === 0) {
    const topic = command === 'help' ? folder : command;
    terminal.print(HELP_OF[topic ?? ''] ?? HELP);
    return args.length === 0 ? USAGE : 0;
  }
  if (command === 'verify' && folder === undefined) return runVerify(values.all === true, terminal);
  if (command === 'salvage' && folder !== undefined && more.length === 0 && values.home)
    return runSalvage(folder, values.home, terminal);
  if (command === 'verify' || command === 'salvage') {
    const takes =
      command === 'verify'
        ? '"verify" takes no folder: LANEBENCH_HOME names the lab folder.'
        : '"salvage" takes the damaged lab folder, and --home NEW_LAB_FOLDER.';
    terminal.error(`${takes}\nSee: lanebench help ${command}`);
    return USAGE;
  }
  if (folder === undefined || more.length > 0 || (command !== 'process' && command !== 'open')) {
    const what =
      command !== 'process' && command !== 'open'
        ? `There is no command "${command ?? ''}".`
        : `"${command}" takes one day folder.`;
    terminal.error(`${what}\nSee: lanebench --help`);
    return USAGE;
  }
  if (command === 'open') return runOpen(folder, terminal);
  if (values.out === undefined) {
    terminal.error(
      '"process" needs --out OUT: the folder to write the dataset to.\nSee: lanebench help process',
    );
    return USAGE;
  }
  return runProcess({ folder, out: values.out, replace: values.replace === true }, terminal);
}

process.exitCode = await run(process.argv.slice(2), {
  print: (text) => process.stdout.write(`${text}\n`),
  error: (text) => process.stderr.write(`${text}\n`),
  progress: process.stderr.isTTY ? (text) => process.stderr.write(`\r\x1b[K${text}`) : null,
});
