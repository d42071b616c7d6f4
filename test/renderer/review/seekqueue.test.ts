import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SeekQueue } from '../../../renderer/review/seekqueue.ts';

describe('seeks', () => {
  it('are never more than one at a time, and the last one wanted is the last one shown', () => {
    fc.assert(
      fc.property(
        fc.array(fc.option(fc.integer({ min: 0, max: 9 }), { nil: 'arrives' as const })),
        (story) => {
          const seeks: number[] = [];
          let outstanding = 0;
          const queue = new SeekQueue((frame) => {
            outstanding++;
            expect(outstanding).toBe(1);
            seeks.push(frame);
          });
          let wanted: number | null = null;
          const arrive = () => {
            outstanding--;
            queue.arrived();
          };
          for (const event of story)
            if (event === 'arrives') {
              if (queue.busy) arrive();
            } else queue.want((wanted = event));
          while (queue.busy) arrive();
          expect(seeks.at(-1) ?? null).toBe(wanted);
        },
      ),
    );
  });

  it('leave out what was wanted in between', () => {
    const seeks: number[] = [];
    const queue = new SeekQueue((frame) => seeks.push(frame));
    for (const frame of [1, 2, 3, 4]) queue.want(frame);
    queue.arrived();
    expect(seeks).toEqual([1, 4]);
    expect(queue.busy).toBe(true);
    queue.clear();
    expect(queue.busy).toBe(false);
  });
});
