/**
 * Starts a program of this folder, or says why this Node cannot. Plain JavaScript, so that a Node too old to read
 * TypeScript can still say it.
 */
const OLDEST = 24;

if (Number(process.versions.node.split('.')[0]) < OLDEST) {
  console.error(
    `Lanebench needs Node ${OLDEST} or newer; this is Node ${process.versions.node}. ` +
      `On Linux "npm ci" brings it along for "npm start"; elsewhere install Node ${OLDEST} and try again.`,
  );
  process.exitCode = 1;
} else {
  const [program] = process.argv.splice(2, 1);
  const name = /^cli\/(\w+)$/.exec(program)?.[1];
  const ready = name === undefined ? null : await readyProgram(name);
  await import(ready ?? new URL(`${program}.ts`, import.meta.url).href);
}

/** Address of a program that was bundled before, or is now; null where only its sources can run. */
async function readyProgram(name) {
  const { enableCompileCache } = await import('node:module');
  const { dirname, join } = await import('node:path');
  const { fileURLToPath, pathToFileURL } = await import('node:url');
  const root = fileURLToPath(new URL('..', import.meta.url));
  const { bundled } = await import('./bundle.mjs');
  const file = bundled(root, name);
  if (file === null) return null;
  enableCompileCache(join(dirname(file), 'compiled'));
  return pathToFileURL(file).href;
}
