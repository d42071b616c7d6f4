/**
 * A deck day whose columns were calibrated elsewhere: what is shown while it runs and what is exported is read as
 * formats.md says of `quantity`. 1 psi is 6.894757293168 kPa and 1 lbf 4.4482216152605 N (NIST SP 811, appendix B).
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { processHere } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { benchLab } from '../benchlab.ts';
import { beginDay, SPRINT, swim } from './deckday.ts';
import { swimmer } from '../../../core/deck/build.ts';

const [PSI_KPA, LBF_N] = [6.894757293168, 4.4482216152605];

/** A trace with eight pulses a hand: the left in psi up to 0.6, the right in lbf up to 12. */
function trace(): string {
  const rows = Array.from({ length: 6001 }, (_, k) => {
    const s = k / 500;
    const pulse = (from: number) =>
      Math.max(0, Math.sin((2 * Math.PI * (s - from)) / 1.2)) * (s > 2 && s < 11 ? 1 : 0);
    const noise = 1e-4 * ((k * 7919) % 13);
    return `${s.toFixed(3)},${(0.6 * pulse(0) + noise).toFixed(6)},${(12 * pulse(0.6) + noise).toFixed(6)}`;
  });
  return ['time,L,R', ...rows, ''].join('\n');
}

describe('a deck day of columns calibrated elsewhere', () => {
  it('needs no calibration of ours, is checked on arrival, shown, and exported as the command line reads it', async () => {
    const place = await tempFolder();
    const lab = await benchLab();
    const day = await beginDay(lab, place);
    const { setup } = (await day.view()).plan;
    await day.act({
      act: 'setup',
      setup: {
        ...setup,
        files: {
          ...setup.files,
          leftHolds: { quantity: 'pressure', unit: 'psi', scaleUPct: 1, filter: false },
          rightHolds: { quantity: 'force', unit: 'lbf', scaleUPct: 2, filter: false },
        },
      },
    });
    await day.act({
      act: 'swimmers.add',
      swimmers: [swimmer('P01', { leftHandAreaCm2: 140, rightHandAreaCm2: 144, handAreaUCm2: 2 })],
    });
    for (const item of SPRINT.checklists.before)
      await day.act({ act: 'line.tick', list: 'before', item, initials: 'KL' });
    await day.act({ act: 'order.make', seed: 's' });
    await day.act({ act: 'dry.confirm', initials: 'KL', says: 'Both channels answer.' });
    expect((await day.view()).ready.find(({ what }) => what === 'sensors')).toMatchObject({
      done: true,
      says: expect.stringContaining('both calibrated elsewhere'),
    });
    await swim(day, 'P01-1');
    await lab.ask('deck.watch', { day: day.id, path: day.folder });
    writeFileSync(join(day.folder, 'P01-1.csv'), trace());
    const arrived = await day.until(({ trials }) => trials[0]?.report != null);
    const { report } = await lab.ask('deck.arrival', { day: day.id, trial: 'P01-1' });
    expect(JSON.stringify(report)).not.toContain('no calibration');
    expect(arrived.trials[0]!.trace).not.toBeNull();

    const marks = (['left', 'right'] as const).flatMap((hand, side) =>
      [3.6, 4.8, 6, 7.2, 8.4].flatMap((from, k) =>
        (['propulsion_start', 'propulsion_end'] as const).map((event, end) => ({
          hand,
          stroke: k + 1,
          event,
          timeS: Number((from + 0.6 * side + 0.6 * end - 0.002 * (end === 1 ? 1 : -1)).toFixed(3)),
          clock: 'trace' as const,
          camera: null,
          uS: null,
          sharedUS: null,
        })),
      ),
    );
    await lab.ask('marks.edit', { day: day.id, trial: 'P01-1', seen: [], now: marks, says: 'Marked' });
    await lab.ask('section.edit', {
      day: day.id,
      trial: 'P01-1',
      seen: null,
      now: { startS: 3, endS: 10, method: 'gate', uS: 0.005 },
      says: 'Section',
    });
    const { result } = await lab.ask('trials.get', { day: day.id, trial: 'P01-1' });
    // 0.6 psi on 140 cm²: 0.6 × 6.894757 kPa × 140 cm² × 0.1 N; the largest sample lies within the noise of it.
    expect(result.hands.left.peakForce!.value / (0.6 * PSI_KPA * 14)).toBeCloseTo(1, 2);
    expect(result.hands.right.peakForce!.value / (12 * LBF_N)).toBeCloseTo(1, 2);
    // A force from elsewhere has its stated scale alone.
    expect(result.hands.right.peakForce!.u! / result.hands.right.peakForce!.value).toBeCloseTo(0.02, 12);
    expect(result.flags).toContain('calibrated_elsewhere');
    expect(result.flags).not.toContain('no_calibration');

    await lab.ask('places.allow', { path: place });
    const exported = join(place, 'exported');
    await lab.ask('days.export', { day: day.id, path: exported, films: 'all' });
    const columns = (
      JSON.parse(readFileSync(join(exported, 'day.json'), 'utf8')) as {
        readonly trace_columns: Readonly<Record<string, unknown>>;
      }
    ).trace_columns;
    expect(columns['left']).toMatchObject({
      quantity: 'pressure',
      unit: 'psi',
      scale_u_pct: 1,
      filter: false,
    });
    expect(columns['right']).toMatchObject({ quantity: 'force', unit: 'lbf', scale_u_pct: 2, filter: false });
    const dataset = join(place, 'dataset');
    expect((await processHere(exported, dataset)).status).toBe(0);
    const [head, row] = readFileSync(join(dataset, 'trials.csv'), 'utf8')
      .split('\n')
      .map((line) => line.split(','));
    const cell = (name: string) => Number(row![head!.indexOf(name)]);
    expect(cell('peak_force_left_n')).toBe(result.hands.left.peakForce!.value);
    expect(cell('peak_force_right_n_u')).toBe(result.hands.right.peakForce!.u);
    expect(cell('idc_pct')).toBe(result.idc!.value);
  });
});
