/**
 * A testing day on deck: what comes out of it is what the command line makes of the same files in a day folder written
 * by hand. The files are the sample day's (invented); that the numbers are right is checked elsewhere.
 */
import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { dayTableText } from '../../../../core/dataset/dayfolder.ts';
import { processHere, SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { benchLab } from '../benchlab.ts';
import { beginDay, prepareDay, SIX, swim } from './deckday.ts';

const SECTIONS: Readonly<Record<string, readonly [number, number]>> = {
  'P01-1': [7.643, 13.6831],
  'P02-1': [7.8076, 13.9877],
  'P03-1': [7.8943, 14.1344],
  'P04-1': [7.4346, 13.2403],
};

/** Zero, a known pressure in kPa and what it reads, at an end of the day. */
const READ = [
  ['S-01', 'start', 8213, 3, 19203],
  ['S-01', 'end', 8220, 3, 23230],
  ['S-02', 'start', 8676, 3, 19440],
] as const;

/** The zero of an end stands in checks.csv as a pressure of 0, before what was put on. */
function checkLines([sensor, when, zero, applied, raw]: (typeof READ)[number]): readonly string[] {
  return [`${sensor},${when},0,kPa,${zero}`, `${sensor},${when},${applied},kPa,${raw}`];
}

describe('a testing day on deck', () => {
  it('gives the dataset that the command line gives for the same files', async () => {
    const place = await tempFolder();
    const lab = await benchLab();
    await lab.bring(SAMPLE);
    const day = await beginDay(lab, place);
    await prepareDay(day);
    await lab.ask('deck.watch', { day: day.id, path: day.folder });
    for (const code of SIX.slice(0, 4)) {
      await swim(day, `${code}-1`);
      day.drop(`traces/${code}-1.csv`);
      day.drop(`video/${code === 'P01' ? 'P01-1-A' : `${code}-1`}.mp4`);
    }
    const arrived = await day.until(
      (view) => view.files.filter(({ state }) => state === 'placed').length === 8,
    );
    expect(
      arrived.trials.slice(0, 4).map(({ trial, trace, films }) => [trial, trace !== null, films.length]),
    ).toEqual(SIX.slice(0, 4).map((code) => [`${code}-1`, true, 1]));
    expect(arrived.trials.slice(0, 4).map(({ report }) => report?.verdict)).not.toContain(undefined);

    await day.act({
      act: 'sections.set',
      rows: Object.entries(SECTIONS).map(([trial, [startS, endS]]) => ({
        trial,
        section: { startS, endS, method: 'video', uS: 0.0058 },
      })),
    });
    await day.act({ act: 'trial.answer', trial: 'P01-1', what: 'keep', reason: '' });
    await day.act({ act: 'trial.answer', trial: 'P02-1', what: 'again', reason: 'late start' });
    // Each hand of P03 wore the other's sensor; P04 withdrew.
    await day.act({ act: 'trial.hands', trial: 'P03-1', swapped: true });
    await day.act({ act: 'swimmer.withdraw', participant: 'P04' });

    // The left sensor holds at the start; at the end it reads 3 kPa as 4.1 kPa, beyond the limit of 0.3 kPa.
    for (const [sensor, when, zero, applied, raw] of READ) {
      await day.act({ act: 'day.zero', sensor, when, raw: zero });
      await day.act({ act: 'day.pressure', sensor, when, appliedKpa: applied, raw });
    }
    const checks = (await day.view()).knownPressures;
    expect(checks.map(({ sensor, verdict }) => [sensor, verdict])).toEqual([
      ['S-01', 'look'],
      ['S-02', 'missing'],
    ]);

    const exported = join(place, 'exported');
    await lab.ask('places.allow', { path: place });
    await lab.ask('days.export', { day: day.id, path: exported, films: 'all' });
    const ofApp = join(place, 'of-app');
    expect((await processHere(exported, ofApp)).status).toBe(0);

    // The same day folder, written by hand.
    const byHand = join(place, 'by-hand');
    mkdirSync(join(byHand, 'traces'), { recursive: true });
    mkdirSync(join(byHand, 'video'));
    const view = await day.view();
    for (const code of ['P01', 'P02', 'P03']) {
      cpSync(join(SAMPLE, `traces/${code}-1.csv`), join(byHand, `traces/${code}-1.csv`));
      cpSync(
        join(SAMPLE, `video/${code === 'P01' ? 'P01-1-A' : `${code}-1`}.mp4`),
        join(byHand, `video/${code}-1-A.mp4`),
      );
    }
    writeFileSync(join(byHand, 'day.json'), readFileSync(join(exported, 'day.json')));
    const blank = { timing_method: 'video' as const, timing_u_s: 0.0058 };
    const row = (code: string, rest: object) => ({
      trial: `${code}-1`,
      participant: code,
      attempt: 1,
      condition: null,
      trace: `traces/${code}-1.csv`,
      video: `video/${code}-1-A.mp4`,
      left_sensor: null,
      right_sensor: null,
      left_column: null,
      right_column: null,
      section_start_s: SECTIONS[`${code}-1`]![0],
      section_end_s: SECTIONS[`${code}-1`]![1],
      ...blank,
      status: 'recorded' as const,
      exclusion_reason: null,
      ...rest,
    });
    writeFileSync(
      join(byHand, 'trials.csv'),
      dayTableText('trials', [
        row('P01', { status: 'accepted' }),
        row('P02', { status: 'excluded', exclusion_reason: 'swum again: late start' }),
        row('P03', { left_column: 'R', right_column: 'L', left_sensor: 'S-02', right_sensor: 'S-01' }),
      ]),
    );
    writeFileSync(
      join(byHand, 'roster.csv'),
      [
        'participant,sex,birth_year,height_cm,mass_kg,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,consent,film_consent,film_sharing_consent',
        ...SIX.map(
          (code) =>
            `${code},female,2003,172,63,142,144,2,${code === 'P04' ? 'withdrawn' : 'given'},given,withheld`,
        ),
        '',
      ].join('\n'),
    );
    writeFileSync(
      join(byHand, 'calibration.csv'),
      readFileSync(join(SAMPLE, 'calibration.csv'), 'utf8')
        .split('\n')
        .filter((line) => /^(sensor|S-01|S-02)/.test(line))
        .join('\n'),
    );
    writeFileSync(
      join(byHand, 'checks.csv'),
      ['sensor,when,applied,applied_unit,raw', ...READ.flatMap(checkLines), ''].join('\n'),
    );
    writeFileSync(
      join(byHand, 'zeros.csv'),
      [
        'sensor,trial,when,raw',
        ...READ.map(([sensor, when, zero]) => `${sensor},,${when === 'start' ? 'before' : 'after'},${zero}`),
        '',
      ].join('\n'),
    );
    const ofHand = join(place, 'of-hand');
    expect((await processHere(byHand, ofHand)).status).toBe(0);
    for (const table of ['trials.csv', 'strokes.csv', 'participants.csv', 'calibrations.csv'])
      expect(readFileSync(join(ofApp, table), 'utf8')).toBe(readFileSync(join(ofHand, table), 'utf8'));

    const calibrations = readFileSync(join(ofApp, 'calibrations.csv'), 'utf8').trim().split('\n');
    const cell = (line: string, column: string) =>
      line.split(',')[calibrations[0]!.split(',').indexOf(column)]!;
    // numpy.polyfit on calibration.csv: 3651.457 raw per kPa; (raw − zero of that end)/3651.457 − 3 kPa.
    expect(Number(cell(calibrations[1]!, 'check_start_kpa'))).toBeCloseTo((19203 - 8213) / 3651.45714 - 3, 6);
    expect(Number(cell(calibrations[1]!, 'check_end_kpa'))).toBeCloseTo((23230 - 8220) / 3651.45714 - 3, 6);
    expect(cell(calibrations[2]!, 'check_end_kpa')).toBe('');
    const text = readFileSync(join(ofApp, 'trials.csv'), 'utf8').trim().split('\n');
    expect(text.slice(1).map((line) => line.includes('sensor_check_failed'))).toEqual([true, true, true]);
    expect(text.slice(1).every((line) => line.includes('zero_from_day'))).toBe(true);

    // And the numbers on the screen are those of the dataset.
    const shown = await lab.ask('days.get', { day: day.id });
    expect(shown.trials.map(({ trial }) => trial)).toEqual(['P01-1', 'P02-1', 'P03-1']);
    const dataset = readFileSync(join(ofApp, 'trials.csv'), 'utf8').split('\n');
    const at = dataset[0]!.split(',').indexOf('velocity_m_s');
    expect(shown.trials.map(({ result }) => String(result.velocity?.value))).toEqual(
      dataset.slice(1, 4).map((line) => line.split(',')[at]),
    );
    expect(JSON.stringify(view)).not.toContain('P04-1');
  });
});
