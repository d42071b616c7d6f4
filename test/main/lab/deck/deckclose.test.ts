/** Closing a day: the backup is a lab folder that opens, the dataset is the command line's, the pages name nobody hidden. */
import { existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync } from 'node:fs';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { JobView } from '../../../../core/contract/views.ts';
import { backupDay, datasetOf, lastBackupOf } from '../../../../main/lab/deck/deckclose.ts';
import { allowPlace, forbidPlace } from '../../../../main/lab/kept/places.ts';
import { openStoreReadOnly } from '../../../../main/store/store.ts';
import { processHere, SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { benchLab, type BenchLab } from '../benchlab.ts';
import { beginDay, prepareDay, swim } from './deckday.ts';
import { faultOf, sha256Of, steadily, testLab, valueOf } from '../support.ts';

/** A lab with the sample day and a place that may be written to. */
async function withPlace() {
  const lab = await testLab();
  const day = await lab.bring(SAMPLE);
  const place = await tempFolder();
  valueOf(await forbidPlace(lab.session, homedir()));
  valueOf(await allowPlace(lab.session, place));
  return { lab, session: lab.session, day, place };
}

describe('the backup', () => {
  it('is a whole lab folder in a new one, read back, and noted', async () => {
    const { lab, session, day, place } = await withPlace();
    expect(lastBackupOf(session)).toBeNull();
    const { says, day: none } = valueOf(await backupDay(session, place, steadily()));
    expect(none).toBeNull();
    const [name] = readdirSync(place);
    expect(readdirSync(place)).toHaveLength(1);
    expect(name).toMatch(/^lanebench-backup-\d{4}-\d\d-\d\d-\d{6}$/);
    // The raw files and the database.
    const files = lab.raw().size + 1;
    expect(says).toMatch(new RegExp(`^${files} files, [\\d.]+ MB, read back and equal\\.`));
    expect(says).toContain(name);
    expect(lastBackupOf(session)).toMatchObject({ folder: join(place, name!), isToday: true });
    expect(says.startsWith(lastBackupOf(session)!.says)).toBe(true);
    const opened = openStoreReadOnly(join(place, name!));
    if (!opened.ok) throw new Error(opened.error.says);
    const copy = opened.value;
    expect(copy.dayFiles(day)).toEqual(session.store.dayFiles(day));
    expect((await copy.checkIntegrity()).sound).toBe(true);
    copy.close();
  });

  it('goes beside one of the same second, and over nothing', async () => {
    const { session, place } = await withPlace();
    const both = await Promise.all([1, 2].map(() => backupDay(session, place, steadily())));
    expect(both.map(({ ok }) => ok)).toEqual([true, true]);
    expect(readdirSync(place)).toHaveLength(2);
    expect(readdirSync(place).join()).not.toContain('unfinished');
  });

  it('does not lie in the lab folder, nor outside the allowed places, nor where nothing is', async () => {
    const { lab, session, place } = await withPlace();
    expect(faultOf(await backupDay(session, lab.home, steadily()))).toBe('place_not_allowed');
    valueOf(await allowPlace(session, lab.home));
    expect(faultOf(await backupDay(session, lab.home, steadily()))).toBe('bad_input');
    symlinkSync(join(lab.home, 'raw'), join(place, 'elsewhere'));
    expect(faultOf(await backupDay(session, join(place, 'elsewhere'), steadily()))).toBe('bad_input');
    expect(faultOf(await backupDay(session, join(place, 'nowhere'), steadily()))).toBe('not_found');
    expect(lastBackupOf(session)).toBeNull();
  });

  it('cancelled leaves nothing and is not noted', async () => {
    const { session, place } = await withPlace();
    const stop = new AbortController();
    const making = backupDay(session, place, steadily(undefined, stop));
    stop.abort();
    expect(faultOf(await making)).toBe('cancelled');
    expect(readdirSync(place)).toEqual([]);
    expect(lastBackupOf(session)).toBeNull();
  });
});

describe('the dataset', () => {
  it('is byte for byte what the command line makes of the day folder beside it', async () => {
    const { session, day, place } = await withPlace();
    const { says, day: id } = valueOf(await datasetOf(session, day, place, steadily()));
    expect(id).toBe(day);
    const [code] = readdirSync(place);
    const out = join(place, code!);
    expect(readdirSync(out).sort()).toEqual(['dataset', 'day-folder']);
    expect(says).toContain(`14 trials of ${code} written to ${out}`);
    expect(says).toContain('films of 14 trials that are not known to be allowed to be shown');
    const again = join(await tempFolder(), 'again');
    expect((await processHere(join(out, 'day-folder'), again)).status).toBe(0);
    const files = readdirSync(again);
    expect(readdirSync(join(out, 'dataset')).sort()).toEqual(files.sort());
    for (const file of files)
      expect(sha256Of(join(out, 'dataset', file)), file).toBe(sha256Of(join(again, file)));
    expect(faultOf(await datasetOf(session, day, place, steadily()))).toBe('bad_input');
    expect(readdirSync(out).sort()).toEqual(['dataset', 'day-folder']);
  }, 120_000);

  it('cancelled leaves nothing', async () => {
    const { session, day, place } = await withPlace();
    const stop = new AbortController();
    const at = (steps: number) => {
      if (steps === 3) stop.abort();
    };
    expect(faultOf(await datasetOf(session, day, place, steadily(at, stop)))).toBe('cancelled');
    expect(readdirSync(place)).toEqual([]);
  }, 120_000);

  it('is not written for a day that is not there, nor into the lab folder', async () => {
    const { lab, session, day, place } = await withPlace();
    expect(faultOf(await datasetOf(session, 999, place, steadily()))).toBe('not_found');
    expect(faultOf(await datasetOf(session, day, join(place, 'no'), steadily()))).toBe('not_found');
    valueOf(await allowPlace(session, lab.home));
    expect(faultOf(await datasetOf(session, day, lab.home, steadily()))).toBe('bad_input');
    mkdirSync(join(place, 'harbour'));
    expect(readdirSync(place)).toEqual(['harbour']);
  });
});

async function finished(lab: BenchLab, job: JobView): Promise<JobView> {
  let now = job;
  while (now.state === 'running') {
    await new Promise((resolve) => setTimeout(resolve, 10));
    now = await lab.ask('jobs.get', { job: now.job });
  }
  return now;
}

describe('a day on deck, through the contract', () => {
  it(
    'says what is missing, is backed up, and prints pages without whoever withdrew',
    { timeout: 180_000 },
    async () => {
      const place = await tempFolder();
      const printed: string[] = [];
      const lab = await benchLab((html) => {
        printed.push(html);
        return Promise.resolve(new TextEncoder().encode('%PDF'));
      });
      await lab.bring(SAMPLE);
      const day = await beginDay(lab, place);
      await prepareDay(day);
      await lab.ask('deck.watch', { day: day.id, path: day.folder });
      for (const code of ['P01', 'P02']) {
        await swim(day, `${code}-1`);
        day.drop(`traces/${code}-1.csv`);
      }
      await day.until(({ files }) => files.filter(({ state }) => state === 'placed').length === 2);
      await day.act({
        act: 'note.add',
        kind: 'note',
        trial: 'P02-1',
        participant: null,
        says: 'breathed late',
      });
      await day.act({ act: 'swimmer.withdraw', participant: 'P02' });

      const close = await lab.ask('deck.close', { day: day.id });
      expect(close.counts).toMatchObject({ planned: 10, swum: 1, withdrawn: 1 });
      const said = close.missing.map(({ says }) => says).join('\n');
      expect(said).toContain('P01-1 has no answer');
      expect(said).toContain('P01-1 has no film of camera A');
      expect(said).toContain('P03-1 was not swum');
      expect(said).not.toContain('P02');
      expect(close.lastBackup).toBeNull();

      await lab.ask('places.allow', { path: place });
      const backups = join(place, 'backups');
      mkdirSync(backups);
      const job = await finished(lab, await lab.ask('deck.backup', { day: day.id, path: backups }));
      expect(job.state).toBe('done');
      expect(job.says).toContain('read back and equal');
      expect(readdirSync(backups)).toHaveLength(1);
      const after = await lab.ask('deck.close', { day: day.id });
      expect(after.lastBackup?.says).toContain('read back and equal');
      expect(after.missing.map(({ says }) => says).join()).not.toContain('backup');

      const page = async (name: string) => {
        const found = await lab.lab.resource(`/page/${day.id}/${name}`);
        if (found?.kind !== 'bytes') throw new Error(`There is no ${name}.`);
        return { mime: found.mime, text: new TextDecoder().decode(found.bytes) };
      };
      const log = await page('log.html');
      expect(log.mime).toBe('text/html; charset=utf-8');
      expect(log.text).toContain('P01-1.csv');
      expect(log.text).toContain(sha256Of(join(SAMPLE, 'traces/P01-1.csv')));
      expect(log.text).toContain('A swimmer withdrew; their data is hidden');
      expect(log.text).toMatch(/Made|Order made/);
      expect(log.text).not.toMatch(/P02/);
      expect(log.text).not.toContain('breathed late');
      const sheets = await page('sheets.html');
      expect(sheets.text).toContain('P03-1');
      expect(sheets.text).not.toMatch(/P02-\d/);
      expect(await page('log.pdf')).toEqual({ mime: 'application/pdf', text: '%PDF' });
      expect(printed).toHaveLength(1);
      expect(await lab.lab.resource(`/page/${day.id + 1000}/log.html`)).toBeNull();

      const written = await finished(lab, await lab.ask('days.dataset', { day: day.id, path: backups }));
      expect(written.state).toBe('done');
      expect(written.says).toContain('1 swimmer left out for consent.');
      expect(existsSync(join(backups, 'deck-1', 'dataset', 'trials.csv'))).toBe(true);
      expect(readFileSync(join(backups, 'deck-1', 'dataset', 'trials.csv'), 'utf8')).not.toContain('P02');
    },
  );

  it('has no PDF where the host cannot print', async () => {
    const place = await tempFolder();
    const lab = await benchLab();
    await lab.bring(SAMPLE);
    const day = await beginDay(lab, place);
    expect(await lab.lab.resource(`/page/${day.id}/sheets.pdf`)).toBeNull();
    expect(await lab.lab.resource(`/page/${day.id}/sheets.html`)).not.toBeNull();
  });
});
