/**
 * Writes or recovers a dataset folder and kills itself before a given step on the file system. Run as a program of its
 * own: OUT, write or recover, the number of the step, and clean or torn (a write that stops when the file has been
 * made and nothing is in it, a removal that stops after one entry). Prints the number of steps where it is not killed.
 */
import fsp from 'node:fs/promises';
import { syncBuiltinESMExports } from 'node:module';
import { join } from 'node:path';

const [out, task, step, how] = process.argv.slice(2) as [string, string, string, string];
const STEPS = ['mkdir', 'open', 'rename', 'rm', 'rmdir', 'writeFile'] as const;
type Step = (...args: unknown[]) => Promise<unknown>;
const real = Object.fromEntries(STEPS.map((name) => [name, fsp[name]])) as unknown as Record<
  (typeof STEPS)[number],
  Step
>;
let count = 0;

async function tear(name: string, path: string): Promise<void> {
  if (name === 'writeFile') await real.writeFile(path, '');
  if (name !== 'rm') return;
  const [first] = await fsp.readdir(path).catch(() => []);
  if (first !== undefined) await real.rm(join(path, first), { recursive: true });
}

for (const name of STEPS) {
  const counted: Step = async (...args) => {
    count++;
    if (count === Number(step)) {
      if (how === 'torn') await tear(name, String(args[0]));
      process.kill(process.pid, 'SIGKILL');
    }
    return real[name](...args);
  };
  Object.assign(fsp, { [name]: counted });
}
syncBuiltinESMExports();

const { recover, writeFolder } = await import('../../../main/files/outfolder.ts');
if (task === 'recover') await recover(out);
else
  await writeFolder(
    out,
    new Map([
      ['a.csv', 'new a'],
      ['b.json', 'new b'],
    ]),
    true,
  );
process.stdout.write(String(count));
