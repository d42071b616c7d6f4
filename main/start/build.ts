/** Builds what a window needs, when the build is missing or was made from other sources. */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';

/** Everything the build is made from; comparing contents, as a fresh clone has no meaningful times. */
const SOURCES = ['renderer', 'core', 'main', 'electron.config.ts', 'package.json', 'package-lock.json'];
const PRODUCTS = [
  'out/renderer/index.html',
  'out/main/main.js',
  'out/main/filmworker.js',
  'out/preload/preload.cjs',
];
const STAMP = 'out/built-from.txt';

/** SHA-256 over the names and contents of the sources. */
export function sourceHash(root: string): string {
  const hash = createHash('sha256');
  for (const file of SOURCES.flatMap((name) => filesBelow(join(root, name))).sort()) {
    const content = readFileSync(file);
    hash.update(`${relative(root, file).split(sep).join('/')}\0${content.byteLength}\0`).update(content);
  }
  return hash.digest('hex');
}

function filesBelow(path: string): string[] {
  if (!existsSync(path)) return [];
  if (!statSync(path).isDirectory()) return [path];
  return readdirSync(path).flatMap((name) => filesBelow(join(path, name)));
}

/** True where the build is there and was made by `ensureBuilt` from the sources as they are. */
export function isBuilt(root: string): boolean {
  const stamp = join(root, STAMP);
  return (
    PRODUCTS.every((file) => existsSync(join(root, file))) &&
    existsSync(stamp) &&
    readFileSync(stamp, 'utf8').trim() === sourceHash(root)
  );
}

/** Builds where needed. Null where the build is in order afterwards; else what went wrong and what to do. */
export async function ensureBuilt(root: string, say: (line: string) => void): Promise<string | null> {
  if (isBuilt(root)) return null;
  const builder = join(root, 'node_modules', 'electron-vite', 'bin', 'electron-vite.js');
  if (!existsSync(builder))
    return 'The screens are not built and the builder is missing. Run "npm ci" and start again.';
  say('Building the screens (first start, or the sources have changed) …');
  const startedAt = performance.now();
  const hash = sourceHash(root);
  rmSync(join(root, STAMP), { force: true });
  const { code, output } = await run([builder, 'build', '--config', 'electron.config.ts'], root);
  if (code !== 0) return `The screens could not be built:\n${output}`;
  writeFileSync(join(root, STAMP), `${hash}\n`);
  say(`Built in ${((performance.now() - startedAt) / 1000).toFixed(1)} s.`);
  return null;
}

function run(args: readonly string[], cwd: string): Promise<{ code: number | null; output: string }> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, args, { cwd, stdio: ['ignore', 'pipe', 'pipe'] });
    let output = '';
    for (const stream of [child.stdout, child.stderr]) {
      stream.setEncoding('utf8').on('data', (text: string) => (output += text));
    }
    child.once('error', (error) => resolve({ code: null, output: String(error) }));
    child.once('close', (code) => resolve({ code, output }));
  });
}
