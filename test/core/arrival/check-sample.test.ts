/**
 * The check on arrival on the invented sample day: the trials that sample-sessions/README.md says are bad are found, for
 * the reason it gives, and the sound ones are good.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { reportArrival, type ArrivalReport } from '../../../core/arrival/report.ts';
import { type ArrivalFinding } from '../../../core/arrival/findings.ts';
import { clocksOf } from '../../../core/marking/marking.ts';
import { trialSeries } from '../../../core/trial/trial.ts';
import { type TrialInput } from '../../../core/trial/result.ts';
import { folderSource } from '../../../main/files/source.ts';
import { inputOf, openDay, readTrialFiles } from '../../../main/lab/kept/process.ts';

/** `known`: zeros, section and clocks as the day's files have them; `fresh`: as a trial comes, with none of them. */
const checks: Record<'known' | 'fresh', Map<string, ArrivalReport>> = { known: new Map(), fresh: new Map() };

beforeAll(async () => {
  const source = folderSource('sample-sessions/harbour-morning');
  const opened = await openDay(source);
  if (!opened.ok) throw new Error(opened.error.reason);
  const { book } = opened.value;
  const { accept } = book.day.protocol;
  for (const entry of book.trials) {
    const reading = await readTrialFiles(source, book, entry);
    const { input } = inputOf(book, entry, reading);
    const unread = { before: null, after: null };
    const fresh: TrialInput = {
      ...input,
      section: null,
      hands: {
        left: { ...input.hands.left, zeros: unread },
        right: { ...input.hands.right, zeros: unread },
      },
    };
    for (const [kind, trial] of [['known', input] as const, ['fresh', fresh] as const]) {
      const clocks = kind === 'known' ? clocksOf(entry.pairs) : new Map();
      const check = reportArrival({
        protocol: {
          runM: 25,
          sectionFromWallM: [15, 5],
          rateHz: 500,
          accept,
          expected: { velocityMS: 1.7, strokeLengthM: 2, glideM: 7 },
        },
        trial,
        series: trialSeries(trial),
        traceFault: null,
        refusedRows: 0,
        cameras: [{ camera: 'A', frameRateHz: 50 }],
        films: [...reading.films].map(([camera, { frameTimesS }]) => ({
          camera,
          file: entry.films.get(camera)!.file,
          frameTimesS,
          fault: null,
          clock: clocks.get(camera) ?? null,
        })),
        earlierZeroRaw: { left: null, right: null },
        cameraOnly: false,
        mayStillCome: false,
      });
      checks[kind].set(entry.row.trial, check);
    }
  }
}, 180_000);

function bad(kind: 'known' | 'fresh', trial: string): string[] {
  const words = ({ verdict, about, hand }: ArrivalFinding) =>
    [verdict, about, ...(hand === null ? [] : [hand])].join(' ');
  return checks[kind]
    .get(trial)!
    .findings.filter(({ verdict }) => verdict !== 'good')
    .map(words);
}

describe('with zeros, section and clocks known', () => {
  test.each(['P01-1', 'P02-1', 'P03-1', 'P05-1', 'P06-1', 'P01-2', 'P06-2', 'P07-2'])(
    '%s is good',
    (trial) => {
      expect(bad('known', trial)).toEqual([]);
      expect(checks.known.get(trial)!.verdict).toBe('good');
    },
  );

  test.each([
    ['P02-2', 'swim_again', ['swim_again gaps left']],
    ['P05-2', 'swim_again', ['swim_again saturation right']],
    ['P07-1', 'swim_again', ['swim_again zero left', 'look coverage']],
    ['P03-2', 'swim_again', ['swim_again trace']],
    ['P04-1', 'look', ['look frame_rate']],
    ['P04-2', 'look', ['look frame_rate']],
  ])('%s: %s', (trial, verdict, findings) => {
    expect(bad('known', trial)).toEqual(findings);
    expect(checks.known.get(trial)!.verdict).toBe(verdict);
  });

  test('sentences carry the number, its unit and the limit', () => {
    const says = (trial: string, about: ArrivalFinding['about']) =>
      checks.known.get(trial)!.findings.find((finding) => finding.about === about)!.says;
    expect(says('P02-2', 'gaps')).toMatch(/left hand lost 88 ms .*in the section; the limit is 20 ms/);
    expect(says('P05-2', 'saturation')).toMatch(/4\.4 % of the right .*the limit is 0\.1 %/);
    expect(says('P07-1', 'zero')).toMatch(/left .*\+0\.31 kPa .*the limit is 0\.15 kPa/);
    expect(says('P04-1', 'frame_rate')).toMatch(/59\.94 frames\/s; planned are 50 frames\/s/);
  });

  test('the evidence of the dropout lies where it is', () => {
    const gap = checks.known.get('P02-2')!.findings[0]!;
    expect(gap.endS! - gap.startS!).toBeCloseTo(0.086, 3);
  });

  test('the withdrawn swimmer is not looked at', () =>
    expect([...checks.known.keys()].some((trial) => trial.startsWith('P08'))).toBe(false));
});

describe('as the trials come, with nothing marked or confirmed', () => {
  test.each(['P01-1', 'P02-1', 'P03-1', 'P05-1', 'P06-1', 'P01-2', 'P06-2', 'P07-2'])('%s is good', (trial) =>
    expect(bad('fresh', trial)).toEqual([]),
  );

  test.each([
    ['P02-2', ['look gaps left']],
    ['P05-2', ['swim_again saturation right']],
    ['P07-1', ['look zero left', 'look coverage']],
    ['P03-2', ['swim_again trace']],
    ['P04-1', ['look frame_rate']],
    ['P04-2', ['look frame_rate']],
  ])('%s', (trial, findings) => expect(bad('fresh', trial)).toEqual(findings));

  test('what cannot be judged says so', () => {
    const all = checks.fresh
      .get('P01-1')!
      .findings.map(({ says }) => says)
      .join(' ');
    expect(all).toMatch(/Hands swapped, by the zeros: cannot be told/);
    expect(all).toMatch(/whose times are not set/);
    expect(all).toMatch(/between strokes \(estimate\)/);
    expect(checks.fresh.get('P01-1')!.hands.left!.inSection).toBeNull();
    expect(checks.fresh.get('P01-1')!.hands.right!.zeroShiftKpa).toBeNull();
  });
});
