/** Recordings of the bench and files of a dry run are held against their hashes when they are used (readings invented). */
import { chmodSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { addressOf } from '../../../../core/contract/addresses.ts';
import { benchLab, CARD, draftOf, goodPoints, type BenchLab } from '../benchlab.ts';
import { buildDay, dayJson, tempFolder } from '../../files/day-builder.ts';
import { beginDay, prepareDay } from '../deck/deckday.ts';
import { SAMPLE } from '../../cli/run.ts';

const TEXT = 'time,raw\n0,8000\n0.5,8001\n1,8002\n1.5,8003\n';

const rawPath = (home: string, sha256: string) => join(home, 'raw', sha256.slice(0, 2), sha256.slice(2));

function rawFiles(home: string): string[] {
  return readdirSync(join(home, 'raw'), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ parentPath, name }) => join(parentPath, name));
}

function overwrite(path: string): void {
  chmodSync(path, 0o644);
  writeFileSync(path, readFileSync(path, 'latin1').replace('8001', '8801'), 'latin1');
}

/** A lab with a calibration whose first point was read from a recording. */
async function recordedLab(): Promise<BenchLab & { home: string; file: string; sha256: string }> {
  const [home, folder] = [join(await tempFolder(), 'lab'), await tempFolder()];
  const lab = await benchLab(undefined, home);
  const file = join(folder, 'up.csv');
  writeFileSync(file, TEXT);
  await lab.ask('places.allow', { path: folder });
  await lab.ask('sensors.save', { card: { ...CARD, sensor: 'S-01' }, seen: null });
  const { sha256 } = await lab.ask('bench.record', { path: file, time: { column: 'time', unit: 's' } });
  const [first, ...rest] = goodPoints();
  const source = { kind: 'trace' as const, sha256, file: 'up.csv', startS: 0, endS: 1, sdRaw: 1, count: 3 };
  await lab.ask('bench.draft', {
    sensor: 'S-01',
    draft: draftOf([{ ...first!, source }, ...rest], { sensor: 'S-01' }),
  });
  return { ...lab, home, file, sha256 };
}

describe('a recording that is no longer what it was', () => {
  test('is not read from, and no calibration is kept that rests on it, until it is opened again', async () => {
    const { ask, fault, lab, home, file, sha256 } = await recordedLab();
    const samples = () => lab.resource(addressOf('recording', { sha256, column: 0 }));
    expect(await samples()).not.toBeNull();
    overwrite(rawPath(home, sha256));
    expect(await samples()).toBeNull();
    const refused = await fault('bench.keep', { sensor: 'S-01' });
    expect(refused.says).toMatch(
      /was not kept: it rests on damaged evidence\. The bench’s recording up\.csv is damaged/,
    );
    expect((await ask('bench.get', {})).faults.join()).toMatch(/recording up\.csv is damaged: its content/);
    await ask('bench.record', { path: file, time: { column: 'time', unit: 's' } });
    expect(await samples()).not.toBeNull();
    expect((await ask('bench.get', {})).faults).toEqual([]);
    await ask('bench.keep', { sensor: 'S-01' });
  });

  test('is named on the certificate and beside the trials that use the calibration; nothing is written out of them', async () => {
    const { ask, bring, fault, lab, home, sha256 } = await recordedLab();
    const { id } = await ask('bench.keep', { sensor: 'S-01' });
    // A day long after the calibration, without readings of its own.
    const day = await bring(
      await buildDay({
        'calibration.csv': 'sensor,step,direction,applied,applied_unit,raw\n',
        'day.json': dayJson((json) => (json['date'] = '2099-01-02')),
      }),
    );
    await ask('choice.keep', { day, rule: 'latest', seen: 'day' });
    const trial = (await ask('days.get', { day })).trials[0]!;
    expect(trial.evidence).toEqual([]);
    rmSync(rawPath(home, sha256));
    const page = await lab.resource(addressOf('certificate', { calibration: id, kind: 'html' }));
    const html = page?.kind === 'bytes' ? new TextDecoder().decode(page.bytes) : '';
    expect(html).toContain('Rests on damaged evidence: The bench’s recording up.csv is missing');
    const again = (await ask('days.get', { day })).trials[0]!;
    expect(again.evidence.map(({ says }) => says).join()).toContain(
      'The bench’s recording up.csv is missing',
    );
    const out = await tempFolder();
    await ask('places.allow', { path: out });
    // A day that uses the register is not exported at all; its own calibrations rest on no recording.
    await ask('choice.keep', { day, rule: 'day', seen: 'latest' });
    expect((await ask('days.get', { day })).trials[0]!.evidence).toEqual([]);
    await ask('days.export', { day, path: join(out, 'day'), films: 'none' });
    expect((await fault('bench.keep', { sensor: 'S-01' })).code).toBe('not_found');
  });
});

test(
  'the files of a dry run are not shown when they are no longer what came',
  { timeout: 120_000 },
  async () => {
    const home = join(await tempFolder(), 'lab');
    const lab = await benchLab(undefined, home);
    await lab.bring(SAMPLE);
    const day = await beginDay(lab, await tempFolder());
    await prepareDay(day);
    await lab.ask('deck.watch', { day: day.id, path: day.folder });
    day.drop('traces/P01-1.csv', 'dry-run.csv');
    day.drop('video/P02-1.mp4', 'dry-run.mp4');
    await day.until(({ files }) => files.filter(({ state }) => state === 'placed').length === 2);
    const whole = await lab.ask('deck.dryRun', { day: day.id });
    expect(whole).toMatchObject({ evidence: [], report: { hands: {} } });
    const trace = addressOf('raw', { day: day.id, trial: 'dry-run', hand: 'left' });
    expect(await lab.lab.resource(trace)).not.toBeNull();
    for (const entry of rawFiles(home)) {
      chmodSync(entry, 0o644);
      const bytes = readFileSync(entry);
      bytes[bytes.length >> 1]! ^= 1;
      writeFileSync(entry, bytes);
    }
    const damaged = await lab.ask('deck.dryRun', { day: day.id });
    expect(damaged.report).toBeNull();
    expect(damaged.evidence.map(({ says }) => says).toSorted()).toEqual([
      expect.stringMatching(/^dry-run\.csv is damaged/),
      expect.stringMatching(/^dry-run\.mp4 is damaged/),
    ]);
    expect(await lab.lab.resource(trace)).toBeNull();
    expect(await lab.lab.resource(`/film/${day.id}/dry-run/A`)).toBeNull();
  },
);
