/** What is kept and does not fit costs what it stands in, named; everything else works. */
import { createHash } from 'node:crypto';
import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import { describe, expect, test } from 'vitest';
import { benchLab } from '../benchlab.ts';
import { oldLab } from '../oldlabs.ts';

const DECK_DAY = 2;

/** Changes the newest value of a decision as another program might have written it: whole, with its seal. */
function rewrite(
  home: string,
  subject: string,
  key: string,
  change: (value: Record<string, unknown>) => unknown,
) {
  const db = new BetterSqlite(join(home, 'lab.sqlite'));
  db.exec('DROP TRIGGER decision_not_altered');
  const row = db
    .prepare('SELECT * FROM decision WHERE subject = ? AND key = ? ORDER BY id DESC LIMIT 1')
    .get(subject, key) as Record<string, string>;
  const after = JSON.stringify(change(JSON.parse(row['after']!) as Record<string, unknown>));
  const cells = [
    row['day'],
    row['parent'],
    row['trial'],
    row['subject'],
    row['key'],
    row['before'],
    after,
    row['says'],
  ];
  const seal = createHash('sha256').update(JSON.stringify(cells)).digest('hex');
  db.prepare('UPDATE decision SET after = ?, seal = ? WHERE id = ?').run(after, seal, row['id']);
  db.exec(`CREATE TRIGGER decision_not_altered BEFORE UPDATE ON decision
      BEGIN SELECT RAISE(ABORT, 'decision is only ever added to'); END;`);
  db.close();
}

describe('a value that cannot be read', () => {
  test('on a board costs that day, which is named with what to do; the other opens', async () => {
    const home = await oldLab('store-3');
    rewrite(home, 'deck', 'board', ({ runs: _runs, ...board }) => board);
    const { ask, fault } = await benchLab(undefined, home);
    const [deck, folder] = await ask('days.list', {});
    expect(deck).toMatchObject({ day: 'deck-1', onDeck: true, fault: { code: 'unreadable' } });
    expect(deck?.fault?.says).toMatch(
      /^The boards of a day \(decision \d+\) cannot be read: “trials” is missing\.$/,
    );
    expect(deck?.fault?.todo).toContain('Everything else works.');
    expect(folder).toMatchObject({ day: 'harbour-morning', trials: 2, fault: null });
    expect((await ask('days.get', { day: 1 })).trials).toHaveLength(2);
    for (const name of ['deck.get', 'days.get', 'deck.close'] as const)
      expect((await fault(name, { day: DECK_DAY })).code).toBe('unreadable');
  });

  test('takes no file in while nobody knows who consents', async () => {
    const home = await oldLab('store-3');
    rewrite(home, 'deck', 'plan', (plan) => ({ ...plan, swimmers: 'none' }));
    const { ask, fault } = await benchLab(undefined, home);
    expect((await ask('days.list', {})).map((day) => day.fault?.code ?? null)).toEqual(['unreadable', null]);
    expect((await fault('deck.get', { day: DECK_DAY })).says).toContain(
      '“swimmers” is not what is kept there',
    );
  });

  test('can be taken back: the board before it stands again', async () => {
    const home = await oldLab('store-3');
    rewrite(home, 'deck', 'board', ({ runs: _runs, ...board }) => board);
    const { ask } = await benchLab(undefined, home);
    await ask('history.undo', { day: DECK_DAY });
    expect((await ask('days.list', {})).map((day) => day.fault)).toEqual([null, null]);
  });

  test('of the bench leaves out that sensor, and says so', async () => {
    const home = await oldLab('store-3');
    rewrite(home, 'sensor', 'S-09', (card) => ({ ...card, hand: 'third' }));
    const { ask } = await benchLab(undefined, home);
    const { sensors, faults } = await ask('bench.get', {});
    expect(sensors.map(({ card }) => card.sensor)).toEqual(['S-01', 'S-02', 'S-03', 'S-04']);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatch(/cards of a sensor .* “hand” is not what is kept there/);
    expect((await ask('days.list', {})).map((day) => day.fault)).toEqual([null, null]);
  });

  test('of a newer program is said to be of one', async () => {
    const home = await oldLab('store-3');
    (await benchLab(undefined, home)).lab.close();
    const db = new BetterSqlite(join(home, 'lab.sqlite'));
    db.exec('UPDATE protocol_draft SET shape = 99; DROP TRIGGER protocol_version_not_altered');
    db.close();
    const { ask } = await benchLab(undefined, home);
    const [protocol] = await ask('protocols.list', {});
    expect(protocol?.fault).toContain('newer version of this program');
    expect((await ask('protocols.get', { protocol: 'sprint' })).draft).toBeNull();
  });
});
