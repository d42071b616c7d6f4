/** Circles of files: which files of core, main and renderer import one another, types included. `npm run check` runs it. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, posix, sep } from 'node:path';
import ts from 'typescript';

/** A file, and the files that it imports. */
export type Graph = ReadonlyMap<string, readonly string[]>;

/** The paths, relative to `path`, that a file names in imports and exports of every form; a component's are in its scripts. */
export function importsOf(path: string, text: string): string[] {
  const scripts = path.endsWith('.svelte')
    ? [...text.matchAll(/<script[^>]*>(.*?)<\/script>/gs)].map(([, script]) => script!).join('\n')
    : text;
  return ts
    .preProcessFile(scripts, true, true)
    .importedFiles.map(({ fileName }) => fileName)
    .filter((name) => name.startsWith('.'))
    .map((name) => posix.normalize(posix.join(posix.dirname(path), name)));
}

/** The graph of the files of some folders below `root`; imports that lead elsewhere are left out. */
export function graphOf(root: string, folders: readonly string[]): Graph {
  const files = folders.flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
      .map((name) => posix.join(folder, name.split(sep).join('/')))
      .filter((name) => /\.(ts|svelte|mjs)$/.test(name)),
  );
  const known = new Set(files);
  return new Map(
    files.map((file) => [
      file,
      importsOf(file, readFileSync(join(root, file), 'utf8')).filter((to) => known.has(to)),
    ]),
  );
}

/** The circles of a graph: each a set of files in which every one leads to every other (strongly connected components). */
export function circlesOf(graph: Graph): string[][] {
  const found: string[][] = [];
  const order = new Map<string, number>();
  const lowest = new Map<string, number>();
  const open: string[] = [];
  const visit = (file: string): void => {
    const own = order.size;
    order.set(file, own);
    lowest.set(file, own);
    open.push(file);
    for (const to of graph.get(file) ?? []) {
      if (!order.has(to)) visit(to);
      if (open.includes(to)) lowest.set(file, Math.min(lowest.get(file)!, lowest.get(to)!));
    }
    if (lowest.get(file) !== own) return;
    const circle = open.splice(open.indexOf(file));
    if (circle.length > 1 || graph.get(file)!.includes(file)) found.push(circle);
  };
  for (const file of graph.keys()) if (!order.has(file)) visit(file);
  return found;
}

if (import.meta.main) {
  const root = dirname(dirname(import.meta.dirname));
  if (!existsSync(join(root, 'core'))) throw new Error(`There is no core/ in ${root}.`);
  const circles = circlesOf(graphOf(root, ['core', 'main', 'renderer', 'test']));
  for (const circle of circles) console.log(`These files import one another: ${circle.join(', ')}.`);
  process.exitCode = circles.length === 0 ? 0 : 1;
}
