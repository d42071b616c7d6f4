/** Where files of a running day belong. The rules are our own definition, and formats.md's ("camera A's file"). */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { placeByName } from '../../../core/arrival/names.ts';
import { nameWithheld, placeFiles, slotOf } from '../../../core/arrival/places.ts';
import type { FileView } from '../../../core/deck/views.ts';
import { AT, CAMERAS, NAMES, RUNS, about, arrived, board, film, give, swim, states, trace } from './files.ts';

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
    const [file] = placeFiles([arrived(1, 'rec.csv')], board([], [swim('P01', 1)]), about());
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
