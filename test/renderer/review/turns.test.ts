/** What is asked for while a mark waits comes after it, in its order. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { Turns } from '../../../renderer/review/turns.ts';

it('keeps the order in which things were asked for, whatever is waited for meanwhile', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(fc.constantFrom('at once', 'waits'), { maxLength: 12 }), async (kinds) => {
      const turns = new Turns();
      const done: number[] = [];
      for (const [index, kind] of kinds.entries())
        turns.take(() => {
          if (kind === 'at once') done.push(index);
          else
            turns.hold(
              Promise.resolve().then(() => {
                done.push(index);
              }),
            );
        });
      await new Promise((over) => setTimeout(over));
      expect(done).toEqual(kinds.map((_, index) => index));
    }),
  );
});
