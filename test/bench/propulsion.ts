/**
 * How propulsion proposed from force lies against film: the invented sample day and variants made from it (slower and
 * faster swims, weaker and stronger ones, noise, a smoother trace), over a grid of thresholds. Prints the bias and the
 * scatter of the default rule and of the best one. `node test/bench/propulsion.ts [--grid]`; `npm run bench` prints the
 * default rule's too.
 */
import { readFileSync } from 'node:fs';
import { HANDS, type Hand } from '../../core/base/hand.ts';
import {
  DEFAULT_PROPULSION_RULE,
  proposePropulsion,
  type PropulsionProposal,
  type PropulsionRule,
} from '../../core/force/propulsion.ts';
import { trialForces } from '../../core/trial/trial.ts';
import { folderSource } from '../../main/files/source.ts';
import { inputOf, openDay, readTrialFiles } from '../../main/lab/kept/process.ts';
import { normal } from '../reference/random.ts';

interface Stroke {
  readonly startS: number;
  readonly endS: number;
}

/** A hand's force, and where its propulsion truly is. */
interface Swim {
  readonly forceN: Float64Array;
  readonly startS: number;
  readonly rateHz: number;
  readonly strokes: readonly Stroke[];
}

interface Truth {
  readonly trials: readonly {
    readonly trial: string;
    readonly hands: Readonly<
      Record<
        Hand,
        {
          readonly strokes: readonly {
            readonly in_section: boolean;
            readonly events_s: { readonly propulsion_start: number; readonly propulsion_end: number };
          }[];
        }
      >
    >;
  }[];
}

/** The hands of the sample day. */
export async function sampleSwims(): Promise<readonly Swim[]> {
  const truth = JSON.parse(readFileSync('sample-sessions/truth.json', 'utf8')) as Truth;
  const source = folderSource('sample-sessions/harbour-morning');
  const opened = await openDay(source);
  if (!opened.ok) throw new Error(opened.error.reason);
  const { book } = opened.value;
  const swims: Swim[] = [];
  for (const entry of book.trials) {
    const reading = await readTrialFiles(source, book, entry);
    if (reading.trace === null) continue;
    const forces = trialForces(inputOf(book, entry, reading).input);
    const hands = truth.trials.find(({ trial }) => trial === entry.row.trial)!.hands;
    for (const hand of HANDS) {
      const forceN = forces[hand];
      if (forceN === null) continue;
      const { startS, rateHz } = reading.trace;
      const strokes = hands[hand].strokes
        .filter(({ in_section: counts }) => counts)
        .map(({ events_s: at }) => ({ startS: at.propulsion_start, endS: at.propulsion_end }));
      swims.push({ forceN, startS, rateHz, strokes });
    }
  }
  return swims;
}

type Change = (swim: Swim, index: number) => Swim;

/** Swum so many times as slowly: the samples stay, their times stretch. */
const slower =
  (factor: number): Change =>
  (swim) => ({
    ...swim,
    startS: swim.startS * factor,
    rateHz: swim.rateHz / factor,
    strokes: swim.strokes.map(({ startS, endS }) => ({ startS: startS * factor, endS: endS * factor })),
  });

const stronger =
  (factor: number): Change =>
  (swim) => ({ ...swim, forceN: swim.forceN.map((force) => factor * force) });

const noisier =
  (sdN: number): Change =>
  (swim, index) => {
    const draw = normal(1 + index);
    return { ...swim, forceN: swim.forceN.map((force) => force + sdN * draw()) };
  };

/** A moving mean, as of a trace that was filtered lower. */
const smoother =
  (widthS: number): Change =>
  (swim) => {
    const half = Math.round((widthS * swim.rateHz) / 2);
    const { forceN } = swim;
    return {
      ...swim,
      forceN: forceN.map((_, k) => {
        const near = forceN.subarray(Math.max(0, k - half), k + half + 1);
        return near.reduce((sum, force) => sum + force, 0) / near.length;
      }),
    };
  };

/** A steady load before and after, as where a hand rests on the water. */
const VARIANTS: readonly (readonly [string, Change])[] = [
  ['as it is', (swim) => swim],
  ['25 % slower', slower(1.25)],
  ['20 % faster', slower(0.8)],
  ['0.6 times as strong', stronger(0.6)],
  ['1.5 times as strong', stronger(1.5)],
  ['noise of 2 N', noisier(2)],
  ['smoothed over 60 ms', smoother(0.06)],
];

/** Errors of a rule, s, proposal less truth; strokes not found once are missed. */
export interface Errors {
  readonly start: readonly number[];
  readonly end: readonly number[];
  readonly missed: number;
}

export function errorsOf(swims: readonly Swim[], rule: PropulsionRule): Errors {
  const start: number[] = [];
  const end: number[] = [];
  let missed = 0;
  for (const swim of swims) {
    const outcome = proposePropulsion(swim.forceN, swim, rule);
    const found: readonly PropulsionProposal[] = outcome.ok ? outcome.value : [];
    for (const stroke of swim.strokes) {
      const own = found.filter(({ peakS }) => peakS > stroke.startS && peakS < stroke.endS);
      if (own.length !== 1) missed++;
      else {
        start.push(own[0]!.startS - stroke.startS);
        end.push(own[0]!.endS - stroke.endS);
      }
    }
  }
  return { start, end, missed };
}

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
export const biasOf = (errors: readonly number[]) => sum(errors) / errors.length;
const rmsOf = (errors: readonly number[]) => Math.sqrt(sum(errors.map((e) => e * e)) / errors.length);
const sdOf = (errors: readonly number[]) => Math.sqrt(Math.max(0, rmsOf(errors) ** 2 - biasOf(errors) ** 2));

export function variantsOf(swims: readonly Swim[]): readonly (readonly [string, readonly Swim[]])[] {
  return VARIANTS.map(([name, change]) => [name, swims.map(change)]);
}

function line(name: string, { start, end, missed }: Errors): string {
  const ms = (seconds: number) => (1000 * seconds).toFixed(1).padStart(7);
  return `${name.padEnd(22)} start ${ms(biasOf(start))} ± ${ms(sdOf(start))} ms   end ${ms(biasOf(end))} ± ${ms(sdOf(end))} ms   missed ${missed}`;
}

function report(variants: ReturnType<typeof variantsOf>, rule: PropulsionRule): readonly string[] {
  return [
    `begins at ${rule.enterPct} % of the peak, ends at ${rule.leavePct} %:`,
    ...variants.map(([name, swims]) => `  ${line(name, errorsOf(swims, rule))}`),
  ];
}

/** Bias and scatter of the default rule over the sample day and each variant, as lines to print. */
export async function defaultRuleReport(): Promise<readonly string[]> {
  return report(variantsOf(await sampleSwims()), DEFAULT_PROPULSION_RULE);
}

if (import.meta.main) {
  const variants = variantsOf(await sampleSwims());
  for (const says of report(variants, DEFAULT_PROPULSION_RULE)) console.log(says);
  if (process.argv.includes('--grid')) {
    const scores = [];
    for (let enterPct = 4; enterPct <= 40; enterPct += 2)
      for (let leavePct = 2; leavePct <= enterPct; leavePct += 2) {
        const rule = { ...DEFAULT_PROPULSION_RULE, enterPct, leavePct };
        const all = variants.map(([, swims]) => errorsOf(swims, rule));
        const missed = sum(all.map((one) => one.missed));
        const rms = Math.hypot(
          rmsOf(all.flatMap(({ start }) => start)),
          rmsOf(all.flatMap(({ end }) => end)),
        );
        scores.push({ rule, rms, missed });
      }
    const least = Math.min(...scores.map(({ missed }) => missed));
    const usable = scores.filter(({ missed }) => missed <= 1.02 * least + 1).sort((a, b) => a.rms - b.rms);
    for (const { rule, rms, missed } of usable.slice(0, 8))
      console.log(`${rule.enterPct}/${rule.leavePct} %: ${(1000 * rms).toFixed(1)} ms, missed ${missed}`);
    for (const says of report(variants, usable[0]!.rule)) console.log(says);
  }
}
