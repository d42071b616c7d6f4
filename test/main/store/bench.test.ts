import BetterSqlite from 'better-sqlite3';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { AT, errorOf, opened, scratch, valueOf, WHO, ZEROS } from './support.ts';

const CALIBRATION = { sensor: 'S-01', at: AT, who: WHO, version: '1.0.0', day: null, sha256: null } as const;
const kept = (id: number, before: unknown = null) => ({
  day: null,
  trial: null,
  subject: 'calibration.kept',
  key: String(id),
  before,
  after: true,
  says: 'kept',
  who: WHO,
  at: AT,
});

describe('calibrations', () => {
  test('are kept with the decision that they count, and end the draft: all or nothing', () => {
    const store = opened(scratch());
    valueOf(store.putDraft('S-01', { points: [1] }, WHO, AT));
    const made = { ...CALIBRATION, content: { points: [1] } };
    expect(errorOf(store.keepCalibration(made, (id) => kept(id, 'something else'))).code).toBe(
      'changed_meanwhile',
    );
    expect(store.calibrations()).toEqual([]);
    expect(store.drafts().size).toBe(1);
    const decision = valueOf(store.keepCalibration(made, (id) => kept(id)));
    expect(store.calibrations()).toMatchObject([{ ...made, id: Number(decision.key) }]);
    expect(store.drafts().size).toBe(0);
    expect(store.inForce(null).get('calibration.kept')?.has(decision.key)).toBe(true);
  });

  test('cannot be altered or removed, and what was altered all the same is found', () => {
    const folder = scratch();
    const store = opened(folder);
    valueOf(store.addCalibration({ ...CALIBRATION, day: 'D1', sha256: ZEROS, content: { points: [1] } }));
    const db = new BetterSqlite(join(folder, 'lab.sqlite'));
    expect(() => db.exec("UPDATE calibration SET who = 'CD'")).toThrow('only ever added to');
    expect(() => db.exec('DELETE FROM calibration')).toThrow('only ever added to');
    db.exec("DROP TRIGGER calibration_not_altered; UPDATE calibration SET content = '{}'");
    db.close();
    store.close();
    const again = opened(folder);
    expect(again.damage.map(({ says }) => says).join()).toContain(
      'Calibration 1 of sensor S-01 is not what was',
    );
    expect(again.calibrations()).toEqual([]);
  });
});

describe('sensors, drafts and recordings', () => {
  test('a sensor that came with a day stays as it first came', () => {
    const store = opened(scratch());
    valueOf(store.bringSensor('S-01', { n: 1 }, 'D1', WHO, AT));
    valueOf(store.bringSensor('S-01', { n: 2 }, 'D2', WHO, AT));
    expect(store.broughtSensors()).toEqual(new Map([['S-01', { value: { n: 1 }, shape: 1 }]]));
  });

  test('a draft is one per sensor, the latest', () => {
    const store = opened(scratch());
    for (const n of [1, 2]) valueOf(store.putDraft('S-01', { n }, WHO, AT));
    expect(store.drafts()).toEqual(new Map([['S-01', { value: { n: 2 }, shape: 1 }]]));
    valueOf(store.putDraft('S-01', null, WHO, AT));
    expect(store.drafts().size).toBe(0);
  });

  test('a recording whose raw file is gone is missed', async () => {
    const store = opened(scratch());
    const { sha256, bytes } = valueOf(await store.addRawBytes(Buffer.from('t,raw')));
    valueOf(store.putRecording({ sha256, bytes, file: 'a.csv', time: { rateHz: 1 } }, WHO, AT));
    expect((await store.checkIntegrity()).missingRaw).toEqual([]);
    valueOf(store.putRecording({ sha256: ZEROS, bytes, file: 'b.csv', time: null }, WHO, AT));
    expect((await store.checkIntegrity()).missingRaw).toEqual([ZEROS]);
  });
});
