/**
 * Every command, in the order in which help lists them. What a command needs is loaded when it is called: most need
 * little of the program, and a command line is started often.
 */
import { type Command, placesFault } from './command.ts';
import {
  HELP_COMPARE,
  HELP_DIFF,
  HELP_EXPORT,
  HELP_FREEZE,
  HELP_GATHER,
  HELP_OPEN,
  HELP_POOL,
  HELP_PROCESS,
  HELP_RELEASES,
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
  {
    name: 'freeze',
    help: HELP_FREEZE,
    options: { days: { type: 'string' } },
    fault: ({ positionals, text }) =>
      positionals.length === 1 && text('days')
        ? null
        : '"freeze" takes the name of the release, and --days D,D… or --days all.',
    run: async ({ positionals, text }, terminal) =>
      (await import('./releases.ts')).runFreeze(positionals[0]!, text('days')!, terminal),
  },
  {
    name: 'releases',
    help: HELP_RELEASES,
    options: {},
    fault: ({ positionals }) =>
      positionals.length === 0 ? null : '"releases" takes nothing: LANEBENCH_HOME names the lab folder.',
    run: async (_given, terminal) => (await import('./releases.ts')).runReleases(terminal),
  },
  {
    name: 'export',
    help: HELP_EXPORT,
    options: {
      ...OUT,
      samples: { type: 'boolean' },
      parquet: { type: 'boolean' },
      'coarse-birth-year': { type: 'boolean' },
      notes: { type: 'boolean' },
    },
    fault: (given) => placesFault('export', 'the name of one release', given),
    run: async ({ positionals, text, isSet }, terminal) =>
      (await import('./releases.ts')).runExport(
        {
          name: positionals[0]!,
          out: text('out')!,
          replace: isSet('replace'),
          wish: {
            samples: isSet('samples'),
            parquet: isSet('parquet'),
            coarseBirthYear: isSet('coarse-birth-year'),
            notes: isSet('notes'),
            curves: false,
            matlab: false,
            edf: false,
          },
        },
        terminal,
      ),
  },
  {
    name: 'diff',
    help: HELP_DIFF,
    options: {},
    fault: ({ positionals }) => (positionals.length === 2 ? null : '"diff" takes the names of two releases.'),
    run: async ({ positionals }, terminal) =>
      (await import('./releases.ts')).runDiff(positionals[0]!, positionals[1]!, terminal),
  },
];
