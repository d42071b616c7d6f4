/** Entry of the desktop window's process. Built into out/main, which lies as deep below the root as this file. */
import { homedir } from 'node:os';
import { join } from 'node:path';
import { defaultLabFolder } from '../lab/home.ts';
import { openLab } from '../lab/lab.ts';
import { VERSION } from '../lab/kept/version.ts';
import { runShell } from './shell.ts';

void runShell({
  root: join(import.meta.dirname, '..', '..'),
  home: defaultLabFolder(process.env, process.platform, homedir()),
  version: VERSION,
  sample: process.argv.includes('--sample'),
  openLab,
});
