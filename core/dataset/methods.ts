/** A methods paragraph that a paper can take, from what protocol, sensors and program say; what is not stated is left out. */
import { largest, smallest } from '../base/extent.ts';
import { counted, figures } from '../base/words.ts';
import { HANDS } from '../base/hand.ts';
import type { Day } from '../day/day.ts';

/** What the paragraph is about: days of one protocol. */
export interface MethodsOf {
  readonly day: Day;
  readonly swimmers: number;
  readonly trials: number;
  /** Lowest and highest sampling rate of the traces, Hz; null without a trace. */
  readonly rateHz: readonly [number, number] | null;
}

/** Returns METHODS.md: one paragraph for each group of days whose protocol and sensors are alike, and the sources. */
export function methodsText(days: readonly MethodsOf[], version: string): string {
  const groups = new Map<string, MethodsOf[]>();
  for (const own of days) {
    const { protocol, pool, sensors } = own.day;
    const alike = JSON.stringify([protocol, pool.lengthM, sensors.map(({ rangeKpa }) => rangeKpa)]);
    groups.set(alike, [...(groups.get(alike) ?? []), own]);
  }
  const paragraphs = [...groups.values()].map((group) => paragraph(group, version));
  return `# Methods\n\n${paragraphs.join('\n\n')}\n\n## References\n\n${REFERENCES.map((one) => `- ${one}`).join('\n')}\n`;
}

const REFERENCES = [
  'Chollet D, Chalies S, Chatard JC (2000). A new index of coordination for the crawl: description and usefulness. Int J Sports Med 21:54–59.',
  'Craig AB, Pendergast DR (1979). Relationships of stroke rate, distance per stroke, and velocity in competitive swimming. Med Sci Sports 11:278–283.',
  'JCGM 100:2008. Evaluation of measurement data: guide to the expression of uncertainty in measurement.',
];

function paragraph(group: readonly MethodsOf[], version: string): string {
  const [{ day }] = group as [MethodsOf];
  const sum = (of: (own: MethodsOf) => number) => group.reduce((all, own) => all + of(own), 0);
  const sentences = [
    `On ${counted(group.length, 'testing day')} (${datesOf(group)}) ${counted(
      sum((own) => own.swimmers),
      'swimmer visit',
    )} gave ${counted(
      sum((own) => own.trials),
      'trial',
    )} of front crawl${runOf(day)}.`,
    ...sectionOf(day),
    ...sensorsOf(day, group),
    'Hand force was the pressure difference times the area of the hand, that is the force normal to the hand and not propulsion.',
    ...filterOf(day),
    'Stroke rate was 60 s over the mean stroke cycle time, stroke length velocity times cycle time (Craig & Pendergast 1979); the index of coordination was the lag between the propulsion of one hand and of the other in % of the cycle (Chollet et al. 2000).',
    ...acceptOf(day),
    `Standard uncertainties follow JCGM 100:2008. Numbers were computed with Lanebench ${version}.`,
  ];
  return sentences.join(' ');
}

function datesOf(group: readonly MethodsOf[]): string {
  const dates = [...new Set(group.map(({ day }) => day.date ?? day.day))].toSorted();
  return dates.length < 3 ? dates.join(' and ') : `${dates[0]} to ${dates.at(-1)}`;
}

function runOf({ protocol, pool }: Day): string {
  const run = protocol.runM === null ? '' : ` over ${figures(protocol.runM)} m`;
  return pool.lengthM === null ? run : `${run} in a ${figures(pool.lengthM)} m pool`;
}

function sectionOf({ protocol }: Day): readonly string[] {
  const { sectionFromWallM, sectionUM, sectionPoints } = protocol;
  if (sectionFromWallM === null) return [];
  const [start, end] = sectionFromWallM;
  const u = sectionUM === null ? '' : ` (standard uncertainty ${figures(sectionUM)} m)`;
  return [
    `Velocity was taken over a section of ${figures(Math.abs(start - end))} m${u}, from ${figures(start)} m to ${figures(end)} m before the finishing wall${pointsOf(sectionPoints)}.`,
  ];
}

function pointsOf({ start, end }: Day['protocol']['sectionPoints']): string {
  if (start === null || end === null) return '';
  if (start === end) return `, timed by the ${start}`;
  return `, timed by the ${start} at its start and the ${end} at its end`;
}

function sensorsOf({ sensors, traceColumns }: Day, group: readonly MethodsOf[]): readonly string[] {
  const ranges = [...new Set(sensors.flatMap(({ rangeKpa }) => rangeKpa ?? []))].toSorted((a, b) => a - b);
  const rates = group.flatMap(({ rateHz }) => rateHz ?? []);
  const ends = rates.length === 0 ? [] : [smallest(rates), largest(rates)].map((rate) => figures(rate, 4));
  const rate = ends.length === 0 ? '' : ` at ${[...new Set(ends)].join(' to ')} Hz`;
  const of = ranges.length === 0 ? '' : ` (range ${ranges.map((kpa) => figures(kpa)).join(', ')} kPa)`;
  const elsewhere = HANDS.some((hand) => (traceColumns[hand]?.elsewhere ?? null) !== null);
  const calibrated = elsewhere
    ? 'values were calibrated by the maker of the recording'
    : 'sensors were calibrated against known pressures by ordinary least squares';
  return [
    `A pressure sensor on each hand${of} recorded the difference between palm and back of the hand${rate}; ${calibrated}.`,
  ];
}

function filterOf({ protocol: { filter } }: Day): readonly string[] {
  if (filter.kind === 'none') return ['Pressure was not filtered.'];
  if (filter.kind !== 'butterworth') return [];
  return [
    `Pressure was filtered by a low-pass Butterworth filter of order ${filter.order}, run forward and backward without lag, with a gain of 1/√2 of both passes together at ${figures(filter.cutoffHz)} Hz.`,
  ];
}

function acceptOf({ protocol: { accept } }: Day): readonly string[] {
  const limits = [
    ...(accept.minStrokesPerHand === null
      ? []
      : [`at least ${accept.minStrokesPerHand} strokes of each hand`]),
    ...(accept.maxGapMs === null ? [] : [`no gap in the trace over ${figures(accept.maxGapMs)} ms`]),
    ...(accept.maxSaturatedFraction === null
      ? []
      : [`at most ${figures(100 * accept.maxSaturatedFraction)} % saturated samples`]),
    ...(accept.maxZeroShiftKpa === null
      ? []
      : [`a zero shift of at most ${figures(accept.maxZeroShiftKpa)} kPa`]),
    ...(accept.maxCheckDeviationKpa === null
      ? []
      : [`known pressures read to ${figures(accept.maxCheckDeviationKpa)} kPa`]),
  ];
  return limits.length === 0 ? [] : [`A trial was taken as good with ${limits.join(', ')}.`];
}
