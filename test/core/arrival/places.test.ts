/** Where files of a running day belong. The rules are the and formats.md's ("camera A's file"); no source. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { DeckBoard, DeckRun, FilePlace } from '../../../core/deck/deck.ts';
import { kindOf, placeByName } from '../../../core/arrival/names.ts';
import { nameWithheld, placeFiles, slotOf } from '../../../core/arrival/places.ts';
import type { ArrivedFile } from '../../../core/arrival/parts.ts';
import type { FilesOf } from '../../../core/arrival/facts.ts';
import { plannedRun } from '../../../core/deck/order.ts';
import type { FileView } from '../../../core/deck/views.ts';

const AT = '2026-03-02T09:30:00.000Z';
const NAMES = ['{trial}', '{trial}_{camera}', '{any} {trial}', '{participant}-{any}-take{attempt}'];
const CAMERAS = ['A', 'B'];

function run(participant: string, attempt: number, changed: Partial<DeckRun> = {}): DeckRun {
  return { ...plannedRun(participant, attempt, null), ...changed };
}

const swum = (participant: string, attempt: number, endedMs: number) =>
  run(participant, attempt, { state: 'swum', beganMs: endedMs - 20_000, endedMs });

const RUNS = [
  swum('P01', 1, 1_000_000),
  swum('P02', 1, 1_200_000),
  run('P03', 1, { state: 'swimming', beganMs: 1_300_000 }),
  run('P01', 2),
  run('P02', 2),
];

type Consents = FilesOf['swimmers'][number]['consents'];
const YES: Consents = { measuring: 'given', filming: 'given', sharing: 'not_asked' };

function about(consents: Readonly<Record<string, Partial<Consents>>> = {}): FilesOf {
  const swimmers = ['P01', 'P02', 'P03'].map((participant) => ({
    participant,
    consents: { ...YES, ...consents[participant] },
  }));
  return { names: NAMES, cameras: CAMERAS, swimmers, staleBefore: null };
}

function arrived(id: number, name: string, changed: Partial<ArrivedFile> = {}): ArrivedFile {
  const sha256 = id.toString(16).padStart(64, '0');
  return {
    id,
    name,
    bytes: 10,
    at: AT,
    modified: AT,
    kind: kindOf(name),
    outcome: 'taken',
    reason: '',
    sha256,
    continues: null,
    ...changed,
  };
}

function board(given: DeckBoard['given'] = [], runs: readonly DeckRun[] = RUNS) {
  return { runs, given };
}

const give = (file: number, to: FilePlace | null, why = '') => ({ file, to, why });
const trace = (trial: string): FilePlace => ({ trial, as: 'trace', camera: null });
const film = (trial: string, camera = 'A'): FilePlace => ({ trial, as: 'film', camera });
const states = (files: readonly FileView[]) => files.map(({ state }) => state);

describe('a kind of file', () => {
  test.each([
    ['P01-1.csv', 'trace'],
    ['sub.d/P01-1.TXT', 'trace'],
    ['a.tsv', 'trace'],
    ['a.b.MP4', 'film'],
    ['a.webm', 'film'],
    ['a.m4v', 'film'],
    ['a.mov', 'film'],
    ['csv', 'other'],
    ['folder.csv/notes', 'other'],
    ['a.docx', 'other'],
    ['a.', 'other'],
  ])('%s is %s', (name, kind) => expect(kindOf(name)).toBe(kind));
});

describe('a name', () => {
  const place = (name: string, patterns = NAMES, runs: readonly DeckRun[] = RUNS, cameras = CAMERAS) =>
    placeByName(name, patterns, runs, cameras);

  test.each([
    ['P01-1.csv', trace('P01-1')],
    ['p01-1.CSV', trace('P01-1')],
    ['morning/P01-1.csv', trace('P01-1')],
    ['P01-1.mp4', film('P01-1')],
    ['P01-1_b.webm', film('P01-1', 'B')],
    ['pool 2 P03-1.csv', trace('P03-1')],
    ['P02-lane 4-take01.csv', trace('P02-1')],
    ['P02-lane 4-take2.csv', trace('P02-2')],
    ['dry-run.csv', trace('dry-run')],
    ['Dry-Run.mp4', film('dry-run')],
    ['dry-run_B.mp4', film('dry-run', 'B')],
  ])('%s tells its place', (name, expected) => expect(place(name)).toEqual(expected));

  test.each([
    ['P01-10.csv', 'a trial whose number goes on'],
    ['poolP01-1.csv', 'a word that runs into the code'],
    ['P01-1_C.mp4', 'a camera the day lacks'],
    ['P01-1_B.csv', 'a trace that is named after a camera'],
    ['P01-7.csv', 'a trial that is not on the board'],
    ['P01.csv', 'no attempt'],
    ['P01-1.docx', 'neither trace nor film'],
    ['.csv', 'nothing'],
  ])('%s tells none: %s', (name) => expect(place(name)).toBeNull());

  test('finds codes among those of the day, the longest first, also where they hold the separators', () => {
    const runs = [run('S', 1), run('S-1', 1), run('S_1.a', 2)];
    expect(place('S-1.csv', ['{trial}'], runs)).toEqual(trace('S-1'));
    expect(place('S-1-1.csv', ['{trial}', '{participant}-{any}'], runs)).toEqual(trace('S-1-1'));
    expect(place('S_1.a-2_B.mp4', ['{trial}_{camera}'], runs)).toEqual(film('S_1.a-2', 'B'));
    expect(place('x S-1-1 y.csv', ['{any}{trial}{any}'], runs)).toEqual(trace('S-1-1'));
  });

  test('that fits two trials tells none', () => {
    const runs = [run('P1', 12), run('P11', 2), run('P2', 1), run('P2', 2)];
    expect(place('P112.csv', ['{participant}{attempt}'], runs)).toBeNull();
    expect(place('P2.csv', ['{participant}'], runs)).toBeNull();
    expect(place('P2 P11-2.csv', ['{participant} {any}', '{any} {trial}'], runs)).toEqual(trace('P11-2'));
    expect(place('P1.csv', ['{participant}'], runs)).toEqual(trace('P1-12'));
    expect(place('P2-1 P2-2.csv', ['{trial} {any}', '{any} {trial}'], runs)).toBeNull();
    expect(place('P2-1 P2-2.csv', ['{trial} {trial}'], runs)).toBeNull();
  });

  test('of a film without a camera is camera A’s, where the day has one or names none', () => {
    expect(place('P01-1.mp4', NAMES, RUNS, [])).toEqual(film('P01-1'));
    expect(place('P01-1.mp4', NAMES, RUNS, ['B', 'A'])).toEqual(film('P01-1'));
    expect(place('P01-1.mp4', NAMES, RUNS, ['side'])).toBeNull();
  });

  test('with letters that disks write in two ways is the same', () =>
    expect(place('bassin e\u0301 P01-1.csv', ['bassin \u00e9 {trial}'])).toEqual(trace('P01-1')));

  test('and a pattern of many free parts cost little', () => {
    const patterns = ['{any}-{any}-{any}-{any}-{any}-{trial}-{any}'];
    const began = performance.now();
    expect(place(`${'-'.repeat(240)}.csv`, patterns)).toBeNull();
    expect(performance.now() - began).toBeLessThan(1000);
  });

  // Made from codes, then read: what went in must come out, or nothing where codes can be cut in two ways.
  test('made by a pattern is read back', () => {
    const code = fc.stringMatching(/^[A-Za-z0-9_.-]{1,6}$/);
    fc.assert(
      fc.property(
        fc.uniqueArray(code, { minLength: 1, maxLength: 5, selector: (one) => one.toLowerCase() }),
        (codes) => {
          const runs = codes.flatMap((participant) => [run(participant, 1), run(participant, 2)]);
          for (const { trial } of runs) {
            expect(place(`${trial}.csv`, ['{trial}'], runs)).toEqual(trace(trial));
            expect(place(`${trial} x.mp4`, ['{trial} {any}'], runs)).toEqual(film(trial));
            const found = place(`${trial}.csv`, ['{participant}-{attempt}'], runs);
            expect(found).toEqual(trace(trial));
          }
        },
      ),
    );
  });
});

describe('a file', () => {
  test('named after a trial is placed there, and found by its place', () => {
    const files = placeFiles(
      [
        arrived(1, 'P01-1.csv'),
        arrived(2, 'P01-1_B.mp4'),
        arrived(3, 'P01-1.mp4'),
        arrived(4, 'dry-run.csv'),
      ],
      board(),
      about(),
    );
    expect(files.map(({ place, by, says }) => [place, by, says])).toEqual([
      [trace('P01-1'), 'name', ''],
      [film('P01-1', 'B'), 'name', ''],
      [film('P01-1', 'A'), 'name', ''],
      [trace('dry-run'), 'name', ''],
    ]);
    expect(slotOf(files, 'P01-1', 'trace', null)?.id).toBe(1);
    expect(slotOf(files, 'P01-1', 'film', 'B')?.id).toBe(2);
    expect(slotOf(files, 'P02-1', 'trace', null)).toBeNull();
  });

  test('nobody knows is offered: the trial being swum first, then the newest without such a file', () => {
    const files = placeFiles([arrived(1, 'P02-1.csv'), arrived(2, 'rec 17.csv')], board(), about());
    expect(files[1]).toMatchObject({ state: 'offered', place: null, by: null });
    expect(files[1]!.says).toContain('does not tell');
    expect(files[1]!.offers).toEqual(['P03-1', 'P01-1', 'dry-run', 'P01-2', 'P02-2'].map(trace));
  });

  test('that is a film is offered with each camera, as far as it is free, and not without end', () => {
    const files = placeFiles([arrived(1, 'P03-1_B.mp4'), arrived(2, 'GX01.mp4')], board(), about());
    expect(files[1]!.offers).toEqual([
      film('P03-1', 'A'),
      ...['P02-1', 'P01-1', 'dry-run'].flatMap((trial) => CAMERAS.map((camera) => film(trial, camera))),
      film('P01-2', 'A'),
    ]);
  });

  test('of a dry run may be named on; the last one counts', () => {
    const came = [arrived(1, 'dry-run.csv'), arrived(2, 'dry-run-2.csv'), arrived(3, 'dry-runner.csv')];
    const files = placeFiles(came, board(), about());
    expect(files.map(({ state }) => state)).toEqual(['aside', 'placed', 'offered']);
    expect(files[0]!.says).toBe('A later dry run came: dry-run-2.csv.');
    const given = placeFiles(came, board([give(1, trace('dry-run'))]), about());
    expect(given[0]!.state).toBe('placed');
  });

  test('before anything was swum is offered as the dry run’s first', () => {
    const [file] = placeFiles([arrived(1, 'rec.csv')], board([], [run('P01', 1)]), about());
    expect(file!.offers).toEqual([trace('dry-run'), trace('P01-1')]);
  });

  test.each([
    ['P01-7.csv', 'tells of P01'],
    ['P01-1_A.csv', 'it is no film'],
    ['P01-1.docx', 'neither a trace nor a film'],
  ])('%s is offered with why: %s', (name, why) => {
    const [file] = placeFiles([arrived(1, name)], board(), about());
    expect(file).toMatchObject({ state: 'offered' });
    expect(file!.says).toContain(why);
  });

  test('with a name that fits several trials says which, and they stand first', () => {
    const names = ['{participant}'];
    const [file] = placeFiles([arrived(1, 'P02.csv')], board(), { ...about(), names });
    expect(file!.says).toBe('Its name fits more than one trial: P02-1, P02-2.');
    expect(file!.offers.slice(0, 2)).toEqual([trace('P02-1'), trace('P02-2')]);
  });

  test('that comes second for one place by its name is offered, the first stays', () => {
    const came = [arrived(1, 'P01-1.csv'), arrived(2, 'pool P01-1.csv'), arrived(3, 'P01-1.csv')];
    const files = placeFiles(came, board(), about());
    expect(states(files)).toEqual(['placed', 'offered', 'offered']);
    expect(files[1]!.says).toContain('came before as P01-1.csv');
    expect(files[2]!.says).toContain('same name with other content');
    expect(files[2]!.offers[0]).toEqual(trace('P01-1'));
  });

  test('that a person gave takes the place; one there by its name gives way', () => {
    const came = [arrived(1, 'P01-1.csv'), arrived(2, 'rec.csv')];
    const files = placeFiles(came, board([give(2, trace('P01-1'))]), about());
    expect(files[1]).toMatchObject({ state: 'placed', by: 'person', place: trace('P01-1'), says: '' });
    expect(files[0]).toMatchObject({ state: 'offered', place: null });
    expect(files[0]!.says).toContain('a person gave that another file: rec.csv');
  });

  test('of two that people gave one place, the later word counts; of one file, the last', () => {
    const came = [arrived(1, 'a.csv'), arrived(2, 'b.csv')];
    const both = [give(2, trace('P01-1')), give(1, trace('P01-1'))];
    expect(states(placeFiles(came, board(both), about()))).toEqual(['placed', 'offered']);
    const moved = [...both, give(1, trace('P02-1'))];
    expect(placeFiles(came, board(moved), about()).map(({ place }) => place?.trial)).toEqual([
      'P02-1',
      'P01-1',
    ]);
  });

  test('that a person set aside stays there, under any name', () => {
    const [file] = placeFiles([arrived(1, 'P01-1.csv')], board([give(1, null, 'a test')]), about());
    expect(file).toMatchObject({ state: 'aside', by: 'person', place: null, says: 'Set aside: a test.' });
    expect(file!.offers[0]).toEqual(trace('P01-1'));
  });

  test('given to a trial that is gone from the board is offered again', () => {
    const [file] = placeFiles([arrived(1, 'P01-1.csv')], board([give(1, trace('P09-1'))]), about());
    expect(file).toMatchObject({ state: 'offered', place: null });
    expect(file!.says).toContain('no longer on the board');
  });

  test('that came twice says as what; a person may give it all the same', () => {
    const came = [
      arrived(1, 'P01-1.csv', { sha256: 'a' }),
      arrived(2, 'P02-1.csv', { sha256: 'a', outcome: 'twice', reason: 'x' }),
    ];
    const twice = placeFiles(came, board(), about())[1];
    expect(twice).toMatchObject({
      state: 'twice',
      says: 'Its content came before, as P01-1.csv.',
      offers: [],
    });
    const given = placeFiles(came, board([give(2, trace('P02-1'))]), about())[1];
    expect(given).toMatchObject({ state: 'placed', place: trace('P02-1') });
    expect(given!.says).toContain('P01-1.csv');
  });

  test('that came twice has the place of its name where the first copy’s name told none', () => {
    const came = [
      arrived(1, 'rec.csv', { sha256: 'a' }),
      arrived(2, 'P01-1.csv', { sha256: 'a', outcome: 'twice', reason: 'x' }),
    ];
    const [first, second] = placeFiles(came, board(), about());
    expect(first!.state).toBe('offered');
    expect(second).toMatchObject({ state: 'placed', place: trace('P01-1') });
    expect(second!.says).toContain('rec.csv');
    const told = placeFiles(came, board([give(1, trace('P02-1'))]), about());
    expect(told.map(({ state }) => state)).toEqual(['placed', 'twice']);
  });

  test('that cannot be read keeps its reason, has no place by its name, and takes one from a person only', () => {
    const bad = arrived(1, 'P01-1.csv', { outcome: 'unreadable', reason: 'P01-1.csv is no table.' });
    const [file] = placeFiles([bad], board(), about());
    expect(file).toMatchObject({ state: 'unreadable', place: null, says: 'P01-1.csv is no table.' });
    expect(file!.offers[0]).toEqual(trace('P01-1'));
    expect(placeFiles([bad, arrived(2, 'P01-1.csv')], board(), about())[1]!.state).toBe('placed');
    const [given] = placeFiles([bad], board([give(1, trace('P01-1'))]), about());
    expect(given).toMatchObject({ state: 'placed', says: 'P01-1.csv is no table.' });
  });

  test('whose copying was stopped is none', () =>
    expect(placeFiles([arrived(1, 'a.csv', { outcome: 'stopped', sha256: null })], board(), about())).toEqual(
      [],
    ));
});

describe('a file that goes on from an earlier one', () => {
  const half = (changed: Partial<ArrivedFile> = {}) => arrived(1, 'P01-1.csv', changed);
  const whole = (changed: Partial<ArrivedFile> = {}) =>
    arrived(3, 'P01-1.csv', { bytes: 26, continues: 1, ...changed });
  const brief = (files: readonly FileView[]) =>
    files.map(({ id, state, place, by }) => [id, state, place?.trial ?? null, by]);
  const placed = (came: readonly ArrivedFile[], given: DeckBoard['given'] = []) =>
    brief(placeFiles(came, board(given), about()));

  test('has its place by name, before what came in between; the earlier one says so', () => {
    const files = placeFiles([half(), arrived(2, 'pool P01-1.csv'), whole()], board(), about());
    expect(brief(files)).toEqual([
      [1, 'twice', null, null],
      [2, 'offered', null, null],
      [3, 'placed', 'P01-1', 'name'],
    ]);
    expect(files[0]).toMatchObject({
      offers: [],
      says: 'It was not whole when it came: the longer P01-1.csv (26 B) that came later goes on from it.',
    });
    expect(files[1]!.says).toContain('came before as P01-1.csv');
    expect(files[2]!.says).toBe('');
  });

  test('has the place a person gave, through every part', () => {
    const came = [
      arrived(1, 'rec.csv'),
      arrived(2, 'rec.csv', { continues: 1 }),
      arrived(3, 'rec.csv', { continues: 2 }),
    ];
    const given = [give(1, trace('P02-1'))];
    expect(placed(came.slice(0, 2), given)).toEqual([
      [1, 'twice', null, null],
      [2, 'placed', 'P02-1', 'person'],
    ]);
    const last = [
      [1, 'twice', null, null],
      [2, 'twice', null, null],
      [3, 'placed', 'P02-1', 'person'],
    ];
    expect(placed(came, given)).toEqual(last);
    expect(placed(came, [give(1, trace('P03-1')), give(2, trace('P02-1'))])).toEqual(last);
    expect(placed(came, [give(2, trace('P01-1')), give(1, trace('P02-1'))])).toEqual(last);
    expect(placed(came, [give(1, trace('P01-1')), give(3, trace('P02-1'))])).toEqual(last);
  });

  test('set aside by a person lets the earlier one be given all the same', () => {
    const aside = [give(3, null, 'spoilt')];
    expect(placed([half(), whole()], aside)).toEqual([
      [1, 'twice', null, null],
      [3, 'aside', null, 'person'],
    ]);
    const files = placeFiles([half(), whole()], board([...aside, give(1, trace('P01-1'))]), about());
    expect(brief(files)).toEqual([
      [1, 'placed', 'P01-1', 'person'],
      [3, 'aside', null, 'person'],
    ]);
    expect(files[0]!.says).toContain('may not be whole');
  });

  test('is not set aside with the earlier one', () =>
    expect(placed([half(), whole()], [give(1, null, 'only half')])).toEqual([
      [1, 'aside', null, 'person'],
      [3, 'placed', 'P01-1', 'name'],
    ]));

  test('that could not be read has nothing to give up', () => {
    const bad = half({ outcome: 'unreadable', reason: 'P01-1.csv is no table.' });
    expect(placed([bad, whole()])).toEqual([
      [1, 'twice', null, null],
      [3, 'placed', 'P01-1', 'name'],
    ]);
    expect(placed([bad, arrived(2, 'x P01-1.csv'), whole()]).map(([, state]) => state)).toEqual([
      'twice',
      'placed',
      'offered',
    ]);
  });

  test('and cannot be read itself takes no place away; what goes on from both does', () => {
    const spoilt = arrived(2, 'P01-1.csv', {
      continues: 1,
      outcome: 'unreadable',
      reason: 'It is no table.',
    });
    const files = placeFiles([half(), spoilt], board(), about());
    expect(brief(files)).toEqual([
      [1, 'placed', 'P01-1', 'name'],
      [2, 'unreadable', null, null],
    ]);
    expect(files[0]!.says).toContain('may not be whole');
    expect(placed([half(), spoilt, whole({ continues: 2 })])).toEqual([
      [1, 'twice', null, null],
      [2, 'twice', null, null],
      [3, 'placed', 'P01-1', 'name'],
    ]);
    const more = arrived(3, 'P01-1.csv', { continues: 2, outcome: 'unreadable', reason: 'It is no table.' });
    expect(placed([half(), spoilt, more]).map(([, state]) => state)).toEqual([
      'placed',
      'twice',
      'unreadable',
    ]);
  });

  test('whose content came under another name before has the place of the earlier one', () => {
    const copy = arrived(2, 'copy.csv', { sha256: 'a' });
    const files = placeFiles([half(), copy, whole({ outcome: 'twice', sha256: 'a' })], board(), about());
    expect(states(files)).toEqual(['twice', 'offered', 'placed']);
    expect(files[2]!.says).toBe('Its content came before, as copy.csv.');
  });

  test('beside another that does so is the first to come', () => {
    const files = placeFiles([half(), whole(), arrived(4, 'P01-1.csv', { continues: 1 })], board(), about());
    expect(states(files)).toEqual(['twice', 'placed', 'offered']);
    expect(files[2]!.says).toContain('same name with other content');
  });

  test('is hidden with it, and each copy of both', () => {
    const came = [
      arrived(1, 'rec.csv', { sha256: 'a' }),
      arrived(2, 'copy.csv', { outcome: 'twice', sha256: 'a' }),
      arrived(3, 'rec.csv', { sha256: 'b', continues: 1 }),
      arrived(4, 'copy of all.csv', { outcome: 'twice', sha256: 'b' }),
    ];
    for (const file of [1, 2, 3, 4]) {
      const given = board([give(file, trace('P02-1'))]);
      const files = placeFiles(came, given, about({ P02: { measuring: 'withdrawn' } }));
      expect(states(files)).toEqual(['hidden', 'hidden', 'hidden', 'hidden']);
      expect(JSON.stringify(files)).not.toMatch(/P02|rec|copy/);
    }
  });
});

describe('a file written before the day', () => {
  const today = { ...about(), staleBefore: '2026-03-13T12:00:00.000Z' };
  const before = { modified: '2026-03-13T11:59:59.999Z' };
  const since = { modified: '2026-03-13T12:00:00.000Z' };

  test('is offered under any name, with when it was written; one written later is placed', () => {
    const came = [arrived(1, 'P01-1.csv', before), arrived(2, 'P01-1.csv', since)];
    const files = placeFiles(came, board(), today);
    expect(states(files)).toEqual(['offered', 'placed']);
    expect(files[0]).toMatchObject({
      place: null,
      by: null,
      says: 'It was written on 2026-03-13, before this day; is it of this day?',
    });
    expect(placeFiles(came.slice(0, 1), board(), today)[0]!.offers[0]).toEqual(trace('P01-1'));
    expect(states(placeFiles(came.slice(0, 1), board(), about()))).toEqual(['placed']);
  });

  test('is placed by a person’s word, and says nothing of the day where its name tells nothing', () => {
    const [given] = placeFiles([arrived(1, 'P01-1.csv', before)], board([give(1, trace('P01-1'))]), today);
    expect(given).toMatchObject({ state: 'placed', by: 'person', says: '' });
    const [unknown] = placeFiles([arrived(1, 'rec.csv', before)], board(), today);
    expect(unknown!.says).toBe('Its name does not tell which trial it belongs to.');
  });

  test('does not lend its turn to one that goes on from it later', () => {
    const came = [
      arrived(1, 'P01-1.csv', before),
      arrived(2, 'x P01-1.csv', since),
      arrived(3, 'P01-1.csv', { ...since, continues: 1 }),
    ];
    expect(states(placeFiles(came, board(), today))).toEqual(['twice', 'placed', 'offered']);
  });
});

describe('consent', () => {
  const out = (files: readonly FileView[]) => JSON.stringify(files);

  test.each(['withdrawn', 'missing'] as const)(
    'for measuring %s hides every file of the swimmer',
    (measuring) => {
      const came = [
        arrived(1, 'P02-1.csv'),
        arrived(2, 'P02-1.mp4'),
        arrived(3, 'rec.csv'),
        arrived(4, 'P02-9.csv'),
        arrived(5, 'P02-1.csv', { outcome: 'unreadable', reason: 'P02-1.csv is no table.' }),
        arrived(6, 'copy.csv', { outcome: 'twice', sha256: arrived(1, '').sha256 }),
        arrived(7, 'other.csv'),
        arrived(8, 'P01-1.csv'),
      ];
      const given = [give(3, trace('P02-1'))];
      const files = placeFiles(came, board(given), about({ P02: { measuring } }));
      expect(states(files)).toEqual([...Array.from({ length: 6 }, () => 'hidden'), 'offered', 'placed']);
      expect(out(files)).not.toContain('P02');
      expect(files[0]).toMatchObject({ name: 'file 1.csv', place: null, by: null, offers: [] });
      expect(files[0]!.says).toContain('measured');
    },
  );

  test('for filming withheld hides films only, and offers none', () => {
    const came = [arrived(1, 'P02-1.csv'), arrived(2, 'P02-1.mp4'), arrived(3, 'GX01.mp4')];
    const files = placeFiles(came, board(), about({ P02: { filming: 'not_asked' } }));
    expect(states(files)).toEqual(['placed', 'hidden', 'offered']);
    expect(files[1]!.says).toContain('filmed');
    expect(out(files.slice(1))).not.toContain('P02');
  });

  test('given later brings everything back', () => {
    const came = [arrived(1, 'P02-1.csv')];
    expect(states(placeFiles(came, board(), about({ P02: { measuring: 'missing' } })))).toEqual(['hidden']);
    expect(states(placeFiles(came, board(), about()))).toEqual(['placed']);
  });

  test('withheld blanks a name that tells of the swimmer, also where the file is another’s', () => {
    const came = [arrived(1, 'P02-1.csv'), arrived(2, 'old (P02) rec.csv')];
    const files = placeFiles(
      came,
      board([give(1, trace('P01-1'))]),
      about({ P02: { measuring: 'missing' } }),
    );
    expect(states(files)).toEqual(['placed', 'offered']);
    expect(out(files)).not.toContain('P02');
  });

  test('of a swimmer who is not on the list is none', () => {
    const { swimmers, ...rest } = about();
    const without = { ...rest, swimmers: swimmers.filter(({ participant }) => participant !== 'P02') };
    expect(states(placeFiles([arrived(1, 'P02-1.csv')], board(), without))).toEqual(['hidden']);
  });

  test('is asked of a name before the file is copied', () => {
    const withheld = about({ P02: { measuring: 'missing' }, P03: { filming: 'withheld' } });
    const asked = (name: string) => nameWithheld(name, board(), withheld);
    expect(['P02-1.csv', 'P02-5.mp4', 'P03-1.mp4'].map(asked)).toEqual([true, true, true]);
    expect(['P03-1.csv', 'P01-1.csv', 'rec.csv', 'dry-run.mp4'].map(asked)).toEqual([
      false,
      false,
      false,
      false,
    ]);
  });
});

describe('whatever comes', () => {
  const name = fc.constantFrom(
    ...[
      'P01-1.csv',
      'P01-1.mp4',
      'P01-1_B.mp4',
      'P02-1.csv',
      'x P02-1.csv',
      'P02-2.mp4',
      'P03-1.csv',
      'rec.csv',
    ],
    ...['GX.mp4', 'dry-run.csv', 'P09-1.csv', 'notes.docx', 'P01-1_A.csv', 'P02-1_A.webm'],
  );
  const outcome = fc.constantFrom(
    ...(['taken', 'taken', 'taken', 'twice', 'unreadable', 'stopped'] as const),
  );
  const one = fc.record({ name, outcome, back: fc.nat(2), isOld: fc.boolean() });
  const came = fc.array(one, { maxLength: 20 }).map((some) =>
    some.map(({ name, outcome, back, isOld }, index) => {
      const earlier = some.flatMap((other, at) =>
        at < index && other.name === name && other.outcome !== 'stopped' ? [at + 1] : [],
      );
      return arrived(index + 1, name, {
        outcome,
        reason: 'A reason.',
        sha256: outcome === 'stopped' ? null : `${index % 7}`,
        modified: isOld ? '2026-03-01T09:30:00.000Z' : AT,
        continues: outcome === 'stopped' || back === 0 ? null : (earlier.at(-back) ?? null),
      });
    }),
  );
  const place = fc.option(
    fc.record({
      trial: fc.constantFrom(...RUNS.map(({ trial }) => trial), 'dry-run', 'P09-1'),
      as: fc.constantFrom('trace' as const, 'film' as const),
      camera: fc.constantFrom(null, 'A', 'B'),
    }),
  );
  const given = fc.array(
    fc.record({ file: fc.integer({ min: 1, max: 20 }), to: place, why: fc.constant('') }),
    {
      maxLength: 12,
    },
  );
  const consents = fc.record({
    P02: fc.record({ measuring: fc.constantFrom('given' as const, 'withdrawn' as const) }),
    P01: fc.record({ filming: fc.constantFrom('given' as const, 'withheld' as const) }),
  });

  test('every file appears once, no place holds two, every word has its file, and what is hidden names nobody', () => {
    fc.assert(
      fc.property(came, given, consents, (files, words, allowed) => {
        const today = { ...about(allowed), staleBefore: '2026-03-02T00:00:00.000Z' };
        const placed = placeFiles(files, board(words), today);
        expect(placed.map(({ id }) => id)).toEqual(
          files.filter((one) => one.outcome !== 'stopped').map(({ id }) => id),
        );
        const slots = placed.flatMap((one) => (one.place === null ? [] : [JSON.stringify(one.place)]));
        expect(new Set(slots).size).toBe(slots.length);
        for (const one of placed) {
          expect(one.state === 'placed').toBe(one.place !== null);
          if (one.place !== null)
            expect(slotOf(placed, one.place.trial, one.place.as, one.place.camera)).toBe(one);
          if (one.state !== 'placed') expect(one.says).toMatch(/^[A-Z].*[.?]$/);
          const { modified } = files.find(({ id }) => id === one.id)!;
          if (one.by === 'name') expect(modified).toBe(AT);
          if (one.state === 'hidden') expect(JSON.stringify(one)).not.toMatch(/P0\d/);
          expect(new Set(one.offers.map((offer) => JSON.stringify(offer))).size).toBe(one.offers.length);
          expect(one.offers.length).toBeLessThanOrEqual(8);
        }
        if (allowed.P02.measuring === 'withdrawn') expect(out(placed)).not.toContain('P02');
      }),
    );
  });

  test('the order of arrival does not matter where each name is of one place', () => {
    const names = [
      'P01-1.csv',
      'P01-1.mp4',
      'P01-1_B.mp4',
      'P02-1.csv',
      'P03-1.csv',
      'dry-run.csv',
      'rec.csv',
    ];
    fc.assert(
      fc.property(fc.shuffledSubarray(names), (some) => {
        const placed = placeFiles(
          some.map((one, index) => arrived(index + 1, one)),
          board(),
          about(),
        );
        for (const one of placed) expect(one.place).toEqual(placeByName(one.name, NAMES, RUNS, CAMERAS));
      }),
    );
  });

  const out = (files: readonly FileView[]) =>
    JSON.stringify(files.map(({ name, says, offers, place }) => [name, says, offers, place]));
});
