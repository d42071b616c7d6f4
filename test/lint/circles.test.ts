/** No circle of files anywhere, types included; and the check sees the circles that it forbids. */
import { expect, it } from 'vitest';
import { circlesOf, graphOf, importsOf } from './circles.ts';

it('there is none', () => {
  const graph = graphOf(process.cwd(), ['core', 'main', 'renderer', 'test']);
  expect(graph.size).toBeGreaterThan(400);
  expect(graph.get('renderer/shell/App.svelte')).toContain('core/contract/contract.ts');
  expect(circlesOf(graph)).toEqual([]);
});

it.each([
  ['of two', { a: ['b'], b: ['a'] }, [['a', 'b']]],
  ['of a file with itself', { a: ['a'] }, [['a']]],
  ['of three, off the way', { a: ['b'], b: ['c', 'x'], c: ['d'], d: ['b'], x: [] }, [['b', 'c', 'd']]],
  [
    'two apart',
    { a: ['b'], b: ['a', 'c'], c: ['d'], d: ['c'] },
    [
      ['c', 'd'],
      ['a', 'b'],
    ],
  ],
  ['none in a diamond', { a: ['b', 'c'], b: ['d'], c: ['d'], d: [] }, []],
])('a circle %s', (_what, links, circles) => {
  const graph = new Map(Object.entries(links as Record<string, string[]>));
  expect(circlesOf(graph).map((circle) => circle.toSorted())).toEqual(circles);
});

it('imports of every form count, those of components too', () => {
  const code = `
    import a from './a.ts'; import type { B } from '../b.ts'; export * from './c.ts'; export type { D } from './d.ts';
    const e = await import('./e.ts'); type F = import('./f.ts').F; import './g.ts'; import x from 'x';`;
  const named = [
    'core/x/a.ts',
    'core/b.ts',
    'core/x/c.ts',
    'core/x/d.ts',
    'core/x/e.ts',
    'core/x/f.ts',
    'core/x/g.ts',
  ];
  expect(importsOf('core/x/y.ts', code).toSorted()).toEqual(named.toSorted());
  expect(importsOf('core/x/y.svelte', `<script lang="ts">${code}</script><p>from './h.ts'</p>`)).toHaveLength(
    7,
  );
});
