/** A zero proposed from a quiet stretch of a record with noise, drift and swimming. */
import { describe, expect, test } from 'vitest';
import { proposeZero } from '../../../core/force/zero.ts';

/** Normal deviates from a small generator, so that a failure can be seen again (Park & Miller 1988; Box & Muller 1958). */
function normals(seed: number) {
  let state = (seed % 2_147_483_646) + 1;
  const uniform = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

describe('a zero from a quiet stretch', () => {
  const search = { leastS: 1, withinS: 8, mostSdRaw: 30 };
  const grid = { startS: 0, rateHz: 200 };
  /** Still from 2 s to 5 s, swimming elsewhere; noise with correlation `phi` from sample to sample. */
  function trial(seed: number, phi = 0): Float64Array {
    const normal = normals(seed);
    let noise = 0;
    return Float64Array.from({ length: 4000 }, (_, k) => {
      noise = phi * noise + Math.sqrt(1 - phi * phi) * 5 * normal();
      const moving = k < 400 || k >= 1000;
      return 8200 + noise + (moving ? 3000 * Math.sin(k / 20) : 0);
    });
  }

  test('is found at the start, inside the quiet seconds, and its mean lies within its uncertainty', () => {
    let within = 0;
    for (let seed = 0; seed < 40; seed++) {
      const proposal = proposeZero(trial(seed), grid, 'start', search);
      if (!proposal.ok) throw new Error(proposal.error.says);
      expect(proposal.value.firstSample).toBeGreaterThanOrEqual(390);
      expect(proposal.value.lastSample).toBeLessThan(1010);
      expect(proposal.value.count).toBeGreaterThanOrEqual(200);
      if (Math.abs(proposal.value.mean - 8200) < 3 * proposal.value.meanU) within++;
    }
    expect(within).toBeGreaterThanOrEqual(37);
  });

  test('correlated noise gives a larger uncertainty of the mean than SD/√n', () => {
    const ratios = Array.from({ length: 20 }, (_, seed) => {
      const proposal = proposeZero(trial(seed, 0.95), grid, 'start', search);
      if (!proposal.ok) throw new Error(proposal.error.says);
      return proposal.value.meanU / (proposal.value.sd / Math.sqrt(proposal.value.count));
    });
    // Theory for a first-order process: √((1 + φ)/(1 − φ)) = 6.2 (Priestley, Spectral Analysis and Time Series, from memory).
    const typical = ratios.toSorted((a, b) => a - b)[10]!;
    expect(typical).toBeGreaterThan(3);
    expect(typical).toBeLessThan(9);
  });

  test('is refused where nothing is quiet, the trace is too short, or every sample is missing', () => {
    const code = (samples: Float64Array, where: 'start' | 'end') => {
      const outcome = proposeZero(samples, grid, where, search);
      return outcome.ok ? null : outcome.error.code;
    };
    expect(code(trial(1), 'end')).toBe('nothing_quiet');
    expect(code(trial(1).slice(0, 150), 'start')).toBe('too_short');
    expect(code(new Float64Array(1000).fill(NaN), 'start')).toBe('nothing_quiet');
    expect(code(trial(1).reverse(), 'end')).toBeNull();
  });

  test('a record that is still throughout is taken whole', () => {
    const proposal = proposeZero(new Float64Array(1000).fill(8200), grid, 'end', search);
    expect(proposal).toMatchObject({ ok: true, value: { mean: 8200, sd: 0, meanU: 0, where: 'end' } });
  });
});
