/** A lab folder that is gone, or is another one by now, is told of in place of any answer. */
import { cpSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { openLab } from '../../../main/lab/lab.ts';
import { tempFolder } from '../files/day-builder.ts';

test.each(['moved away', 'replaced by a copy'])(
  'an act into a lab folder that was %s is not acknowledged',
  async (how) => {
    const home = join(await tempFolder(), 'lab');
    const lab = await openLab({ home, sampleFolder: null, version: '1.2.3' });
    onTestFinished(() => lab.close());
    const act = () => lab.carry('app.setOperator', { operator: 'AB' });
    expect(await act()).toMatchObject({ ok: true });
    renameSync(home, `${home}-away`);
    if (how === 'replaced by a copy') cpSync(`${home}-away`, home, { recursive: true });
    expect(await act()).toMatchObject({
      ok: false,
      error: {
        code: 'lab_folder',
        says: expect.stringMatching(/no longer there, or another lies in its place/),
      },
    });
  },
);
