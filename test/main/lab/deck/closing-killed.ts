/** A program of its own for the tests: opens a lab folder and begins long work, which the test then kills. */
import { openLab } from '../../../../main/lab/lab.ts';

const [home = '', call = '', place = ''] = process.argv.slice(2);
const lab = await openLab({ home, sampleFolder: null, version: '1.2.3' });
const begun = await lab.carry(call, { day: call === 'deck.backup' ? 2 : 1, path: place });
if (!begun.ok) throw new Error(begun.error.says);
process.stdout.write('begun\n');
setInterval(() => undefined, 1000);
