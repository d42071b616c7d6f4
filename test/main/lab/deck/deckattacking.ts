/** A second program for the tests: runs a testing day without end and prints what it was answered as kept. */
import { writeSync } from 'node:fs';
import { openLab } from '../../../../main/lab/lab.ts';
import { PROTOCOL, SETUP, swimmer } from '../../../core/deck/build.ts';

const [home = '', mark = ''] = process.argv.slice(2);
const lab = await openLab({ home, sampleFolder: null, version: '1.2.3' });
async function ask<T = null>(name: string, input: unknown): Promise<T> {
  const answer = await lab.carry(name, input);
  if (!answer.ok) throw new Error(`${name}: ${answer.error.says}`);
  return answer.value as T;
}
const tell = (told: object) => writeSync(1, `${JSON.stringify(told)}\n`);

const content = { ...PROTOCOL, name: mark };
await ask('protocols.draft', { protocol: mark, draft: content });
await ask('protocols.keep', { protocol: mark });
tell({ protocol: mark, version: 1 });
const { day } = await ask<{ day: number }>('deck.new', {
  day: mark,
  protocol: mark,
  version: 1,
  setup: SETUP,
});
tell({ day, code: mark });
const act = (given: object) => ask('deck.act', { day, act: given });
await act({ act: 'swimmers.add', swimmers: ['A', 'B', 'C'].map((code) => swimmer(code)) });
for (let n = 1; ; n++) {
  await act({ act: 'trial.add', participant: 'A', condition: null });
  await act({ act: 'note.add', kind: 'note', trial: `A-${n}`, participant: null, says: `note ${n}` });
  await act({ act: 'trial.skip', trial: `A-${n}`, why: `skip ${n}` });
  tell({ day, skipped: n });
  await ask('protocols.draft', { protocol: mark, draft: { ...content, restMinS: n } });
  await ask('protocols.keep', { protocol: mark });
  tell({ protocol: mark, version: n + 1 });
}
