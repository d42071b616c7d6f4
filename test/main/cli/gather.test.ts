/** `gather`: what is taken, what is not and why, whose files are never named, and the exit statuses. Invented data. */
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdir, readdir, symlink, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { gatherFolder } from '../../../main/lab/gather/gather.ts';
import { readFolder, records, tempFolder } from '../files/day-builder.ts';
import { gatherHere, LANEBENCH, lanebench, looksLikeAFault, NODE, type Ran } from './run.ts';

type Files = Readonly<Record<string, string | Buffer>>;

const PEOPLE = 'Code,S,OK\nP01,F,yes\nP02,M,yes\nP03,F,no\nP04,F,\n';
const TIMES = 'who,n,from,to\nP01,1,1,6.5\nP02,1,1.5,7\nP03,1,1,6\nP01,4,2,8\n';
const TRACE = 'time,L,R\n0,1,2\n0.01,1,2\n';
const DAY = {
  day: 'archive',
  date: '2026-03-14',
  cameras: [{ camera: 'A' }, { camera: 'B' }],
  trace_columns: { time: { column: 'time', unit: 's' }, left: { column: 'L' }, right: { column: 'R' } },
};
const ROSTER = {
  file: 'people.csv',
  columns: { participant: 'Code', sex: 'S', consent: 'OK' },
  values: { sex: { F: 'female', M: 'male' }, consent: { yes: 'given', no: 'withdrawn' } },
};
const TRIALS = {
  file: 'times.csv',
  columns: { participant: 'who', attempt: 'n', section_start_s: 'from', section_end_s: 'to' },
};
const MAP = {
  format: 'lanebench-map/1',
  day: DAY,
  files: [
    { kind: 'trace', name: '{participant}_{attempt}.csv' },
    { kind: 'film', name: '{participant}_{attempt}_{camera}.mp4' },
    { kind: 'film', name: '{participant}_{attempt}.mp4' },
  ],
  roster: ROSTER,
  trials: TRIALS,
};

interface Made extends Ran {
  readonly folder: string;
  readonly out: string;
  readonly files: ReadonlyMap<string, string>;
  readonly table: (name: string) => ReturnType<typeof records>;
  /** What gathered.csv says of a file. */
  readonly told: (file: string) => { readonly what: string; readonly why: string } | undefined;
}

async function write(folder: string, files: Files): Promise<void> {
  for (const [name, content] of Object.entries(files)) {
    await mkdir(dirname(join(folder, name)), { recursive: true });
    await writeFile(join(folder, name), content);
  }
}

/** Gathers a small archive with the given files added and the map changed. */
async function gathered(files: Files, change: object = {}): Promise<Made> {
  const folder = await tempFolder();
  const [archive, out] = [join(folder, 'archive'), join(folder, 'day')];
  await write(archive, { 'people.csv': PEOPLE, 'times.csv': TIMES, ...files });
  await writeFile(join(folder, 'map.json'), JSON.stringify({ ...MAP, ...change }));
  const ran = await gatherHere(archive, join(folder, 'map.json'), out);
  expect(looksLikeAFault(ran)).toBe(false);
  const made = existsSync(out) ? await readFolder(out) : new Map<string, string>();
  const table = (name: string) => records(made.get(`${name}.csv`) ?? '');
  const told = (file: string) => {
    const row = table('gathered').find((one) => one['file'] === file);
    return row === undefined ? undefined : { what: row['what']!, why: row['why']! };
  };
  return { ...ran, folder, out, files: made, table, told };
}

const trialsOf = ({ table }: Made) =>
  table('trials').map((row) =>
    ['trial', 'section_start_s', 'trace', 'video']
      .map((name) => row[name]!)
      .join(' ')
      .trim(),
  );

test('rows and files each make a trial; names are alike in any case; the rest is told', async () => {
  const made = await gathered({
    'P01_1.csv': TRACE,
    'spring/p02_01.CSV': TRACE,
    'P02_7.csv': TRACE,
    'P02_7_b.MP4': 'film',
    'P02_7.mp4': 'film',
    'notes.txt': 'x',
    '=1+2.csv': 'x',
    'X01_1.csv': TRACE,
  });
  expect(made).toMatchObject({ status: 0, stderr: '' });
  expect(trialsOf(made)).toEqual([
    'P01-1 1 traces/P01-1.csv',
    'P02-1 1.5 traces/P02-1.csv',
    'P01-4 2',
    'P02-7  traces/P02-7.csv video/P02-7-A.mp4',
  ]);
  expect(made.table('videos')).toEqual([{ trial: 'P02-7', camera: 'B', file: 'video/P02-7-B.mp4' }]);
  expect(made.files.get('traces/P02-1.csv')).toBe(TRACE);
  expect(JSON.parse(made.files.get('day.json')!)).toEqual({ format: 'lanebench-day/1', ...DAY });
  expect(made.table('gathered').map((row) => [row['file'], row['what']])).toEqual([
    ["'=1+2.csv", 'none'],
    ['X01_1.csv', 'none'],
    ['notes.txt', 'none'],
    ['people.csv', 'table'],
    ['times.csv', 'table'],
  ]);
  expect(made.stdout).toMatch(/No calibration/);
});

test('swimmers without consent are neither copied nor named, and are counted', async () => {
  const made = await gathered({
    'P01_1.csv': TRACE,
    'P03_1.csv': TRACE,
    'p03_2.csv': TRACE,
    'P04_1.mp4': 'film',
    'P03 notes.txt': 'x',
    'P03/remark.txt': 'x',
    'P030.txt': 'x',
  });
  expect(made.status).toBe(0);
  expect(made.stdout).toMatch(/Left out for consent: 2 swimmers, 3 trials, 5 files\./);
  for (const text of [made.stdout, made.stderr, ...made.files.values(), ...made.files.keys()])
    expect(text).not.toMatch(/P0[34](?!0)/i);
  expect(made.told('P030.txt')).toMatchObject({ what: 'none' });
  expect(made.table('roster').map((row) => row['participant'])).toEqual(['P01', 'P02']);
});

test('a name that a swimmer without consent may share is not taken and not told', async () => {
  const made = await gathered(
    {
      'people.csv': 'Code,S,OK\nP1,F,yes\nP11,F,no\n',
      'P111.csv': TRACE,
      'P12.csv': TRACE,
      'times.csv': 'who,n,from,to\n',
    },
    { files: [{ kind: 'trace', name: '{participant}{attempt}.csv' }] },
  );
  expect(made.status).toBe(3);
  expect(trialsOf(made)).toEqual(['P1-2  traces/P1-2.csv']);
  expect(made.stdout + made.files.get('gathered.csv')!).not.toMatch(/P11/);
  expect(made.stdout).toMatch(/could be of a swimmer without consent and of another/);
});

test('two ways, two patterns and two files for one place: none is taken, 3', async () => {
  const made = await gathered(
    {
      'people.csv': 'Code,S,OK\nP1,F,yes\nP11,M,yes\n',
      'times.csv': 'who,n,from,to\nP1,1,1,2\n',
      'P111.csv': TRACE,
      'P12.csv': TRACE,
      'b/P1_1.csv': TRACE,
      'a/p1_01.CSV': TRACE,
      'P11-3.csv': TRACE,
    },
    {
      files: [
        { kind: 'trace', name: '{participant}{attempt}.csv' },
        { kind: 'trace', name: '{participant}_{attempt}.csv' },
        { kind: 'trace', name: '{participant}-{attempt}.csv' },
        { kind: 'film', name: '{participant}-{attempt}{any}.csv' },
      ],
    },
  );
  expect(made.status).toBe(3);
  expect(trialsOf(made)).toEqual(['P1-1 1', 'P1-2  traces/P1-2.csv']);
  expect(made.told('P111.csv')).toEqual({
    what: 'trace',
    why: expect.stringMatching(/P1-11 and as .* P11-1/),
  });
  expect(made.told('b/P1_1.csv')).toEqual({ what: 'trace', why: expect.stringMatching(/a\/p1_01\.CSV/) });
  expect(made.told('a/p1_01.CSV')).toMatchObject({ what: 'trace' });
  expect(made.told('P11-3.csv')).toMatchObject({ what: 'none' });
});

test('files of a trial that say different conditions are of different swims: none is taken, 3', async () => {
  const made = await gathered(
    {
      'times.csv': 'who,n,cond,from,to\nP01,1,sprint,1,2\n',
      'P02_1_sprint.csv': TRACE,
      'P02_1_easy.mp4': 'film',
      'P01_1_SPRINT.csv': TRACE,
      'P01_1_easy.mp4': 'film',
    },
    {
      files: [
        { kind: 'trace', name: '{participant}_{attempt}_{condition}.csv' },
        { kind: 'film', name: '{participant}_{attempt}_{condition}.mp4' },
      ],
      trials: { ...TRIALS, columns: { ...TRIALS.columns, condition: 'cond' } },
    },
  );
  expect(made.status).toBe(3);
  expect(trialsOf(made)).toEqual(['P01-1 1 traces/P01-1.csv']);
  expect(made.told('P01_1_easy.mp4')!.why).toMatch(/easy.*line 2.*sprint/);
  expect(made.told('P02_1_easy.mp4')!.why).toMatch(/different conditions/);
});

test('a column gives the trial’s code, and names give it back', async () => {
  const made = await gathered(
    {
      'times.csv': 'run,who,from\nmorning.7,P01,1\nmorning.8,P02,2\n,P02,3\nevening,P03,1\n',
      'rec morning.7.csv': TRACE,
      'rec MORNING.8.csv': TRACE,
      'rec P01-3.csv': TRACE,
      'rec nobody.csv': TRACE,
      'rec evening.csv': TRACE,
    },
    {
      files: [{ kind: 'trace', name: 'rec {trial}.csv' }],
      trials: { file: 'times.csv', columns: { trial: 'run', participant: 'who', section_start_s: 'from' } },
    },
  );
  expect(made.status).toBe(3);
  expect(trialsOf(made)).toEqual([
    'morning.7 1 traces/morning.7.csv',
    'morning.8 2 traces/morning.8.csv',
    'P01-3  traces/P01-3.csv',
  ]);
  expect(made.stdout).toMatch(/times\.csv line 4: .*neither a trial nor an attempt/);
  expect(made.told('rec nobody.csv')).toMatchObject({ what: 'none' });
  expect(made.told('rec evening.csv')).toBeUndefined();
});

test('rows that break a rule are refused alone, with their lines, 3', async () => {
  const made = await gathered({
    'people.csv': 'Code,S,OK\nP01,F,yes\nP02,?,yes\np01,M,yes\n',
    'times.csv': 'who,n,from,to\nP01,1,1,6.5\nP01,1,2,7\nP09,1,1,2\nP01,x,1,2\nP01,2,1\nP01,3,1,2,3\n',
    'P01_1.csv': TRACE,
    'P02_1.csv': TRACE,
  });
  expect(made.status).toBe(3);
  expect(trialsOf(made)).toEqual(['P01-1 1 traces/P01-1.csv', 'P01-2 1']);
  for (const says of [
    /people\.csv line 3: sex is "\?"/,
    /people\.csv line 4: Line 2 already gives the participant P01/,
    /times\.csv line 3: Line 2 already gives the trial P01-1/,
    /times\.csv line 4: participant is "P09"/,
    /times\.csv line 5: attempt is "x"/,
    /times\.csv line 7: The row has 5 cells/,
    /P02_1\.csv is of a swimmer whose row in the roster was refused/,
  ])
    expect(made.stdout).toMatch(says);
  expect(made.told('people.csv')!.why).toMatch(/line 3 \(sex\), line 4/);
});

test('a trial that a row excludes without a reason does not come in as recorded', async () => {
  const made = await gathered(
    { 'times.csv': 'who,n,state\nP01,1,excluded\nP01,2,accepted\n', 'P01_1.csv': TRACE, 'P01_2.csv': TRACE },
    { trials: { file: 'times.csv', columns: { participant: 'who', attempt: 'n', status: 'state' } } },
  );
  expect(made.status).toBe(3);
  expect(made.table('trials').map((row) => [row['trial'], row['status']])).toEqual([['P01-2', 'accepted']]);
  expect(made.told('P01_1.csv')!.why).toMatch(/line 2 of the trials excludes/);
});

test('consents that are fixed, dates of birth in three notations, filming withheld', async () => {
  const made = await gathered(
    {
      'people.csv': 'Code;Born;Film\nP01;12.05.2003;given\nP02;2001-07-30;withheld\nP03;30/07/2002;\n',
      'times.csv': 'who,n,from,to\n',
      'P02_1.mp4': 'film',
      'P02_1.csv': TRACE,
      'P03_1.mp4': 'film',
    },
    {
      roster: {
        file: 'PEOPLE.csv',
        columns: { participant: 'code', birth_year: 'Born', film_consent: 'Film' },
        fixed: { consent: 'given', sex: 'unspecified' },
      },
    },
  );
  expect(made.status).toBe(0);
  expect(made.table('roster').map((row) => [row['birth_year'], row['consent'], row['sex']])).toEqual(
    ['2003', '2001', '2002'].map((year) => [year, 'given', 'unspecified']),
  );
  expect(trialsOf(made)).toEqual(['P02-1  traces/P02-1.csv', 'P03-1   video/P03-1-A.mp4']);
  expect(made.told('P02_1.mp4')).toEqual({ what: 'film', why: expect.stringMatching(/filmed/) });
});

test('a table’s encoding is told by its mark or by the map', async () => {
  const text = 'Kürzel;Geschlecht;OK\nP01;weiblich;yes\nP02;männlich;yes\n';
  const roster = {
    file: 'people.csv',
    columns: { participant: 'Kürzel', sex: 'Geschlecht', consent: 'OK' },
    values: { sex: { weiblich: 'female', männlich: 'male' }, consent: { yes: 'given' } },
  };
  const marked = (encoding: 'utf16le' | 'utf8') => Buffer.from(`\uFEFF${text}`, encoding);
  const ways: readonly (readonly [Buffer, string | undefined, number])[] = [
    [marked('utf8'), undefined, 0],
    [marked('utf16le'), undefined, 0],
    [marked('utf16le'), 'windows-1252', 0],
    [marked('utf16le').swap16(), undefined, 0],
    [Buffer.from(text, 'latin1'), 'windows-1252', 0],
    [Buffer.from(text, 'latin1'), 'Latin-1', 0],
    [Buffer.from(text, 'latin1'), undefined, 1],
    [Buffer.from(text, 'latin1'), 'klingon', 1],
  ];
  for (const [bytes, encoding, status] of ways) {
    const times = TIMES.replace('P03,1', 'P02,3');
    const made = await gathered(
      { 'people.csv': bytes, 'times.csv': times },
      { roster: { ...roster, encoding } },
    );
    expect(made.status, `${encoding} ${bytes.subarray(0, 4).toString('hex')}`).toBe(status);
    if (status === 0) expect(made.table('roster').map((row) => row['sex'])).toEqual(['female', 'male']);
    else expect(made.stderr).toMatch(/people\.csv .*encoding/);
  }
});

test('a link out of the folder is not followed, one inside is', async () => {
  const folder = await tempFolder();
  await write(folder, { 'archive/people.csv': PEOPLE, 'archive/old/real.csv': TRACE, 'secret.csv': TRACE });
  await symlink('../secret.csv', join(folder, 'archive/P01_1.csv'));
  await symlink('old/real.csv', join(folder, 'archive/P01_2.csv'));
  await symlink('..', join(folder, 'archive/round'));
  await writeFile(join(folder, 'map.json'), JSON.stringify({ ...MAP, trials: undefined }));
  const ran = await gatherHere(join(folder, 'archive'), join(folder, 'map.json'), join(folder, 'day'));
  expect(ran.status).toBe(3);
  expect(ran.stdout).toMatch(/P01_1\.csv is a link that leads out/);
  expect(await readdir(join(folder, 'day/traces'))).toEqual(['P01-2.csv']);
});

test.each([
  ['no JSON', '{', /not JSON/],
  ['another format', { ...MAP, format: 'other/1' }, /format takes "lanebench-map\/1"/],
  ['a pattern that nobody knows', { ...MAP, files: [{ kind: 'trace', name: '{who}.csv' }] }, /\{who\}/],
  ['no roster', { ...MAP, roster: undefined }, /roster is missing/],
  ['a roster without codes', { ...MAP, roster: { file: 'people.csv', columns: {} } }, /participant/],
  ['a table that is not there', { ...MAP, roster: { ...ROSTER, file: 'x.csv' } }, /"x\.csv".*no such file/],
  [
    'a column that is not there',
    { ...MAP, roster: { ...ROSTER, columns: { participant: 'Id' } } },
    /no column "Id"/,
  ],
  ['a day that is none', { ...MAP, day: { day: 'no code' } }, /day/],
  [
    'a column given twice',
    { ...MAP, roster: { ...ROSTER, fixed: { consent: 'given' } } },
    /both give consent/,
  ],
  ['nobody’s files', { ...MAP, trials: undefined, files: [] }, /no trial/],
])('a map with %s gives nothing, 1', async (_, map, says) => {
  const folder = await tempFolder();
  await write(folder, {
    'archive/people.csv': PEOPLE.replaceAll('no\n', 'yes\n'),
    'archive/times.csv': TIMES,
  });
  await writeFile(join(folder, 'map.json'), typeof map === 'string' ? map : JSON.stringify(map));
  const ran = await gatherHere(join(folder, 'archive'), join(folder, 'map.json'), join(folder, 'day'));
  expect(ran).toMatchObject({ status: 1, stdout: '' });
  expect(ran.stderr).toMatch(says);
  expect((await readdir(folder)).toSorted()).toEqual(['archive', 'map.json']);
});

test('what has no meaning in a map is told and passed over', async () => {
  const made = await gathered(
    { 'P01_1.csv': TRACE },
    { trails: {}, roster: { ...ROSTER, columns: { ...ROSTER.columns, name: 'OK' } } },
  );
  expect(made.status).toBe(0);
  expect(made.stdout).toMatch(/"trails" of the map has no meaning/);
  expect(made.stdout).toMatch(/roster\.columns names "name"/);
});

test('all left out for consent is 0', async () => {
  const made = await gathered({
    'people.csv': 'Code,S,OK\nP01,F,no\nP02,F,no\n',
    'times.csv': 'who,n,from,to\nP01,1,,\n',
  });
  expect(made.status).toBe(0);
  expect(made.table('trials')).toEqual([]);
});

test('wrong usage is 2, and OUT is replaced only where a person says so', async () => {
  const { folder, out } = await gathered({ 'P01_1.csv': TRACE });
  const [archive, map] = [join(folder, 'archive'), join(folder, 'map.json')];
  expect((await gatherHere(archive, map, out)).status).toBe(2);
  expect((await gatherHere(archive, map, join(archive, 'day'))).status).toBe(2);
  expect((await gatherHere(archive, map, out, true)).status).toBe(0);
  for (const args of [
    ['gather', archive, '--out', out],
    ['gather', archive, '--map', map],
    ['gather', '--map', map, '--out', out],
  ])
    expect((await lanebench(args)).status, args.join(' ')).toBe(2);
  const help = await lanebench(['help', 'gather']);
  expect(help).toMatchObject({ status: 0, stdout: expect.stringContaining('--map MAP.json') });
});

test('cancelled after any file, it leaves nothing behind; OUT stays as it was', async () => {
  const { folder, out } = await gathered({ 'P01_1.csv': TRACE, 'P01_1.mp4': 'film' });
  const before = await readFolder(out);
  for (const last of [1, 3, before.size]) {
    const cancel = new AbortController();
    const outcome = await gatherFolder(
      {
        folder: join(folder, 'archive'),
        map: join(folder, 'map.json'),
        out,
        replace: true,
        home: join(folder, 'lab'),
      },
      { signal: cancel.signal, onFile: (done) => done === last && cancel.abort() },
    );
    expect(outcome.kind).toBe('cancelled');
    expect(await readFolder(out)).toEqual(before);
    expect((await readdir(folder)).toSorted()).toEqual(['archive', 'day', 'map.json']);
  }
});

test('Ctrl-C ends it with nothing behind, or comes too late for a whole day folder', async () => {
  const { folder } = await gathered({
    'P01_1.csv': Buffer.alloc(1 << 26, TRACE),
    'P01_2.csv': Buffer.alloc(1 << 26, TRACE),
  });
  const out = join(folder, 'new');
  const args = [
    LANEBENCH,
    'gather',
    join(folder, 'archive'),
    '--map',
    join(folder, 'map.json'),
    '--out',
    out,
  ];
  const child = spawn(NODE, args, { stdio: 'ignore' });
  const ended = new Promise<number | null>((resolve) => child.once('exit', resolve));
  const has = async (part: string) => (await readdir(folder)).some((name) => name.includes(part));
  while (child.exitCode === null && !(await has(`.${basename(out)}.lanebench-new`))) await wait(5);
  child.kill('SIGINT');
  const status = await ended;
  expect([0, 1]).toContain(status);
  expect(existsSync(join(out, 'traces/P01-2.csv'))).toBe(status === 0);
  expect(existsSync(out)).toBe(status === 0);
  expect(await has('.lanebench-')).toBe(false);
});
