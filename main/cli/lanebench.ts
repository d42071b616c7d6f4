/** Entry of the command line: picks the command and turns what came of it into an exit status. */
import { parseArgs } from 'node:util';
import { shownLines, shownText } from '../../core/base/plaintext.ts';
import type { Given } from './command.ts';
import { COMMANDS } from './commands.ts';
import { HELP } from './help.ts';
import { USAGE, type Terminal } from './terminal.ts';
import { VERSION } from '../lab/kept/version.ts';

const GENERAL = { help: { type: 'boolean', short: 'h' }, version: { type: 'boolean' } } as const;

async function run(args: readonly string[], terminal: Terminal): Promise<number> {
  const wrong = (says: string) => {
    terminal.error(`${says}\nSee: lanebench --help`);
    return USAGE;
  };
  // The command is the first word that is no option, so that its own options can be told from wrong ones.
  const named = COMMANDS.find(({ name }) => name === args.find((word) => !word.startsWith('-')));
  let parsed;
  try {
    const options = { ...GENERAL, ...named?.options };
    parsed = parseArgs({ args: [...args], options, allowPositionals: true });
  } catch (error) {
    return wrong((error as Error).message);
  }
  const values: Readonly<Record<string, unknown>> = parsed.values;
  const [word, ...positionals] = parsed.positionals;
  if (values['version'] === true) {
    terminal.print(VERSION);
    return 0;
  }
  if (values['help'] === true || word === 'help' || args.length === 0) {
    const topic = word === 'help' ? positionals[0] : word;
    terminal.print(COMMANDS.find(({ name }) => name === topic)?.help ?? HELP);
    return args.length === 0 ? USAGE : 0;
  }
  if (named === undefined) return wrong(`There is no command "${word ?? ''}".`);
  const given: Given = {
    positionals,
    text: (option) => {
      const value = values[option];
      return typeof value === 'string' ? value : undefined;
    },
    isSet: (option) => values[option] === true,
  };
  const fault = named.fault(given);
  return fault === null ? named.run(given, terminal) : wrong(fault);
}

process.exitCode = await run(process.argv.slice(2), {
  print: (text) => process.stdout.write(`${shownLines(text)}\n`),
  error: (text) => process.stderr.write(`${shownLines(text)}\n`),
  progress: process.stderr.isTTY ? (text) => process.stderr.write(`\r\x1b[K${shownText(text)}`) : null,
});
