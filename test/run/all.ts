/**
 * Runs every test: checks, unit and reference tests, hosts, browser journeys, benchmarks. Where it is root on Debian
 * it installs what the tests need; elsewhere it says what is missing. The last line is `N passed, N failed`.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runChecks } from './check.ts';

/** Debian packages of the tests, and a file that shows each is there. */
const PACKAGES: readonly (readonly [string, string])[] = [
  ['chromium', '/usr/bin/chromium'],
  ['chromium-headless-shell', '/usr/bin/chromium-headless-shell'],
  ['ffmpeg', '/usr/bin/ffprobe'],
  ['xvfb', '/usr/bin/Xvfb'],
  ['strace', '/usr/bin/strace'],
  ['fonts-dejavu-core', '/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf'],
  ['python3-scipy', '/usr/lib/python3/dist-packages/scipy'],
  ['python3-pandas', '/usr/lib/python3/dist-packages/pandas'],
  ['python3-mne', '/usr/lib/python3/dist-packages/mne'],
  ['r-base-core', '/usr/bin/Rscript'],
  ['socat', '/usr/bin/socat'],
  ['r-cran-nlme', '/usr/lib/R/library/nlme'],
];

function prepare(): void {
  const missing = PACKAGES.filter(([, shows]) => !existsSync(shows)).map(([name]) => name);
  if (missing.length === 0) return;
  const isRootOnDebian = process.getuid?.() === 0 && existsSync('/usr/bin/apt-get');
  if (!isRootOnDebian) {
    console.log(`Not here, so some tests will be skipped or fail: ${missing.join(', ')}.`);
    console.log(`On Debian: apt-get install --no-install-recommends ${missing.join(' ')}`);
    return;
  }
  console.log(`Installing for the tests: ${missing.join(' ')}`);
  const apt = (...args: string[]) =>
    spawnSync('apt-get', args, {
      stdio: ['ignore', 'ignore', 'inherit'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    });
  apt('update');
  apt('install', '-y', '--no-install-recommends', ...missing);
}

interface Count {
  passed: number;
  failed: number;
  skipped: number;
}

function run(title: string, args: readonly string[]): boolean {
  console.log(`\n== ${title}`);
  return spawnSync(process.execPath, args, { stdio: ['ignore', 'inherit', 'inherit'] }).status === 0;
}

function runVitest(count: Count): void {
  const report = join(mkdtempSync(join(tmpdir(), 'lanebench-test-')), 'report.json');
  const args = ['node_modules/vitest/vitest.mjs', 'run', '--config', 'test/vitest.config.ts', '--root', '.'];
  const passed = run('unit, reference, hosts, browser', [
    ...args,
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${report}`,
  ]);
  if (!existsSync(report)) {
    count.failed++;
    return;
  }
  const told = JSON.parse(readFileSync(report, 'utf8')) as {
    numPassedTests: number;
    numFailedTests: number;
    numPendingTests: number;
  };
  count.passed += told.numPassedTests;
  count.failed += told.numFailedTests;
  count.skipped += told.numPendingTests;
  // A file that fails to load runs no test, and so counts none.
  if (!passed && told.numFailedTests === 0) count.failed++;
}

prepare();
const count: Count = { passed: 0, failed: 0, skipped: 0 };
const tally = (passed: boolean) => (passed ? count.passed++ : count.failed++);
console.log('== build');
tally(
  run('build', [
    'node_modules/electron-vite/bin/electron-vite.js',
    'build',
    '--config',
    'electron.config.ts',
  ]),
);
console.log('\n== checks');
for (const { passed } of await runChecks()) tally(passed);
runVitest(count);
tally(run('benchmark: scrubbing', ['test/bench/scrub.ts']));
console.log(`\n${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped`);
process.exitCode = count.failed === 0 ? 0 : 1;
