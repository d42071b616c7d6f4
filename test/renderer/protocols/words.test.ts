import { describe, expect, it } from 'vitest';
import type { PlannedComparison, ProtocolContent } from '../../../core/protocol/content.ts';
import { faultOf } from '../../../renderer/protocols/fieldfault.ts';
import { moved } from '../../../renderer/fields/lines.ts';
import { withCamera, withCameraChanged, withoutCamera } from '../../../renderer/protocols/groups/cameras.ts';
import { patternWords } from '../../../renderer/protocols/groups/filenames.ts';
import { LIMITS, limitPart, limitShown } from '../../../renderer/protocols/groups/limits.ts';
import { sketchOf } from '../../../renderer/protocols/groups/viewsketch.ts';
import { curveOf, tableOf } from '../../../renderer/protocols/power/powerplot.ts';
import { powerSentence, wantedSentence } from '../../../renderer/protocols/power/powerwords.ts';
import { proposedCode } from '../../../renderer/protocols/startingpoint.ts';
import { CONTENT } from './fixture.ts';

describe('what is wrong with a value', () => {
  it('is a sentence for each rule of the schema', () => {
    const fault = (part: Partial<ProtocolContent>) => faultOf({ ...CONTENT, ...part });
    expect(fault({})).toBeNull();
    expect(fault({ runM: 0 })).toBe('It must be above 0.');
    expect(fault({ poolLengthM: 2000 })).toBe('It must be at most 1000.');
    expect(fault({ attempts: 1.5 })).toBe('It must be a whole number.');
    expect(fault({ attempts: 0 })).toBe('It must be at least 1.');
    expect(fault({ restMinS: -1 })).toBe('It must not be below 0.');
    expect(fault({ name: '   ' })).toBe('It must not be empty.');
    expect(fault({ name: 'x'.repeat(121) })).toBe('It takes at most 120 characters.');
    expect(fault({ conditions: ['two words'] })).toMatch(/^It takes 1 to 64 of the characters/);
    expect(fault({ files: { ...CONTENT.files, names: [] } })).toBe('It must be at least 1 in number.');
    expect(fault({ comparison: { ...COMPARISON, alpha: 0.5 } })).toBe('It must be below 0.5.');
    expect(fault({ comparison: { ...COMPARISON, alpha: 0 } })).toBe('It must be above 0.');
  });
});

const COMPARISON: PlannedComparison = {
  kind: 'two_groups',
  quantity: 'velocity, m/s',
  first: 20,
  second: 20,
  difference: 1,
  sd: 1,
  alpha: 0.05,
  sides: 'two',
};

describe('the power of a comparison', () => {
  // R 4, help page of power.t.test, its examples: n = 20, delta = 1 gives power 0.8689528; power = .90, delta = 1 gives
  // n = 22.02110 per group (values from memory of the printed output).
  it('is told in words that agree with the examples of power.t.test', () => {
    expect(powerSentence(COMPARISON)).toMatch(
      /^With 20.swimmers per group the power is 0\.87: .*about 87 of 100/,
    );
    expect(wantedSentence(COMPARISON, 0.9)).toMatch(/^Power 0\.9 takes 23.swimmers per group\.$/);
  });

  it('says why where no number of swimmers is enough', () => {
    expect(wantedSentence({ ...COMPARISON, difference: 0.001 }, 0.8)).toMatch(
      /^Power 0\.8: Even 1000 swimmers/,
    );
  });

  it('is a curve that rises and holds what is planned and what is wanted', () => {
    const curve = curveOf(COMPARISON);
    const powers = curve.map(({ power }) => power!);
    expect(powers.every((power, k) => k === 0 || power >= powers[k - 1]!)).toBe(true);
    expect(curve.at(-1)!.size).toBeGreaterThan(23);
    expect(curve.length).toBeLessThanOrEqual(62);
    expect(tableOf(COMPARISON).length).toBeLessThanOrEqual(12);
  });
});

describe('parts of the form', () => {
  it('shows shares as percent and takes them back without dust', () => {
    const saturated = LIMITS.find(({ name }) => name === 'maxSaturatedFraction')!;
    expect(limitShown({ ...CONTENT.accept, maxSaturatedFraction: 0.07 }, saturated)).toBe(7);
    expect(limitPart(CONTENT.accept, saturated, 7).maxSaturatedFraction).toBe(0.07);
    expect(limitPart(CONTENT.accept, saturated, null).maxSaturatedFraction).toBeNull();
  });

  it('says what a file would be called, and what is wrong with a pattern', () => {
    expect(patternWords('{trial}')).toBe('Such as S01-2.csv or S01-2.mp4');
    expect(patternWords('{Participant} run{attempt} {CAMERA}')).toBe('Such as S01 run2 A.mp4');
    expect(patternWords('{swimmer}-{attempt}')).toMatch(/^! \{swimmer\} stands for nothing/);
    expect(patternWords('{trial')).toMatch(/^! A bracket is not closed/);
    expect(patternWords('{any}')).toMatch(/tells no trial/);
  });

  it('keeps the camera that times in step with the list', () => {
    const one = withCamera({ ...CONTENT, cameras: [], timing: { ...CONTENT.timing, camera: null } });
    expect(one.timing.camera).toBe('A');
    const two = withCamera(one);
    expect(two.cameras.map(({ camera }) => camera)).toEqual(['A', 'B']);
    expect(withCameraChanged(two, 0, { camera: 'deck' }).timing.camera).toBe('deck');
    expect(withCameraChanged(two, 1, { camera: 'deck' }).timing.camera).toBe('A');
    expect(withoutCamera(two, 0).timing.camera).toBeNull();
    expect(withoutCamera(two, 1).timing.camera).toBe('A');
  });

  it('moves a line, and leaves the list where there is no way', () => {
    expect(moved(['a', 'b', 'c'], 2, -1)).toEqual(['a', 'c', 'b']);
    expect(moved(['a', 'b'], 0, -1)).toEqual(['a', 'b']);
  });

  // Three points on one line of sight: similar triangles, Euclid VI.2.
  it('draws eye, mark and the place seen on one straight line', () => {
    const view = { acrossM: 6, alongM: 3, markAcrossM: 8, strayM: 0.2 };
    const { eye, mark, seen } = sketchOf(view, 3 * (1 - 6 / 8), 280, 200);
    const cross = (mark[0] - eye[0]) * (seen[1] - eye[1]) - (mark[1] - eye[1]) * (seen[0] - eye[0]);
    expect(cross).toBeCloseTo(0, 6);
  });

  it('proposes a code that nobody has', () => {
    const own = [
      {
        protocol: 'Sprint-To-Wall',
        name: '',
        version: 1,
        keptAt: null,
        hasDraft: false,
        fault: null,
        days: [],
      },
    ];
    expect(proposedCode({ from: 'starter', code: 'sprint-to-wall' }, own)).toBe('sprint-to-wall-2');
    expect(proposedCode({ from: 'starter', code: 'mid-pool-10' }, own)).toBe('mid-pool-10');
    expect(proposedCode({ from: 'file' }, own)).toBe('');
  });
});
