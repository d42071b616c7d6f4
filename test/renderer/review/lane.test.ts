/** Place along the lane: uniform motion between two timed points, from arithmetic alone. */
import { describe, expect, it } from 'vitest';
import { lanePosition } from '../../../renderer/review/lane.ts';

const SECTION = { startS: 6, endS: 12 };

describe('place along the lane', () => {
  it('is that of the section’s ends at its times, and halfway at half the time', () => {
    expect(lanePosition(6, SECTION, [10, 0], 20)).toEqual({ fromWallM: 10, beyond: false });
    expect(lanePosition(9, SECTION, [10, 0], 20)).toEqual({ fromWallM: 5, beyond: false });
    expect(lanePosition(12, SECTION, [10, 0], 20)).toEqual({ fromWallM: 0, beyond: false });
  });

  it('goes on at the same speed outside, marked as beyond, and stays in the run', () => {
    expect(lanePosition(3, SECTION, [10, 0], 20)).toEqual({ fromWallM: 15, beyond: true });
    expect(lanePosition(-30, SECTION, [10, 0], 20)).toEqual({ fromWallM: 20, beyond: true });
    expect(lanePosition(20, SECTION, [10, 0], 20)).toEqual({ fromWallM: 0, beyond: true });
  });

  it('is not known without section, times or a time that runs', () => {
    expect(lanePosition(9, null, [10, 0], 20)).toBeNull();
    expect(lanePosition(9, SECTION, null, 20)).toBeNull();
    expect(lanePosition(9, { startS: 6, endS: 6 }, [10, 0], 20)).toBeNull();
  });
});
