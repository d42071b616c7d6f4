/** core is the same wherever it runs: it imports nothing but itself, zod, @stdlib and jstat, and asks no clock, chance or host. */
import { readFileSync, readdirSync } from 'node:fs';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';

const folder = new URL('../../core/', import.meta.url);
const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
  name.endsWith('.ts'),
);

const IMPURE = new Set([
  'Date',
  'Intl',
  'process',
  'window',
  'document',
  'globalThis',
  'fetch',
  'console',
  'require',
  'performance',
  'crypto',
  'navigator',
  'localStorage',
  'setTimeout',
  'setInterval',
  'Buffer',
]);
/** Methods whose result depends on the machine's locale or time zone. */
const LOCAL = /^(toLocale\w*|localeCompare)$/;

/** Every module a file names, in imports, exports, types and calls. */
function importsOf(source: ts.SourceFile): string[] {
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    if ((ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) && node.moduleSpecifier !== undefined)
      found.push((node.moduleSpecifier as ts.StringLiteral).text);
    if (ts.isImportTypeNode(node)) found.push(node.argument.getText(source).slice(1, -1));
    if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword)
      found.push(node.arguments[0]!.getText(source).slice(1, -1));
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

/** Names of the host, the clock, chance or the locale that a file uses, with their lines. */
function impuritiesOf(source: ts.SourceFile): string[] {
  const found: string[] = [];
  const note = (node: ts.Node) =>
    found.push(
      `${node.getText(source)}, line ${source.getLineAndCharacterOfPosition(node.getStart(source)).line + 1}`,
    );
  const visit = (node: ts.Node): void => {
    if (ts.isPropertyAccessExpression(node)) {
      if (node.getText(source) === 'Math.random' || LOCAL.test(node.name.text)) note(node);
      visit(node.expression);
      return;
    }
    if (ts.isPropertyAssignment(node) || ts.isPropertySignature(node) || ts.isMethodSignature(node)) {
      ts.forEachChild(node, (child) => (child === node.name ? undefined : visit(child)));
      return;
    }
    if (ts.isIdentifier(node) && IMPURE.has(node.text)) note(node);
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

const parse = (text: string) => ts.createSourceFile('file.ts', text, ts.ScriptTarget.Latest);

test('there are files to look at', () => expect(files.length).toBeGreaterThan(20));

describe.each(files)('core/%s', (file) => {
  const source = parse(readFileSync(new URL(file, folder), 'utf8'));

  test('imports only core, zod, @stdlib and jstat', () => {
    const foreign = importsOf(source).filter(
      (name) =>
        !/^(?:\.|\.\.(?:\/\.\.)*)\/(?:[\w-]+\/)*[\w-]+\.ts$/.test(name) &&
        !['zod', 'jstat'].includes(name) &&
        !name.startsWith('@stdlib/'),
    );
    expect(foreign).toEqual([]);
  });

  test('uses no clock, chance, host, network or locale', () => expect(impuritiesOf(source)).toEqual([]));
});

describe('this test sees what it forbids', () => {
  test.each([
    'new Date()',
    'Math.random()',
    'process.env',
    'fetch("x")',
    'a.toLocaleString()',
    'console.log(1)',
  ])('%s', (text) => expect(impuritiesOf(parse(text))).toHaveLength(1));

  test('imports of every form', () => {
    const text = `import a from 'node:fs'; export * from 'b'; import('c'); type D = import('d').D;`;
    expect(importsOf(parse(text))).toEqual(['node:fs', 'b', 'c', 'd']);
  });

  test('and lets a field of the same name pass', () =>
    expect(impuritiesOf(parse('const x = { date: 1, process: 2 }; x.process;'))).toEqual([]));
});
