/** What the hand-overs of an index were read from. Expected words follow formats.md section 2: trace clock, force; video, film. */
import { expect, it } from 'vitest';
import { handOverBasis, mixedBasisSays } from '../../../core/trial/basis.ts';
import { mark } from '../build.ts';

const over = (end: 'trace' | 'video', start: 'trace' | 'video') => ({
  hand: 'left' as const,
  stroke: 2,
  partnerStroke: 1,
  partnerEnd: mark(1, 0.004, end),
  start: mark(1.1, 0.004, start),
});
const stroke = (end: 'trace' | 'video', start: 'trace' | 'video', counts = true) => ({
  handOver: over(end, start),
  idcPct: -5,
  counts,
});

it('is read from each of the two marks', () => {
  expect(handOverBasis(over('trace', 'trace'))).toBe('force');
  expect(handOverBasis(over('video', 'video'))).toBe('video');
  expect(handOverBasis(over('trace', 'video'))).toBe('mixed');
  expect(handOverBasis(over('video', 'trace'))).toBe('mixed');
});

it('is counted where the strokes of a trial differ in it, and only then', () => {
  expect(mixedBasisSays([stroke('video', 'video'), stroke('video', 'video')])).toBeNull();
  expect(mixedBasisSays([stroke('video', 'video'), stroke('trace', 'trace', false)])).toBeNull();
  expect(
    mixedBasisSays([stroke('video', 'video'), { ...stroke('trace', 'trace'), idcPct: null }]),
  ).toBeNull();
  expect(
    mixedBasisSays([
      stroke('video', 'video'),
      stroke('trace', 'trace'),
      stroke('trace', 'trace'),
      stroke('trace', 'video'),
    ]),
  ).toBe(
    'of its hand-overs 2 from force, 1 from film, 1 from one to the other: a mean of what is not the same quantity',
  );
  // One mark on each in every hand-over: one kind, but no one thing that it was read from.
  expect(mixedBasisSays([stroke('trace', 'video')])).toContain('1 from one to the other');
});
