import { describe, expect, it } from 'vitest';
import { nextStep } from '../../../../renderer/sensors/bench/nextstep.ts';
import { point } from '../fixture.ts';

const up = (applied: number, run = 1) => point(applied, 1, { run });
const down = (applied: number, run = 1) => point(applied, 1, { run, direction: 'down' });

describe('what is to be read next', () => {
  it('is the person’s to say on the first way up', () => {
    expect(nextStep([], 'kPa')).toEqual({ applied: null, direction: 'up', run: 1 });
    expect(nextStep([up(0), up(5)], 'kPa')).toEqual({ applied: null, direction: 'up', run: 1 });
  });

  it('is the next pressure below on the way down, then the next run from the bottom', () => {
    const ladder = [up(0), up(5), up(10)];
    expect(nextStep([...ladder, down(10)], 'kPa')).toEqual({ applied: 5, direction: 'down', run: 1 });
    const loop = [...ladder, down(10), down(5), down(0)];
    expect(nextStep(loop, 'kPa')).toEqual({ applied: 0, direction: 'up', run: 2 });
    expect(nextStep([...loop, up(0, 2)], 'kPa')).toEqual({ applied: 5, direction: 'up', run: 2 });
    expect(nextStep([...loop, up(0, 2), up(5, 2), up(10, 2)], 'kPa')).toEqual({
      applied: 10,
      direction: 'down',
      run: 2,
    });
  });

  it('passes over points set aside and points in another unit', () => {
    const aside = point(10, 1, { direction: 'down', setAside: 'air' });
    expect(nextStep([up(0), up(10), aside, down(10)], 'kPa').applied).toBe(0);
    expect(nextStep([up(0), up(10), down(10)], 'mbar')).toEqual({ applied: null, direction: 'up', run: 1 });
  });
});
