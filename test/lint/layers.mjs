/**
 * The layer rule: arrows point one way. renderer → core ← main; inside main: desktop, loopback, cli → lab → store,
 * files. A file's layer is derived from its path, the layer of an import from where it leads. Inside a layer that has
 * rooms, the arrows between rooms point down as well (rooms.mjs).
 */
import path from 'node:path';
import { roomFault } from './rooms.mjs';

/** What each layer may import: other layers, and packages by name (a trailing slash stands for a scope). */
const LAYERS = {
  core: { layers: ['core'], packages: ['zod', '@stdlib/', 'jstat'] },
  renderer: { layers: ['renderer', 'core'], packages: ['svelte', 'echarts', 'mediabunny'] },
  'main/store': { layers: ['main/store', 'core'], packages: ['node:', 'better-sqlite3'] },
  'main/files': {
    layers: ['main/files', 'core'],
    packages: ['node:', 'papaparse', 'mediabunny', 'hyparquet', 'hyparquet-writer'],
  },
  'main/wire': { layers: ['main/wire', 'core'], packages: ['node:', 'serialport'] },
  'main/lab': {
    layers: ['main/lab', 'main/store', 'main/files', 'main/wire', 'core', 'package.json'],
    packages: ['node:', 'zod'],
  },
  // The command line borrows the browser that prints PDF.
  'main/cli': { layers: ['main/cli', 'main/lab', 'main/loopback', 'core'], packages: ['node:'] },
  'main/loopback': { layers: ['main/loopback', 'main/lab', 'core'], packages: ['node:'] },
  'main/desktop': { layers: ['main/desktop', 'main/lab', 'core'], packages: ['node:', 'electron', 'zod'] },
  'main/start': { layers: ['main/start', 'main/loopback', 'main/lab', 'core'], packages: ['node:'] },
};

/** The layer of a path below the project's root; undefined for what stands outside the house (tests, scripts). */
function layerOf(relative) {
  const parts = relative.split('/');
  if (parts[0] !== 'main') return parts[0];
  return parts.length === 2 ? `main/${parts[1].replace(/\.ts$/, '')}` : `main/${parts[1]}`;
}

const below = (root, file) => path.relative(root, file).split(path.sep).join('/');

/** Why an import is forbidden; null where it is allowed. */
function fault(root, file, specifier) {
  const here = below(root, file);
  const from = layerOf(here);
  const rule = LAYERS[from];
  if (rule === undefined) return null;
  if (specifier.startsWith('.')) {
    const there = below(root, path.resolve(path.dirname(file), specifier));
    const to = layerOf(there);
    return rule.layers.includes(to) ? roomFault(here, there) : `${from} must not import ${to}`;
  }
  const allowed = rule.packages.some((name) =>
    name.endsWith(':') || name.endsWith('/')
      ? specifier.startsWith(name)
      : specifier === name || specifier.startsWith(`${name}/`),
  );
  return allowed ? null : `${from} must not import "${specifier}"`;
}

export const layers = {
  meta: { type: 'problem', schema: [], messages: { forbidden: '{{ says }} (see DEVELOPERS.md, the map).' } },
  create(context) {
    const check = (source) => {
      if (typeof source?.value !== 'string') return;
      const says = fault(context.cwd, context.filename, source.value);
      if (says !== null) context.report({ node: source, messageId: 'forbidden', data: { says } });
    };
    return {
      ImportDeclaration: ({ source }) => check(source),
      ExportNamedDeclaration: ({ source }) => check(source),
      ExportAllDeclaration: ({ source }) => check(source),
      ImportExpression: ({ source }) => check(source),
      TSImportType: ({ source }) => check(source),
    };
  },
};
