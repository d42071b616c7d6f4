/** A program of its own for the tests: opens a lab folder and begins long work, which the test then kills. */
import { join } from 'node:path';
import { openLab } from '../../../../main/lab/lab.ts';

const [home = '', call = '', place = ''] = process.argv.slice(2);
const lab = await openLab({ home, sampleFolder: null, version: '1.2.3' });
const day = call === 'deck.backup' ? 2 : 1;
const begun = await lab.carry(
  call,
  call === 'days.export' ? { day, path: join(place, 'day'), films: 'none' } : { day, path: place },
);
if (!begun.ok) throw new Error(begun.error.says);
process.stdout.write('begun\n');
setInterval(() => undefined, 1000);
