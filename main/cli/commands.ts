/**
 * Every command, in the order in which help lists them. What a command needs is loaded when it is called: most need
 * little of the program, and a command line is started often.
 */
import { type Command, placesFault } from './command.ts';
import {
  HELP_COMPARE,
  HELP_GATHER,
  HELP_OPEN,
  HELP_POOL,
  HELP_PROCESS,
  HELP_SALVAGE,
  HELP_VERIFY,
} from './help.ts';

const OUT = { out: { type: 'string' }, replace: { type: 'boolean' } } as const;

export const COMMANDS: readonly Command[] = [
  {
    name: 'process',
    help: HELP_PROCESS,
    options: { ...OUT, samples: { type: 'boolean' } },
    fault: (given) => placesFault('process', 'one day folder', given),
    run: async ({ positionals, text, isSet }, terminal) =>
      (await import('./process.ts')).runProcess(
        {
          folder: positionals[0]!,
          out: text('out')!,
          replace: isSet('replace'),
          samples: isSet('samples'),
        },
        terminal,
      ),
  },
  {
    name: 'gather',
    help: HELP_GATHER,
    options: { ...OUT, map: { type: 'string' } },
    fault: (given) =>
      given.text('map') === undefined && given.positionals.length === 1
        ? '"gather" needs --map MAP.json: how names and tables become trials.'
        : placesFault('gather', 'one folder of recordings', given),
    run: async ({ positionals, text, isSet }, terminal) =>
      (await import('./gather.ts')).runGather(
        { folder: positionals[0]!, map: text('map')!, out: text('out')!, replace: isSet('replace') },
        terminal,
      ),
  },
  {
    name: 'open',
    help: HELP_OPEN,
    options: {},
    fault: ({ positionals }) => (positionals.length === 1 ? null : '"open" takes one day folder.'),
    run: async ({ positionals }, terminal) => (await import('./open.ts')).runOpen(positionals[0]!, terminal),
  },
  {
    name: 'verify',
    help: HELP_VERIFY,
    options: { all: { type: 'boolean' } },
    fault: ({ positionals }) =>
      positionals.length === 0 ? null : '"verify" takes no folder: LANEBENCH_HOME names the lab folder.',
    run: async ({ isSet }, terminal) => (await import('./verify.ts')).runVerify(isSet('all'), terminal),
  },
  {
    name: 'salvage',
    help: HELP_SALVAGE,
    options: { home: { type: 'string' } },
    fault: ({ positionals, text }) =>
      positionals.length === 1 && text('home')
        ? null
        : '"salvage" takes the damaged lab folder, and --home NEW_LAB_FOLDER.',
    run: async ({ positionals, text }, terminal) =>
      (await import('./verify.ts')).runSalvage(positionals[0]!, text('home')!, terminal),
  },
  {
    name: 'pool',
    help: HELP_POOL,
    options: { ...OUT, lab: { type: 'string' }, parquet: { type: 'boolean' } },
    fault: (given) => placesFault('pool', 'one dataset or more', given, Infinity),
    run: async ({ positionals, text, isSet }, terminal) =>
      (await import('./pool.ts')).runPool(
        {
          folders: positionals,
          out: text('out')!,
          lab: text('lab') ?? null,
          parquet: isSet('parquet'),
          replace: isSet('replace'),
        },
        terminal,
      ),
  },
  {
    name: 'compare',
    help: HELP_COMPARE,
    options: { ...OUT, plan: { type: 'string' } },
    fault: (given) =>
      given.text('plan') === undefined && given.positionals.length === 1
        ? '"compare" needs --plan PLAN.json: the questions.'
        : placesFault('compare', 'one dataset or pool', given),
    run: async ({ positionals, text, isSet }, terminal) =>
      (await import('./compare.ts')).runCompare(
        { folder: positionals[0]!, plan: text('plan')!, out: text('out')!, replace: isSet('replace') },
        terminal,
      ),
  },
];
