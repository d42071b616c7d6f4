import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import type { ArrivalToAdd } from '../../../main/store/arrivals.ts';
import { openStoreReadOnly, type Store } from '../../../main/store/store.ts';
import { AT, errorOf, NO_DISK, opened, scratch, tinyDisk, valueOf, WHO, ZEROS } from './support.ts';

/** Begins an invented day that is run here; gives its id. */
function aDeckDay(store: Store, day = 'D1'): number {
  if (store.protocolVersion('sprint', 1) === null)
    valueOf(store.addProtocolVersion({ protocol: 'sprint', version: 1, content: {}, at: AT, who: WHO }));
  const invented = {
    day,
    date: '2026-03-02',
    venue: 'invented pool',
    source: '',
    files: [],
    at: AT,
    who: WHO,
  };
  return valueOf(store.beginDeckDay(invented, { protocol: 'sprint', version: 1, setup: {} }));
}

function arrival(day: number, changed: Partial<ArrivalToAdd> = {}): ArrivalToAdd {
  return {
    day,
    name: 'P01-1.csv',
    bytes: 3,
    modified: '2026-03-02T09:29:00.123Z',
    sha256: ZEROS,
    kind: 'trace',
    outcome: 'taken',
    reason: '',
    continues: null,
    at: AT,
    who: WHO,
    ...changed,
  };
}

describe('files that came in', () => {
  test('are kept in the order of coming, each day its own', () => {
    const folder = scratch();
    const store = opened(folder);
    const [day, other] = [aDeckDay(store), aDeckDay(store, 'D2')];
    const rows = [
      arrival(day),
      arrival(day, { name: 'a.mp4', kind: 'film', outcome: 'stopped', sha256: null, reason: 'A person.' }),
      arrival(day, { name: 'copy.csv', outcome: 'twice', reason: 'It came before.' }),
    ];
    const ids = rows.map((row) => valueOf(store.addArrival(row)));
    rows.push(arrival(day, { bytes: 4, continues: ids[0]! }));
    ids.push(valueOf(store.addArrival(rows.at(-1)!)));
    valueOf(store.addArrival(arrival(other)));
    store.close();
    const again = opened(folder);
    expect(again.arrivals(day)).toEqual(rows.map((row, index) => ({ id: ids[index], ...row })));
    expect(again.arrivals(other)).toHaveLength(1);
    expect(again.arrivals(99)).toEqual([]);
  });

  test('are found by their content: the first one taken', () => {
    const store = opened(scratch());
    const day = aDeckDay(store);
    expect(store.takenArrival(day, ZEROS)).toBeNull();
    valueOf(store.addArrival(arrival(day, { name: 'bad.csv', outcome: 'unreadable', reason: 'Bad.' })));
    expect(store.takenArrival(day, ZEROS)).toBeNull();
    valueOf(store.addArrival(arrival(day, { name: 'first.csv' })));
    valueOf(store.addArrival(arrival(day, { name: 'second.csv' })));
    expect(store.takenArrival(day, ZEROS)?.name).toBe('first.csv');
    expect(store.takenArrival(aDeckDay(store, 'D2'), ZEROS)).toBeNull();
  });

  test('are recorded once, whoever tells of them again', () => {
    const folder = scratch();
    const [one, other] = [opened(folder), opened(folder)];
    const day = aDeckDay(one);
    const first = valueOf(one.addArrival(arrival(day)));
    const later = arrival(day, { at: '2026-03-02T10:00:00.000Z', who: 'CD' });
    expect(valueOf(other.addArrival(later))).toBe(first);
    const grown = valueOf(other.addArrival(arrival(day, { bytes: 4 })));
    expect(grown).not.toBe(first);
    expect(one.arrivals(day).map(({ id }) => id)).toEqual([first, grown]);
  });

  test.each([
    ['another day', { day: 99 }],
    ['taken without content', { sha256: null }],
    ['stopped with content', { outcome: 'stopped' }],
    ['no moment', { modified: 'yesterday' }],
    ['gone on from nothing', { continues: 99 }],
  ] as const)('that cannot be (%s) are a bug', (_what, changed) => {
    const store = opened(scratch());
    expect(() => store.addArrival(arrival(aDeckDay(store), changed))).toThrow(/constraint/i);
  });

  test('are only ever added to', () => {
    const folder = scratch();
    const store = opened(folder);
    valueOf(store.addArrival(arrival(aDeckDay(store))));
    const raw = new BetterSqlite(join(folder, 'lab.sqlite'));
    onTestFinished(() => {
      raw.close();
    });
    expect(() => raw.exec("UPDATE arrival SET name = 'x'")).toThrow('only ever added to');
    expect(() => raw.exec('DELETE FROM arrival')).toThrow('only ever added to');
  });

  test('keep their content, and its length is known', async () => {
    const folder = scratch();
    const store = opened(join(folder, 'lab'));
    const day = aDeckDay(store);
    const content = valueOf(await store.addRawBytes(Buffer.from('abc')));
    valueOf(store.addArrival(arrival(day, content)));
    valueOf(store.dropRaw(content.sha256));
    expect(store.hasRaw(content.sha256)).toBe(true);
    const told: number[] = [];
    writeFileSync(join(folder, 'copy'), 'abc');
    valueOf(await store.addRaw(join(folder, 'copy'), undefined, (bytes) => told.push(bytes)));
    // Read once, to know it, and not a second time, to copy it.
    expect(told).toEqual([3]);
  });

  test('whose content is gone are reported by the check of the lab folder and by a backup', async () => {
    const folder = scratch();
    const store = opened(join(folder, 'lab'));
    const day = aDeckDay(store);
    const content = valueOf(await store.addRawBytes(Buffer.from('abc')));
    valueOf(store.addArrival(arrival(day, content)));
    valueOf(
      store.addArrival(arrival(day, { name: 'no', outcome: 'stopped', sha256: null, reason: 'A person.' })),
    );
    expect(await store.checkIntegrity()).toMatchObject({ sound: true, missingRaw: [], rawFiles: 1 });
    const whole = valueOf(await store.backupTo(join(folder, 'whole')));
    expect(whole).toMatchObject({ missingRaw: [], rawFiles: 1 });
    expect(opened(whole.folder).arrivals(day)).toEqual(store.arrivals(day));
    rmSync(store.rawPath(content.sha256));
    expect(await store.checkIntegrity()).toMatchObject({ sound: false, missingRaw: [content.sha256] });
    expect(valueOf(await store.backupTo(join(folder, 'less'))).missingRaw).toEqual([content.sha256]);
  });

  test('can be looked at where nothing can be written', () => {
    const folder = scratch();
    const store = opened(folder);
    const day = aDeckDay(store);
    valueOf(store.addArrival(arrival(day)));
    const reading = valueOf(openStoreReadOnly(folder));
    onTestFinished(reading.close);
    expect(reading.arrivals(day)).toEqual(store.arrivals(day));
    expect(reading).not.toHaveProperty('addArrival');
  });

  test('on a full disk are not recorded, and that is said', (context) => {
    const disk = tinyDisk(1 << 20);
    if (disk === null) return context.skip(NO_DISK);
    const store = opened(join(disk.folder, 'lab'));
    const day = aDeckDay(store);
    let added = 0;
    let outcome = store.addArrival(arrival(day, { name: 'x'.repeat(900) }));
    while (outcome.ok) {
      added += 1;
      outcome = store.addArrival(arrival(day, { name: `${added}`.padEnd(900, 'x') }));
    }
    expect(errorOf(outcome).code).toBe('disk_full');
    expect(store.arrivals(day)).toHaveLength(added);
  });
});
