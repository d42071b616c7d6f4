/** An export with samples takes memory that does not grow with its size: one day is in memory at a time. */
import { execFileSync } from 'node:child_process';
import { readFileSync, statSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { DATASET_FIELDS } from '../../../../core/dataset/dataset.ts';
import { freezeRelease } from '../../../../main/lab/findings/freeze.ts';
import { NODE } from '../../cli/run.ts';
import { buildDay, tempFolder } from '../../files/day-builder.ts';
import { steadily, testLab, valueOf } from '../support.ts';

const [FEW, MANY] = [6, 24];
const STROKES = 4000;
/** A small heap is collected often, so that what is measured is what is held. */
const HEAP = ['--max-old-space-size=80', '--max-semi-space-size=2'];
const AT = '2026-03-14T12:00:00.000Z';

test('four times the days with samples take no more memory, but for a small part of what is written more', async () => {
  const lab = await testLab();
  const { store } = lab.session;
  const day = await lab.bring(await buildDay());
  valueOf(await freezeRelease(lab.session, { name: 'small', days: null }, steadily()));
  // Days of one content, each with a large table of strokes and large samples.
  const strokes = store.releaseFiles('small', 'days/small-day/strokes.csv')[0]!;
  const [head, row] = readFileSync(store.rawPath(strokes.sha256), 'utf8').split('\n') as [string, string];
  const place = DATASET_FIELDS.strokes.findIndex(({ name }) => name === 'stroke');
  const rows = Array.from({ length: STROKES }, (_, k) =>
    row
      .split(',')
      .with(place, String(k + 1))
      .join(','),
  );
  const content = async (bytes: Uint8Array) => {
    const kept = await store.addRawBytes(bytes);
    if (!kept.ok) throw new Error(kept.error.says);
    return kept.value;
  };
  const large = await content(Buffer.from(`${[head, ...rows].join('\n')}\n`));
  const samples = await content(Buffer.alloc(2_000_000, 'samples'));
  const files = store.dayFiles(day);
  const codes = Array.from({ length: MANY }, (_, k) => `d${String(k).padStart(2, '0')}`);
  for (const code of codes) {
    const recorded = { day: code, date: null, venue: null, source: '/day', files, at: AT, who: 'AB' };
    expect(store.recordDay(recorded).ok).toBe(true);
  }
  const frozen = store.releaseFiles('small', 'days/small-day/');
  const general = store.releaseFiles('small', '').filter(({ path }) => !path.startsWith('days/'));
  for (const count of [FEW, MANY]) {
    const own = codes.slice(0, count);
    const ofDay = (code: string) =>
      frozen.map(({ path, ...kept }) => {
        const end = path.slice('days/small-day/'.length);
        const replaced = end === 'strokes.csv' ? large : end.startsWith('samples/') ? samples : kept;
        return { ...replaced, path: `days/${code}/${end}` };
      });
    const about = {
      days: own.map((code) => ({ day: code, date: null, swimmers: 2, trials: 2 })),
      swimmers: 2,
    };
    const release = { name: `R${count}`, version: '1.2.3', about, at: AT, who: 'AB' };
    expect(store.addRelease({ ...release, files: [...general, ...own.flatMap(ofDay)] }).ok).toBe(true);
  }
  lab.close();
  const folder = await tempFolder();
  const measured: { mb: number; writtenMb: number }[] = [];
  for (const count of [FEW, MANY]) {
    const out = join(folder, `out${count}`);
    const script = join(import.meta.dirname, 'exporting.ts');
    const mb = Number(
      execFileSync(NODE, [...HEAP, script, lab.home, `R${count}`, out], { encoding: 'utf8' }),
    );
    const written = await readdir(out, { recursive: true, withFileTypes: true });
    const bytes = written
      .filter((entry) => entry.isFile())
      .reduce((sum, { parentPath, name }) => sum + statSync(join(parentPath, name)).size, 0);
    measured.push({ mb, writtenMb: bytes / 1e6 });
  }
  const [few, many] = measured as [(typeof measured)[0], (typeof measured)[0]];
  expect(many.writtenMb).toBeGreaterThan(3.5 * few.writtenMb);
  // A part of the growth is allowed, far from all of it: buffers are not taken away at once.
  expect(many.mb - few.mb, JSON.stringify(measured)).toBeLessThan(0.35 * (many.writtenMb - few.writtenMb));
}, 180_000);
