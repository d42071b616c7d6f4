import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import { describe, expect, test } from 'vitest';
import type { DayFile, DayToRecord } from '../../../main/store/days.ts';
import { AT, opened, scratch, valueOf, WHO, ZEROS } from './support.ts';

const LATER = '2026-03-03T08:00:00.000Z';
const [A, B] = ['a'.repeat(64), 'b'.repeat(64)];
const FILES: DayFile[] = [
  { path: 'day.json', sha256: A, bytes: 10 },
  { path: 'traces/t1.csv', sha256: B, bytes: 5_000_000_000 },
];
const DAY: DayToRecord = {
  day: 'D1',
  date: '2026-03-02',
  venue: 'invented pool',
  source: '/card/day',
  files: FILES,
  at: AT,
  who: WHO,
};

describe('a testing day', () => {
  test('opened again unchanged makes no revision, but is known to have been opened', () => {
    const store = opened(scratch());
    expect(valueOf(store.recordDay(DAY))).toEqual({ id: 1, revision: 1, changed: true });
    const moved = { ...DAY, files: [...FILES].reverse(), source: '/disk/day', at: LATER, who: 'CD' };
    expect(valueOf(store.recordDay(moved))).toEqual({ id: 1, revision: 1, changed: false });
    expect(store.getDay(1)).toEqual({
      id: 1,
      day: 'D1',
      date: '2026-03-02',
      venue: 'invented pool',
      revision: 1,
      source: '/disk/day',
      openedAt: LATER,
      openedBy: 'CD',
    });
  });

  test.each<[string, Partial<DayToRecord>]>([
    ['a file with other content', { files: [FILES[0]!, { ...FILES[1]!, sha256: ZEROS }] }],
    ['a file more', { files: [...FILES, { path: 'traces/t2.csv', sha256: ZEROS, bytes: 1 }] }],
    ['a file less', { files: [FILES[0]!] }],
    ['a file renamed', { files: [FILES[0]!, { ...FILES[1]!, path: 'traces/t2.csv' }] }],
    ['another date', { date: null }],
    ['another venue', { venue: 'another pool' }],
  ])('with %s becomes a new revision; the old one stays', (_name, change) => {
    const store = opened(scratch());
    valueOf(store.recordDay(DAY));
    const changed = { ...DAY, ...change, at: LATER };
    expect(valueOf(store.recordDay(changed))).toEqual({ id: 1, revision: 2, changed: true });
    expect(store.dayFiles(1, 1)).toEqual(FILES);
    expect(store.dayFiles(1)).toEqual(changed.files);
    expect(store.revisions(1)).toMatchObject([
      { revision: 1, date: '2026-03-02', venue: 'invented pool', at: AT },
      { revision: 2, date: changed.date, venue: changed.venue, at: LATER },
    ]);
  });

  test('is one of several, sorted by date', () => {
    const store = opened(scratch());
    for (const [day, date] of [
      ['D3', null],
      ['D2', '2026-03-04'],
      ['D1', '2026-03-05'],
    ] as const)
      valueOf(store.recordDay({ ...DAY, day, date }));
    expect(store.listDays().map(({ day }) => day)).toEqual(['D2', 'D1', 'D3']);
    expect(store.getDay(99)).toBeNull();
    expect(store.dayFiles(99)).toEqual([]);
  });

  test('that cannot be recorded whole is not recorded at all', () => {
    const store = opened(scratch());
    const twice = { ...DAY, files: [FILES[0]!, FILES[0]!] };
    expect(() => store.recordDay(twice)).toThrow(/UNIQUE/);
    expect(() => store.recordDay({ ...DAY, at: 'yesterday' })).toThrow(/CHECK/);
    expect(store.listDays()).toEqual([]);
  });
});

describe('results', () => {
  test('are found by what they were computed from, with their inputs, until dropped', () => {
    const store = opened(scratch());
    valueOf(store.recordDay(DAY));
    const inputs = [
      { what: 'trace', file: 'traces/t1.csv', sha256: B },
      { what: 'day', file: 'day.json', sha256: A },
    ];
    const result = { day: 1, trial: 'T1', version: '1.0.0' };
    valueOf(store.putResult({ ...result, fingerprint: 'first', inputs, json: '{"f":1}', at: AT }));
    expect(store.getResult(1, 'T1')).toMatchObject({ fingerprint: 'first', json: '{"f":1}', at: AT });
    expect(store.resultInputs(1, 'T1')).toEqual(inputs);
    const second = { fingerprint: 'second', inputs: inputs.slice(1), json: '{"f":2}', at: LATER };
    valueOf(store.putResult({ ...result, ...second }));
    expect(store.getResult(1, 'T1')?.fingerprint).toBe('second');
    expect(store.resultsOfOthers('1.0.0')).toEqual([]);
    expect(store.resultsOfOthers('1.1.0')).toEqual([{ version: '1.0.0', trials: 1 }]);
    expect(store.resultVersions(1)).toEqual([{ trial: 'T1', version: '1.0.0' }]);
    expect(store.resultInputs(1, 'T1')).toEqual(inputs.slice(1));
    valueOf(store.dropResults(1));
    expect(store.getResult(1, 'T1')).toBeNull();
    expect(store.resultInputs(1, 'T1')).toEqual([]);
  });
});

describe('a kept result', () => {
  test.each([
    ['json', '{"f":9}'],
    ['version', '0.9.9'],
    ['at', LATER],
  ])('whose %s was changed in the file is not taken for one', (column, value) => {
    const folder = scratch();
    const store = opened(folder);
    valueOf(store.recordDay(DAY));
    const inputs = [{ what: 'trace', file: 'traces/t1.csv', sha256: B }];
    const kept = { day: 1, trial: 'T1', fingerprint: 'f', version: '1.0.0', inputs, json: '{"f":1}', at: AT };
    valueOf(store.putResult(kept));
    expect(store.getResult(1, 'T1')).not.toBeNull();
    const file = new BetterSqlite(join(folder, 'lab.sqlite'));
    file.prepare(`UPDATE result SET ${column} = ?`).run(value);
    file.close();
    expect(store.getResult(1, 'T1')).toBeNull();
    valueOf(store.putResult(kept));
    expect(store.getResult(1, 'T1')).not.toBeNull();
    const other = new BetterSqlite(join(folder, 'lab.sqlite'));
    other.exec(`UPDATE result_input SET sha256 = '${A}'`);
    other.close();
    expect(store.getResult(1, 'T1')).toBeNull();
  });
});

describe('settings', () => {
  test('hold text with who set it and when', () => {
    const store = opened(scratch());
    expect(store.getSetting('operator')).toBeNull();
    valueOf(store.setSetting('operator', 'AB', 'AB', AT));
    valueOf(store.setSetting('operator', 'CD', 'CD', LATER));
    expect(store.getSetting('operator')).toEqual({ text: 'CD', who: 'CD', at: LATER });
  });
});
