import js from '@eslint/js';
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import typescript from 'typescript-eslint';
import { docstrings } from './docstrings.mjs';
import { layers } from './layers.mjs';
import { spread } from './spread.mjs';

/** core is the same wherever it runs: no clock, chance, document or network. */
const IMPURE = [
  'Date',
  'process',
  'window',
  'document',
  'fetch',
  'console',
  'setTimeout',
  'performance',
  'navigator',
];

const SQL = {
  selector: 'Literal[value=/^\\s*(SELECT|INSERT INTO|UPDATE|DELETE FROM|CREATE TABLE) /]',
  message: 'SQL stands in main/store only.',
};

/** What may be shown of a person is made by the consent veil alone. */
const VEIL = ['core/day/book.ts', 'core/deck/veil.ts', 'core/deck/board.ts'];
const SHOWN = {
  selector: ':matches(TSAsExpression, TSTypeAssertion) TSTypeReference[typeName.name="Shown"]',
  message: `Only the consent veil (${VEIL.join(', ')}) makes what may be shown.`,
};

export default typescript.config(
  { ignores: ['out/**', 'node_modules/**', 'sample-sessions/harbour-morning/**'] },
  js.configs.recommended,
  ...typescript.configs.strict,
  ...svelte.configs.recommended,
  {
    files: ['**/*.svelte', '**/*.svelte.ts'],
    languageOptions: { parserOptions: { parser: typescript.parser } },
  },
  { languageOptions: { globals: { ...globals.node, ...globals.browser } } },
  {
    plugins: { lanebench: { rules: { layers, spread, docstrings } } },
    rules: {
      'lanebench/layers': 'error',
      'no-undef': 'off',
      'no-warning-comments': ['error', { terms: ['todo', 'fixme', 'xxx'], location: 'start' }],
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      // `!` marks an index or a key that the lines around it have made sure of; `noUncheckedIndexedAccess` asks for it.
      '@typescript-eslint/no-non-null-assertion': 'off',
      eqeqeq: ['error', 'always', { null: 'ignore' }],
    },
  },
  {
    files: ['core/**/*.ts', 'main/**/*.ts', 'renderer/**/*.{ts,svelte}'],
    rules: { 'lanebench/spread': 'error' },
  },
  {
    files: ['core/**/*.ts'],
    rules: { 'lanebench/docstrings': 'error' },
  },
  {
    files: ['core/**/*.ts'],
    rules: {
      'no-restricted-globals': ['error', ...IMPURE],
      'no-restricted-properties': ['error', { object: 'Math', property: 'random' }],
    },
  },
  {
    files: ['core/**/*.ts', 'main/**/*.ts', 'renderer/**/*.{ts,svelte}'],
    rules: { 'no-restricted-syntax': ['error', SQL, SHOWN] },
  },
  { files: ['main/store/**'], rules: { 'no-restricted-syntax': ['error', SHOWN] } },
  { files: VEIL, rules: { 'no-restricted-syntax': ['error', SQL] } },
);
