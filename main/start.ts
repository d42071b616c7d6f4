/** Entry of `npm start` and `npm run desktop`. */
import { fileURLToPath } from 'node:url';
import { VERSION } from './lab/kept/version.ts';
import { start } from './start/start.ts';

const ending = new AbortController();
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => ending.abort());

process.exitCode = await start({
  args: process.argv.slice(2),
  environment: process.env,
  root: fileURLToPath(new URL('..', import.meta.url)).replace(/[\\/]$/, ''),
  version: VERSION,
  // Loaded late: the database's binding must not be touched by a Node that cannot carry it.
  openLab: async (options) => (await import('./lab/lab.ts')).openLab(options),
  say: (line) => console.log(line),
  signal: ending.signal,
});
