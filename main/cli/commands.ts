/**
 * Every command, in the order in which help lists them. What a command needs is loaded when it is called: most need
 * little of the program, and a command line is started often.
 */
import { parseSource } from '../../core/live/sourcename.ts';
import { type Command, placesFault } from './command.ts';
import { PEOPLE_COMMANDS } from './peoplecommands.ts';
import {
  HELP_BACKUP,
  HELP_COMPARE,
  HELP_DIFF,
  HELP_EXPORT,
  HELP_FREEZE,
  HELP_GATHER,
  HELP_OPEN,
  HELP_PAGES,
  HELP_PLAY,
  HELP_POOL,
  HELP_PROCESS,
  HELP_RECORD,
  HELP_RELEASES,
  HELP_RENEW,
  HELP_RESTORE,
  HELP_SALVAGE,
  HELP_VERIFY,
} from './help.ts';

function isPositive(text: string): boolean {
  const value = Number(text);
  return text.trim() !== '' && Number.isFinite(value) && value > 0;
}

/** The names of `--columns`; null where one is empty. */
function columnsOf(text: string): readonly string[] | null {
  const names = text.split(',').map((name) => name.trim());
  return names.some((name) => name === '') ? null : names;
}

/** What `fault` has let through is there. */
function missing(): never {
  throw new Error('a command ran with options that it had refused');
}

const OUT = { out: { type: 'string' }, replace: { type: 'boolean' } } as const;

/** The kinds of `--recordings`. */
function kindsOf(text: string | undefined): readonly string[] {
  return text?.split(',') ?? [];
}

function kindsFault(text: string | undefined): string | null {
  const wrong = kindsOf(text).find((kind) => kind !== 'mat' && kind !== 'edf');
  return wrong === undefined ? null : `--recordings takes mat, edf or mat,edf, and "${wrong}" is neither.`;
}

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
    options: { ...OUT, map: { type: 'string' }, propose: { type: 'string' } },
    fault: (given) => {
      const places = given.positionals.length === 1;
      if (given.text('propose') !== undefined && places)
        return (given.text('map') ?? given.text('out'))
          ? '"gather --propose MAP.json" takes neither --map nor --out.'
          : null;
      return given.text('map') === undefined && places
        ? '"gather" needs --map MAP.json: how names and tables become trials. --propose MAP.json writes one to begin with.'
        : placesFault('gather', 'one folder of recordings', given);
    },
    run: async ({ positionals, text, isSet }, terminal) => {
      const gather = await import('./gather.ts');
      const folder = positionals[0]!;
      return text('propose') === undefined
        ? gather.runGather(
            { folder, map: text('map')!, out: text('out')!, replace: isSet('replace') },
            terminal,
          )
        : gather.runPropose(folder, text('propose')!, terminal);
    },
  },
  {
    name: 'record',
    help: HELP_RECORD,
    options: {
      source: { type: 'string' },
      columns: { type: 'string' },
      out: { type: 'string' },
      seconds: { type: 'string' },
    },
    fault: ({ positionals, text }) => {
      if (positionals.length > 0 || !text('source') || !text('out'))
        return '"record" takes --source SOURCE and --out FILE.csv.';
      const source = parseSource(text('source')!);
      if (!source.ok) return source.error;
      if (text('seconds') !== undefined && !isPositive(text('seconds')!))
        return `--seconds takes a number above 0, and "${text('seconds')}" is none.`;
      return text('columns') !== undefined && columnsOf(text('columns')!) === null
        ? '--columns takes names between commas, such as time,L,R.'
        : null;
    },
    run: async ({ text }, terminal) => {
      const source = parseSource(text('source')!);
      const seconds = text('seconds');
      return (await import('./record.ts')).runRecord(
        {
          source: source.ok ? source.value : missing(),
          columns: text('columns') === undefined ? null : columnsOf(text('columns')!),
          out: text('out')!,
          seconds: seconds === undefined ? null : Number(seconds),
        },
        terminal,
      );
    },
  },
  {
    name: 'play',
    help: HELP_PLAY,
    options: { to: { type: 'string' }, speed: { type: 'string' } },
    fault: ({ positionals, text }) => {
      if (positionals.length !== 1 || !text('to'))
        return '"play" takes one trace, and --to tcp:HOST:PORT or listen:PORT.';
      if (text('speed') !== undefined && !isPositive(text('speed')!))
        return `--speed takes a number above 0, and "${text('speed')}" is none.`;
      const to = parseSource(text('to')!);
      if (!to.ok) return to.error;
      return to.value.kind === 'tcp' || to.value.kind === 'listen'
        ? null
        : '--to takes tcp:HOST:PORT or listen:PORT.';
    },
    run: async ({ positionals, text }, terminal) => {
      const to = parseSource(text('to')!);
      return (await import('./play.ts')).runPlay(
        {
          trace: positionals[0]!,
          to: to.ok && to.value.kind !== 'serial' ? to.value : missing(),
          speed: Number(text('speed') ?? 1),
        },
        terminal,
      );
    },
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
    name: 'backup',
    help: HELP_BACKUP,
    options: { full: { type: 'boolean' } },
    fault: ({ positionals }) => (positionals.length === 1 ? null : '"backup" takes one folder: TO.'),
    run: async ({ positionals, isSet }, terminal) =>
      (await import('./backup.ts')).runBackup(positionals[0]!, isSet('full'), terminal),
  },
  {
    name: 'restore',
    help: HELP_RESTORE,
    options: { home: { type: 'string' } },
    fault: ({ positionals, text }) =>
      positionals.length === 1 && text('home')
        ? null
        : '"restore" takes the backup, and --home NEW_LAB_FOLDER.',
    run: async ({ positionals, text }, terminal) =>
      (await import('./backup.ts')).runRestore(positionals[0]!, text('home')!, terminal),
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
      curves: { type: 'boolean' },
      recordings: { type: 'string' },
      'coarse-birth-year': { type: 'boolean' },
      notes: { type: 'boolean' },
    },
    fault: (given) =>
      placesFault('export', 'the name of one release', given) ?? kindsFault(given.text('recordings')),
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
            curves: isSet('curves'),
            matlab: kindsOf(text('recordings')).includes('mat'),
            edf: kindsOf(text('recordings')).includes('edf'),
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
  {
    name: 'renew',
    help: HELP_RENEW,
    options: { take: { type: 'boolean' } },
    fault: ({ positionals }) => (positionals.length === 0 ? null : '"renew" takes nothing but --take.'),
    run: async ({ isSet }, terminal) => (await import('./renew.ts')).runRenew(isSet('take'), terminal),
  },
  {
    name: 'pages',
    help: HELP_PAGES,
    options: { ...OUT, day: { type: 'string' }, pdf: { type: 'boolean' } },
    fault: ({ positionals, text }) => {
      if (positionals.length + (text('day') ? 1 : 0) !== 1)
        return '"pages" takes one day folder, or --day D: the code of a day of the lab folder.';
      return text('out') === undefined ? '"pages" needs --out OUT: the folder to write to.' : null;
    },
    run: async ({ positionals, text, isSet }, terminal) => {
      const [folder] = positionals;
      const from = folder === undefined ? { day: text('day')! } : { folder };
      const wish = { from, out: text('out')!, replace: isSet('replace'), pdf: isSet('pdf') };
      return (await import('./pages.ts')).runPages(wish, terminal);
    },
  },
  ...PEOPLE_COMMANDS,
];
