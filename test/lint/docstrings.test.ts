/** The docstring rule, proven: what it asks of core fails the lint where it is missing, and passes where it is there. */
import { Linter } from 'eslint';
import typescript from 'typescript-eslint';
import { expect, it } from 'vitest';
import { docstrings } from './docstrings.mjs';

function lint(code: string): string {
  const config = {
    files: ['**/*.ts'],
    languageOptions: { parser: typescript.parser },
    plugins: { lanebench: { rules: { docstrings } } },
    rules: { 'lanebench/docstrings': 'error' },
  } as unknown as Linter.Config;
  const said = new Linter({ cwd: process.cwd() }).verify(code, config, 'core/base/x.ts');
  return said.map(({ message }) => message).join(' ');
}

it.each([
  ['export function f(): string { return ""; }', 'f has no docstring'],
  ['export const f = (): string => "";', 'f has no docstring'],
  ['// The force.\nexport const f = (): string => "";', 'f has no docstring'],
  ['/** The force. */\nexport function f() { return 1; }', 'f does not write down the type'],
  [
    '/** The force (JCGM 100). */\nexport function f(): number { return 1; }',
    'f returns numbers: say in which unit',
  ],
  [
    "/** The camera's peak, see x.s (JCGM 100). */\nexport function f(): number { return 1; }",
    'f returns numbers: say in which unit',
  ],
  [
    '/** The force, N. */\nexport function f(): number | null { return 1; }',
    'f returns numbers: name their source',
  ],
  ['/** The force, N. */\nexport const f = (): Float64Array => x;', 'f returns numbers: name their source'],
  [
    'import x from "y";\n/** Forces (JCGM 100). */\nconst y = 1;\n/** The force, N. */\nexport function f(): number { return y; }',
    'f returns numbers: name their source',
  ],
])('%s', (code, fault) => expect(lint(code)).toContain(fault));

it.each([
  'function f() { return 1; }',
  '/** A sentence of the force. */\nexport function f(): string { return ""; }',
  '/** The force, N (JCGM 100 5.1.2). */\nexport function f(): number { return 1; }',
  '/** The force in N; our own definition. */\nexport const f = (): Measured => x;',
  '/** Forces (formats.md section 2). */\n/** The force, N. */\nexport function f(): number { return 1; }',
  '/** How many strokes there are. */\nexport function f(): number { return 1; }',
  '/** A ratio, dimensionless (Winter, 4th ed.). */\nexport function f(): number { return 1; }',
  '/** Reads a code. */\nexport const f: CellReader<string> = (text) => text;',
])('%s', (code) => expect(lint(code)).toBe(''));
