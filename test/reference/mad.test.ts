/**
 * The median absolute deviation against a published worked example and against SciPy.
 * - Leys, Ley, Klein, Bernard & Licata 2013, J Exp Soc Psychol 49:764–766: of 1, 3, 3, 6, 8, 10, 10, 1000 the median is
 *   7, and the MAD 3.5 × 1.4826 = 5.1891 (from memory).
 * - scipy.stats.median_abs_deviation(x, scale="normal").
 */
import { spawnSync } from 'node:child_process';
import { expect, it } from 'vitest';
import { robust } from '../../core/findings/clean/mad.ts';
import { uniform } from './random.ts';

it('is the worked example of Leys et al. 2013', () => {
  const { median, mad } = robust([1, 3, 3, 6, 8, 10, 10, 1000])!;
  expect(median).toBe(7);
  expect(mad).toBeCloseTo(5.1891, 4);
});

it('is SciPy’s', () => {
  const next = uniform(20260314);
  const lists = [1, 2, 3, 5, 8, 40, 501].map((length) => Array.from({ length }, () => 10 * next() - 3));
  const script =
    'import json,sys\nfrom scipy.stats import median_abs_deviation as mad\nprint(json.dumps([float(mad(x, scale="normal")) for x in json.load(sys.stdin)]))';
  const run = spawnSync('/usr/bin/python3', ['-c', script], {
    input: JSON.stringify(lists),
    encoding: 'utf8',
  });
  expect(run.stderr).toBe('');
  const theirs = JSON.parse(run.stdout) as number[];
  lists.forEach((list, k) => expect(robust(list)!.mad).toBeCloseTo(theirs[k]!, 12));
});

it('is nothing of no values', () => {
  expect(robust([])).toBeNull();
});
