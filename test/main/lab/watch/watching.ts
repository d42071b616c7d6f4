/** A second program for the tests: watches as it was told before and prints how far the copying is. */
import { writeSync } from 'node:fs';
import { join } from 'node:path';
import { Watches } from '../../../../main/lab/watch/watch.ts';
import { openStore } from '../../../../main/store/store.ts';

const [root = '', day = ''] = process.argv.slice(2);
const opened = openStore(join(root, 'lab'));
if (!opened.ok) throw new Error(opened.error.says);
const store = opened.value;
const session = { store, version: '1.2.3', sampleFolder: null };
const watches = new Watches(session, () => Promise.resolve(null), { pollMs: 15, quietMs: 40 });
watches.resume();
setInterval(() => {
  const copied = watches.view(Number(day)).arriving.map((file) => `${file.name}:${file.copied ?? '-'}`);
  writeSync(1, `${store.arrivals(Number(day)).length} ${copied.join(' ')}\n`);
}, 1);
