/** The rule against lists spread into calls, proven: what may be long fails the lint, what is written down passes. */
import { Linter } from 'eslint';
import typescript from 'typescript-eslint';
import { expect, it } from 'vitest';
import { spread } from './spread.mjs';

function faults(code: string): number {
  const config = {
    files: ['**/*.ts'],
    languageOptions: { parser: typescript.parser },
    plugins: { lanebench: { rules: { spread } } },
    rules: { 'lanebench/spread': 'error' },
  } as unknown as Linter.Config;
  return new Linter().verify(code, config, 'a.ts').length;
}

it.each([
  'list.push(...more);',
  'Math.max(0, ...values);',
  'Math.min(...values.map((value) => value.raw));',
  'new Set(...lists);',
  'function f(given: number[]) { return Math.max(...given); }',
  'String.fromCharCode(...bytes);',
])('fails: %s', (code) => expect(faults(code)).toBe(1));

it.each([
  'f(...[1, 2]);',
  'oneOf(...CONSENTS);',
  'fields(...EVENTS.map((event) => [event]));',
  'function f(...given: number[]) { return g(...given); }',
  'const list = [...more, ...others];',
  'const both = { ...one, ...other };',
  'new Set([...one, ...other]);',
])('passes: %s', (code) => expect(faults(code)).toBe(0));
