/**
 * A swimmer whose consent is withdrawn, missing or blank is named nowhere: every byte of the dataset and of the terminal
 * is searched for the swimmer's and the trial's code. No refusal is due to it, and the exit status is unchanged.
 */
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { processHere } from '../cli/run.ts';
import {
  append,
  buildDay,
  dayFiles,
  dayJson,
  readFolder,
  swap,
  tempFolder,
  traceText,
  type Edits,
} from './day-builder.ts';

/** Letters that occur nowhere else. */
const CODE = 'Qz7';

/** Every row a day can hold of a swimmer, each also with faults. */
const withSwimmer = (consentCell: string, more: Edits = {}): Edits => ({
  'roster.csv': append(`${CODE},male,2002,183,78.2,171,172,2,${consentCell},withdrew`),
  'trials.csv': append(
    `${CODE}-1,${CODE},1,sprint,traces/${CODE}-1.csv,video/${CODE}-1.mp4,,,1,6.5,video,0.006,recorded,`,
    `${CODE}-2,${CODE},2,sprint,traces/${CODE}-2.csv,,,,6,1,video,0.006,excluded,`,
    `${CODE}-1,${CODE},1,sprint,../${CODE},,,,1,6.5,sundial,0.006,recorded,`,
  ),
  'zeros.csv': append(`S-01,${CODE}-1,before,8000`, `S-01,${CODE}-1,before,8000`, `S-01,${CODE}-1,during,x`),
  'videos.csv': `trial,camera,file\n${CODE}-1,B,../${CODE}.mp4\n${CODE}-1,?,x\n`,
  'sync.csv': append(`${CODE}-1,A,0,0,lamp`, `${CODE}-1,A,0,-5,lamp`),
  'events.csv': append(
    `${CODE}-1,left,1,propulsion_end,1,trace,,R1`,
    `${CODE}-1,left,1,shoulder_plane,2,trace,,R1`,
    `${CODE}-1,up,1,splash,2,trace,,R1`,
  ),
  'strokes.csv': append(
    `${CODE}-1,left,1,above,none,,R1`,
    `${CODE}-1,left,1,beside,none,,R1`,
    `${CODE}-1,left,1,above,none,,R1,,${CODE}`,
  ),
  [`traces/${CODE}-1.csv`]: traceText(),
  [`traces/${CODE}-2.csv`]: 'junk',
  [`video/${CODE}-1.mp4`]: 'junk',
  ...more,
});

async function run(edits: Edits) {
  const folder = await buildDay(edits);
  const out = join(await tempFolder(), 'out');
  const ran = await processHere(folder, out);
  const files = await readFolder(out).catch(() => new Map<string, string>());
  return { ran, files };
}

/** Places where the code stands, in file names, files and terminal. */
function traces({ ran, files }: Awaited<ReturnType<typeof run>>): string[] {
  const said = [['stdout', ran.stdout], ['stderr', ran.stderr], ...files] as [string, string][];
  return said.flatMap(([name, text]) =>
    (name + text)
      .split('\n')
      .filter((line) => line.toLowerCase().includes(CODE.toLowerCase()))
      .map((line) => `${name}: ${line}`),
  );
}

describe('without consent', () => {
  it.each(['withdrawn', 'missing', '', ' withdrawn '])(
    '(%j) a swimmer leaves no mark and costs no status',
    async (consent) => {
      const result = await run(withSwimmer(consent));
      expect(traces(result)).toEqual([]);
      expect(result.ran.status).toBe(0);
      expect(result.ran.stdout).toMatch(/consent: 1 swimmer, [23] trials/i);
      expect(result.files.get('refused.csv')!.split('\n')).toHaveLength(2);
      expect(JSON.parse(result.files.get('provenance.json')!)).toMatchObject({
        left_out_for_consent: { swimmers: 1 },
      });
    },
  );

  it('counts two trials as two where each has one row', async () => {
    const one = swap(`${CODE}-1,${CODE},1,sprint,../${CODE},,,,1,6.5,sundial,0.006,recorded,\n`, '');
    const edits = withSwimmer('withdrawn');
    const trials = (edits['trials.csv'] as (text: string) => string)(dayFiles()['trials.csv']!);
    const { ran } = await run({ ...edits, 'trials.csv': one(trials) });
    expect(ran.stdout).toMatch(/consent: 1 swimmer, 2 trials/i);
  });

  it.each(['Withdrawn', 'WITHDRAWN', 'no', 'withdrawn!', 'not given'])(
    '(%j) a swimmer whose consent cannot be read is named nowhere either',
    async (consent) => {
      const result = await run(withSwimmer(consent));
      expect(traces(result)).toEqual([]);
    },
  );

  it('a swimmer whose roster row slipped by a cell is named nowhere', async () => {
    // 78,2 with a comma in a comma-separated file: every later cell stands one place to the right.
    const slipped = append(`${CODE},male,2002,183,78,2,171,172,2,withdrawn,withdrew`);
    expect(traces(await run(withSwimmer('', { 'roster.csv': slipped })))).toEqual([]);
  });

  it('the row that withholds decides where two rows of a swimmer differ', async () => {
    const both = append(
      `${CODE},male,2002,183,78.2,171,172,2,given,`,
      `${CODE},male,2002,183,78.2,171,172,2,withdrawn,`,
    );
    const result = await run(withSwimmer('', { 'roster.csv': both }));
    expect(traces(result)).toEqual([]);
    expect(result.ran.stdout).toMatch(/consent: 1 swimmer,/i);
  });

  it('a trial without a participant is refused, also where a roster row has no code and no consent', async () => {
    const { ran, files } = await run({
      'roster.csv': append(',male,2002,183,78.2,171,172,2,,'),
      'trials.csv': append('T3,,1,sprint,,,,,1,6,video,0.006,recorded,'),
    });
    expect(ran.status).toBe(3);
    expect(files.get('refused.csv')).toMatch(/^trials\.csv,4,/m);
  });

  it('a roster without a consent column withholds everybody', async () => {
    const { ran, files } = await run({ 'roster.csv': swap('consent', 'agreed') });
    expect(ran.status).toBe(0);
    expect(files.get('trials.csv')!.trim().split('\n')).toHaveLength(1);
    expect(ran.stdout).toMatch(/consent: 2 swimmers, 2 trials/i);
    for (const text of [...files.values(), ran.stdout, ran.stderr]) expect(text).not.toMatch(/P0[12]/);
  });

  it('a swimmer named in a field of day.json that the program does not know does not come out', async () => {
    const result = await run(
      withSwimmer('withdrawn', {
        'day.json': dayJson((day) => (day['running_order'] = ['P01', CODE, 'P02'])),
      }),
    );
    expect(traces(result)).toEqual([]);
  });

  it('does not name a swimmer in what it says when nothing can be processed', async () => {
    const result = await run(
      withSwimmer('Withdrawn', {
        'trials.csv': (text) =>
          `${text.split('\n')[0]!}\n${CODE}-1,${CODE},1,,,,,,1,6,video,0.006,recorded,\n`,
      }),
    );
    expect(traces(result)).toEqual([]);
  });

  it('a trial code used by two swimmers, one without consent, is not computed for the other', async () => {
    const result = await run(
      withSwimmer('withdrawn', {
        'trials.csv': append(
          `${CODE}-1,${CODE},1,,,,,,1,6,video,0.006,recorded,`,
          `${CODE}-1,P01,1,,,,,,1,6,video,0.006,recorded,`,
        ),
      }),
    );
    expect(traces(result)).toEqual([]);
    expect(result.files.get('refused.csv')).toMatch(/trials\.csv,5,/);
  });
});

describe('with consent', () => {
  it('a swimmer under age with assent and guardian is processed', async () => {
    const { files } = await run({});
    expect(files.get('participants.csv')).toMatch(/^P02,.*assent_and_guardian,,$/m);
  });

  it('notes of the roster do not come out', async () => {
    const { files } = await run({ 'roster.csv': swap('2,given,\n', `2,given,sore ${CODE}\n`) });
    for (const text of files.values()) expect(text).not.toContain(CODE);
  });
});
