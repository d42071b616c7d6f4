import { describe, expect, it } from 'vitest';
import { nextStep } from '../../../../renderer/sensors/bench/nextstep.ts';
import { readTyped, typedText } from '../../../../renderer/fields/numberfield.ts';
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

describe('a typed number', () => {
  it('takes a point or a comma, a minus of either kind, and blank for none', () => {
    expect(readTyped('52,5')).toEqual({ ok: true, value: 52.5 });
    expect(readTyped(' \u22123.1 ')).toEqual({ ok: true, value: -3.1 });
    expect(readTyped('')).toEqual({ ok: true, value: null });
  });

  it('says what is wrong with anything else', () => {
    expect(readTyped('1.5 m')).toMatchObject({ ok: false, says: expect.stringContaining('not a number') });
    expect(readTyped('0', 'positive')).toMatchObject({ ok: false });
    expect(readTyped('-1', 'notNegative')).toMatchObject({ ok: false });
    expect(readTyped('1.5', 'count')).toMatchObject({ ok: false });
    expect(readTyped('91', 'latitude')).toMatchObject({ ok: false, says: expect.stringContaining('90') });
  });

  it('is shown without what floating point adds', () => {
    expect(typedText(100 * 0.0007)).toBe('0.07');
    expect(typedText(null)).toBe('');
  });
});
