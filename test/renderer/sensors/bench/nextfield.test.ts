/** Enter takes a stretch of a recording and goes to the next that is not a point yet. */
import '../../browser.ts';
import { cleanup, fireEvent, render, screen } from '@testing-library/svelte';
import { afterEach, expect, it } from 'vitest';
import { Recording } from '../../../../renderer/sensors/bench/recording.svelte.ts';
import StretchRow from '../../../../renderer/sensors/bench/StretchRow.svelte';
import { fakeLab } from '../../fixture.ts';

afterEach(cleanup);

const field = (row: number) => screen.getByLabelText<HTMLInputElement>(`Applied during stretch ${row}`);

/** Four stretches; the second became a point before. */
function show(applied: string) {
  const taken: number[] = [];
  const recording = new Recording(fakeLab({}).client);
  const target = document.body.appendChild(document.createElement('table')).createTBody();
  [0, 1, 2, 3].forEach((index) =>
    render(StretchRow, {
      target,
      props: {
        recording,
        stretch: { startS: 10 * index, endS: 10 * index + 6, direction: 'up' as const, run: 1, applied },
        plateau: null,
        index,
        taken: index === 1 ? 1 : null,
        take: (which: number) => applied !== '' && taken.push(which) > 0,
      },
    }),
  );
  return taken;
}

it('passes over stretches that were taken, selects what stands there, and ends with the last', async () => {
  const taken = show('5');
  field(1).focus();
  await fireEvent.keyDown(field(1), { key: 'Enter' });
  expect(document.activeElement).toBe(field(3));
  expect([field(3).selectionStart, field(3).selectionEnd]).toEqual([0, 1]);
  await fireEvent.keyDown(field(3), { key: 'Enter' });
  expect(document.activeElement).toBe(field(4));
  await fireEvent.keyDown(field(4), { key: 'Enter' });
  expect(document.activeElement).toBe(field(4));
  expect(taken).toEqual([0, 2, 3]);
});

it('stays where nothing could be taken', async () => {
  const taken = show('');
  field(1).focus();
  await fireEvent.keyDown(field(1), { key: 'Enter' });
  expect([document.activeElement, taken]).toEqual([field(1), []]);
});
