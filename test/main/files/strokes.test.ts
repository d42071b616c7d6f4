/** Order of a stroke's marks (formats.md section 1, events.csv): a stroke out of order is refused whole, the others stay. */
import { describe, expect, it } from 'vitest';
import { append, dayFiles, lineOf, processEdited, STROKES_PER_HAND, swap } from './day-builder.ts';

const FILES = dayFiles();
const plain = await processEdited();

describe('strokes', () => {
  it('are read under the names that two events had before, to the same rows', async () => {
    const { table, refused } = await processEdited({
      'events.csv': (text) =>
        text
          .replaceAll(',full_reach,', ',arm_entry_complete,')
          .replaceAll(',hand_below_shoulder,', ',below_shoulder_level,'),
    });
    expect(refused).toEqual([]);
    expect(table('strokes')).toEqual(plain.table('strokes'));
  });

  const time = (event: string) => {
    const row = FILES['events.csv']!.split('\n').find((line) => line.startsWith(`T1,left,2,${event},`))!;
    return row.split(',')[4]!;
  };
  const first = lineOf(FILES['events.csv']!, 'T1,left,2,');
  it.each([
    ['full_reach', 'water_entry'],
    ['propulsion_start', 'full_reach'],
    ['shoulder_plane', 'propulsion_start'],
    ['propulsion_end', 'shoulder_plane'],
    ['water_exit', 'propulsion_end'],
    ['hand_below_shoulder', 'full_reach'],
  ])('whose %s comes before its %s is refused whole, the others stay', async (later, earlier) => {
    const moved = (Number(time(earlier)) - 0.01).toFixed(2);
    const edit = swap(`T1,left,2,${later},${time(later)}`, `T1,left,2,${later},${moved}`);
    const { places, refused, table } = await processEdited({ 'events.csv': edit });
    expect(places).toEqual(Array.from({ length: 7 }, (_, i) => `events.csv:${first + i}`));
    expect(refused[0]!.reason).toMatch(/left hand.s stroke 2/);
    const numbers = table('strokes')
      .filter((row) => row['trial'] === 'T1' && row['hand'] === 'left')
      .map((row) => row['stroke']);
    expect(numbers).toEqual(['1', '3', '4']);
    expect(table('strokes')).toHaveLength(4 * STROKES_PER_HAND - 1);
  });

  it.each(['shoulder_plane', 'propulsion_end'])('needs %s strictly later', async (event) => {
    const before = event === 'shoulder_plane' ? 'propulsion_start' : 'shoulder_plane';
    const { places } = await processEdited({
      'events.csv': swap(`T1,left,2,${event},${time(event)}`, `T1,left,2,${event},${time(before)}`),
    });
    expect(places).toHaveLength(7);
  });

  it.each([
    ['full_reach', 'water_entry'],
    ['propulsion_start', 'full_reach'],
    ['water_exit', 'propulsion_end'],
    ['hand_below_shoulder', 'full_reach'],
  ])('may have %s at the same moment as %s', async (event, before) => {
    const edit = (text: string) => {
      let moved = swap(`T1,left,2,${event},${time(event)}`, `T1,left,2,${event},${time(before)}`)(text);
      if (event === 'propulsion_start')
        moved = moved.replace(`T1,left,2,hand_below_shoulder,${time('hand_below_shoulder')},trace,,R1\n`, '');
      return moved;
    };
    expect((await processEdited({ 'events.csv': edit })).refused).toEqual([]);
  });

  it('may have hand_below_shoulder after propulsion_start', async () => {
    const edit = swap(
      `T1,left,2,hand_below_shoulder,${time('hand_below_shoulder')}`,
      `T1,left,2,hand_below_shoulder,${time('propulsion_end')}`,
    );
    expect((await processEdited({ 'events.csv': edit })).refused).toEqual([]);
  });

  it('that begins before the one before it has ended is refused whole', async () => {
    // Stroke 2 enters at 2.00 s; stroke 1 leaves the water at 1.80 s.
    const { places, table } = await processEdited({
      'events.csv': swap('T1,left,1,water_exit,1.80', 'T1,left,1,water_exit,2.01'),
    });
    expect(places).toEqual(Array.from({ length: 7 }, (_, i) => `events.csv:${first + i}`));
    expect(table('strokes')).toHaveLength(4 * STROKES_PER_HAND - 1);
  });

  it('are reported by the rater of the trial’s first row; the others’ marks, refused where out of order, change nothing', async () => {
    const { refused, files } = await processEdited({
      'events.csv': append('T1,left,1,water_entry,0.75,trace,,R2', 'T1,left,1,shoulder_plane,0.1,trace,,R2'),
    });
    expect(refused.map(({ file }) => file)).toEqual(['events.csv']);
    expect(files.get('strokes.csv')).toBe(plain.files.get('strokes.csv'));
  });
});
