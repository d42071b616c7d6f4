/** Writes a release of a lab folder out, and then the most memory that this program had, MB. */
import { openStore } from '../../../../main/store/store.ts';
import { exportRelease } from '../../../../main/lab/findings/exportrelease.ts';

const [home, name, out] = process.argv.slice(2) as [string, string, string];
const opened = openStore(home);
if (!opened.ok) throw new Error(opened.error.says);
const session = { store: opened.value, version: '1.2.3', sampleFolder: null };
const wish = {
  samples: true,
  parquet: false,
  curves: false,
  matlab: false,
  edf: false,
  coarseBirthYear: false,
  notes: false,
};
const progress = {
  signal: new AbortController().signal,
  total: () => undefined,
  step: () => undefined,
  share: () => undefined,
};
const outcome = await exportRelease(session, { name, out, wish, replace: false }, progress);
opened.value.close();
if (outcome.kind !== 'written') throw new Error(JSON.stringify(outcome));
process.stdout.write(String(process.resourceUsage().maxRSS / 1024));
