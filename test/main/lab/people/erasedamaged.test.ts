/** An erasure in a lab folder with damaged rows: the swimmer goes from them too, and they go on being told as damaged. */
import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import { expect, it } from 'vitest';
import { decideTrial } from '../../../../main/lab/days/dayview.ts';
import { erasePerson } from '../../../../main/lab/people/erase.ts';
import { openStore } from '../../../../main/store/store.ts';
import { testLab, valueOf } from '../support.ts';
import { CODE, filesWith, personDay } from './personday.ts';

/** What a disk may do to a decision's value: still JSON, or no more. */
const DAMAGE = [
  ['a letter', '"wave', '"wavx'],
  ['a quotation mark', '"wave', 'wave'],
] as const;

it.each(DAMAGE)(
  'a decision with %s changed loses the swimmer and stays damaged',
  { timeout: 240_000 },
  async (_what, from, to) => {
    const lab = await testLab();
    const id = await lab.bring(await personDay());
    for (const trial of [`${CODE}-2`, 'P01-2'])
      valueOf(
        await decideTrial(lab.session, {
          day: id,
          trial,
          seen: 'recorded',
          status: 'excluded',
          reason: `wave of ${CODE}`,
        }),
      );
    lab.close();
    damage(lab.home, from, to);
    const again = await testLab(lab.home);
    const before = again.session.store.damage.map(({ says }) => says);
    expect(before).toHaveLength(2);
    valueOf(await erasePerson(again.session, CODE));
    expect(filesWith(lab.home, CODE)).toEqual([]);
    again.close();
    const opened = openStore(lab.home);
    if (!opened.ok) throw new Error(opened.error.says);
    expect(opened.value.damage.map(({ says }) => says)).toEqual(before);
    opened.value.close();
    expect(filesWith(lab.home, CODE)).toEqual([]);
  },
);

/** Changes the values of every decision, as a disk might: no seal knows of it. */
function damage(home: string, from: string, to: string): void {
  const db = new BetterSqlite(join(home, 'lab.sqlite'));
  db.pragma('ignore_check_constraints = ON');
  const triggers = db.prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").all() as {
    name: string;
    sql: string;
  }[];
  for (const { name } of triggers) db.exec(`DROP TRIGGER ${name}`);
  db.prepare('UPDATE decision SET after = replace(after, ?, ?)').run(from, to);
  for (const { sql } of triggers) db.exec(sql);
  db.close();
}
