/** Trials whose propulsion was read from different things are not laid over one another without a word. */
import { expect, it } from 'vitest';
import { basisWarning } from '../../../../renderer/review/curves/basis.ts';

const of = (trial: string, basis: 'force' | 'video' | 'mixed' | null) => ({ trial, basis });

it('tells of two trials that rest on different things, or on mixed ones', () => {
  expect(basisWarning(of('T1', 'force'), of('T2', 'video'))).toContain(
    'T1 was read from force, of T2 from film',
  );
  expect(basisWarning(of('T1', 'mixed'), of('T2', 'mixed'))).toContain('force in part and film in part');
  expect(basisWarning(of('T1', 'video'), of('T2', 'video'))).toBeNull();
  expect(basisWarning(of('T1', null), of('T2', 'video'))).toBeNull();
  expect(basisWarning(of('T1', 'mixed'), null)).toContain('mixes them');
  expect(basisWarning(of('T1', 'force'), null)).toBeNull();
});
