/** A day exported with its decisions: `lanebench process` reads it to the numbers of the app. */
import { existsSync, readFileSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { EVENTS } from '../../../../core/stroke/stroke.ts';
import type { TrialView } from '../../../../core/contract/views.ts';
import { viewDay } from '../../../../main/lab/days/dayview.ts';
import { exportDay } from '../../../../main/lab/days/exportday.ts';
import { allowPlace, forbidPlace } from '../../../../main/lab/kept/places.ts';
import { keepRule } from '../../../../main/lab/bench/ruling.ts';
import { SAMPLE } from '../../cli/run.ts';
import { processFolder, tempFolder, type Processed } from '../../files/day-builder.ts';
import { differences, trialNumbers } from '../datasetcells.ts';
import { decideMuch, viewOf } from '../decidemuch.ts';
import { faultOf, sha256Of, testLab, valueOf } from '../support.ts';

/** Numbers must agree to this part of their size, or to this much near 0. */
const NEAR = 1e-9;

describe('a day with decisions of every kind', () => {
  let out: string;
  let files: number;
  let views: readonly TrialView[];
  let processed: Processed;

  it('is written to a new folder', async () => {
    const lab = await testLab();
    const day = await lab.bring(SAMPLE);
    await decideMuch(lab, day);
    const place = await tempFolder();
    valueOf(await allowPlace(lab.session, place));
    out = join(place, 'out');
    const exported = valueOf(await exportDay(lab.session, day, out, 'all'));
    expect(exported.path).toBe(out);
    ({ files } = exported);
    const { trials } = valueOf(await viewDay(lab.session, day));
    const collected: TrialView[] = [];
    for (const { trial } of trials) collected.push(await viewOf(lab, day, trial));
    views = collected;
    processed = await processFolder(out);
  }, 120_000);

  it('comes out with the numbers of the app, trial by trial and stroke by stroke', () => {
    expect(views).toHaveLength(14);
    const rows = processed.table('strokes');
    const wrong: string[] = [];
    for (const view of views) {
      const { trial } = view;
      wrong.push(...differences(NEAR, trial, processed.trial(trial), trialNumbers(view)));
      for (const { stroke, idcPct, peakForce, meanForce } of view.result.strokes) {
        const row = rows.find(
          (one) =>
            one['trial'] === trial && one['hand'] === stroke.hand && one['stroke'] === String(stroke.number),
        );
        const cells = {
          entry_position: stroke.entryPosition,
          exclusion_reason: stroke.exclusionReason,
          ...Object.fromEntries(EVENTS.map((event) => [`${event}_s`, stroke.marks[event]?.timeS])),
          idc_pct: idcPct,
          peak_force_n: peakForce?.value,
          peak_force_n_u: peakForce?.u,
          mean_force_n: meanForce?.value,
        };
        wrong.push(...differences(NEAR, `${trial} ${stroke.hand} ${stroke.number}`, row ?? {}, cells));
      }
    }
    expect(wrong).toEqual([]);
    expect(rows).toHaveLength(views.reduce((sum, { result }) => sum + result.strokes.length, 0));
  });

  it('has traces and films byte for byte, nobody without consent, and all raters with the reported one first', () => {
    for (const file of ['traces/P01-1.csv', 'video/P01-1-A.mp4', 'video/P01-1-B.webm', 'video/P05-1.webm'])
      expect(sha256Of(join(out, file)), file).toBe(sha256Of(join(SAMPLE, file)));
    // day.json, 9 tables, 13 traces (P03-2 has none) and 15 films (P01-1 has two).
    expect(files).toBe(10 + 13 + 15);
    for (const table of ['roster', 'trials', 'events', 'strokes', 'zeros', 'sync'])
      expect(readFileSync(join(out, `${table}.csv`), 'utf8')).not.toMatch(/P08/);
    expect(existsSync(join(out, 'traces/P08-1.csv'))).toBe(false);
    const events = readFileSync(join(out, 'events.csv'), 'utf8').split('\n');
    const raters = events.filter((line) => line.startsWith('P01-2,')).map((line) => line.split(',')[7]);
    expect([...new Set(raters)]).toEqual(['R2', 'R1']);
    expect(readFileSync(join(out, 'trials.csv'), 'utf8')).toContain('excluded,cap lost');
    expect(processed.refused).toEqual([]);
  });
});

it('is not written over anything, outside the allowed places, nor with calibrations a table cannot carry', async () => {
  const lab = await testLab();
  const day = await lab.bring(SAMPLE);
  const place = await tempFolder();
  const out = join(place, 'out');
  const attempt = (path: string) => exportDay(lab.session, day, path, 'all');
  valueOf(await forbidPlace(lab.session, homedir()));
  expect(faultOf(await attempt(out))).toBe('place_not_allowed');
  valueOf(await allowPlace(lab.session, place));
  expect(faultOf(await attempt(join(place, 'no', 'out')))).toBe('not_found');
  expect(faultOf(await attempt('out'))).toBe('not_found');
  await mkdir(out);
  await writeFile(join(out, 'mine.txt'), 'mine');
  expect(faultOf(await attempt(out))).toBe('bad_input');
  expect(readFileSync(join(out, 'mine.txt'), 'utf8')).toBe('mine');
  valueOf(await allowPlace(lab.session, lab.home));
  expect(faultOf(await attempt(join(lab.home, 'out')))).toBe('bad_input');
  valueOf(await keepRule(lab.session, { day, rule: 'latest', seen: 'day' }));
  const ruled = await attempt(join(place, 'other'));
  expect(faultOf(ruled)).toBe('bad_input');
  expect(existsSync(join(place, 'other'))).toBe(false);
});
