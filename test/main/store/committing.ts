/** A second program for the tests: decides without end (or `count` times) and prints each id once it is recorded. */
import { writeSync } from 'node:fs';
import { openStore } from '../../../main/store/store.ts';

const [folder = '', mark = '', count = 'Infinity'] = process.argv.slice(2);
const opened = openStore(folder);
if (!opened.ok) throw new Error(opened.error.says);
const store = opened.value;
const at = '2026-03-02T09:30:00.000Z';
const recorded = store.recordDay({
  day: 'D1',
  date: null,
  venue: null,
  source: '/day',
  files: [],
  at,
  who: mark,
});
if (!recorded.ok) throw new Error(recorded.error.says);
const day = recorded.value.id;
for (let n = 0; n < Number(count); n += 1) {
  const key = `${mark}-${n}`;
  const decision = {
    day,
    trial: null,
    subject: 'test',
    key,
    before: null,
    after: n,
    says: key,
    who: mark,
    at,
  };
  const decided = store.decide(decision);
  if (!decided.ok) throw new Error(decided.error.says);
  writeSync(1, `${decided.value.id} ${key}\n`);
}
store.close();
