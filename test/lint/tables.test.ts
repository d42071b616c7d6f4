/** One component draws every table, so that heads, units and numbers look alike everywhere. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const renderer = fileURLToPath(new URL('../../renderer', import.meta.url));
const TABLE = join('components', 'Table.svelte');

it('no other component has a table or a rule for columns of numbers of its own', () => {
  const components = readdirSync(renderer, { recursive: true, encoding: 'utf8' }).filter(
    (name) => name.endsWith('.svelte') && name !== TABLE,
  );
  expect(components.length).toBeGreaterThan(100);
  const own = components.filter((name) =>
    /<table\b|\.number(,[^{]*)? \{[^}]*text-align/.test(readFileSync(join(renderer, name), 'utf8')),
  );
  expect(own).toEqual([]);
});
