/**
 * The command line as a few files under `out/cli`, so that it starts at once: found where it was made from the sources
 * as they are, made anew where not. Plain JavaScript, and nothing but what finding takes, since every start runs it.
 */
import { spawnSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  readFileSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';

/** What goes into a bundle besides the sources that it names. */
const ALSO = ['package.json', 'package-lock.json', 'cli.config.ts'];
/** A building that has not ended by then was ended from outside, ms. */
const LONGEST_BUILD_MS = 120_000;
/** Bundles that are kept: one that is running may still be loading parts of itself. */
const KEPT = 2;

/**
 * The bundled program of that name; null where there is none and none can be made: the sources then run as they are.
 * @param {string} root folder of the project
 * @param {string} name such as `lanebench`
 * @returns {string | null}
 */
export function bundled(root, name) {
  const home = join(root, 'out', 'cli');
  const place = current(root, home) ?? build(root, home);
  return place === null ? null : join(place, `${name}.js`);
}

/** The folder of a bundle that was made from the sources as they are; null where there is none. */
function current(root, home) {
  try {
    const { folder, files } = JSON.parse(readFileSync(join(home, 'current.json'), 'utf8'));
    for (const [path, changed, bytes] of files) {
      const about = statSync(join(root, path));
      if (about.mtimeMs !== changed || about.size !== bytes) return null;
    }
    return join(home, folder);
  } catch {
    return null;
  }
}

/** Makes a bundle; null where that cannot be done, or where another program is about it. */
function build(root, home) {
  const builder = join(root, 'node_modules', 'vite', 'bin', 'vite.js');
  if (!existsSync(builder)) return null;
  const lock = join(home, 'building');
  try {
    mkdirSync(home, { recursive: true });
    if (existsSync(lock) && Date.now() - statSync(lock).mtimeMs > LONGEST_BUILD_MS)
      rmSync(lock, { recursive: true });
    mkdirSync(lock);
  } catch {
    return null;
  }
  try {
    if (process.stderr.isTTY)
      process.stderr.write('Making the command line ready (first start, or the sources have changed) …\n');
    const started = Date.now();
    const folder = `${started}-${process.pid}`;
    const { status } = spawnSync(
      process.execPath,
      [
        builder,
        'build',
        '--config',
        'cli.config.ts',
        '--configLoader',
        'native',
        '--logLevel',
        'silent',
      ].concat(['--outDir', join(home, folder)]),
      { cwd: root, stdio: 'ignore' },
    );
    if (status !== 0) return null;
    const sources = JSON.parse(readFileSync(join(home, folder, 'sources.json'), 'utf8'));
    const files = [...ALSO, ...sources].map((path) => {
      const { mtimeMs, size } = statSync(join(root, path));
      return [path, mtimeMs, size];
    });
    // What was written while the bundle was being made may have missed it.
    if (files.some(([, changed]) => changed >= started)) return null;
    writeFileSync(join(home, `${folder}.json`), JSON.stringify({ folder, files }));
    renameSync(join(home, `${folder}.json`), join(home, 'current.json'));
    for (const old of olderThan(home, folder)) rmSync(join(home, old), { recursive: true, force: true });
    return join(home, folder);
  } catch {
    return null;
  } finally {
    rmSync(lock, { recursive: true, force: true });
  }
}

/** The folders of bundles that are needed no more. */
function olderThan(home, folder) {
  const bundles = readdirSync(home).filter((name) => /^\d+-\d+$/.test(name) && name !== folder);
  return bundles
    .sort()
    .reverse()
    .slice(KEPT - 1);
}
