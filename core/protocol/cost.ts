/** What the settings of a protocol beside its section cost: timing, cameras, sensors, filter, conditions, rest. */
import type { ProtocolContent } from './content.ts';
import { figures } from '../base/words.ts';
import { sectionMoment, TIMEKEEPER_SD_S } from './sectiontiming.ts';
import { balanceNote, williamsSquare } from './order.ts';

export interface ProtocolCost {
  readonly level: 'fault' | 'caution' | 'info';
  /** The field of the protocol that it comes from. */
  readonly about: keyof ProtocolContent;
  readonly says: string;
}

/** One cost. */
export function cost(level: ProtocolCost['level'], about: ProtocolCost['about'], says: string): ProtocolCost {
  return { level, about, says };
}

/** A distance in words, m. */
export function m(value: number): string {
  return `${figures(value, 4)} m`;
}

/** A short time given in s, in words, ms. */
export function ms(valueS: number): string {
  return `${figures(1000 * valueS, 2)} ms`;
}

/** Quantities that only film shows, in words. */
const SEEN_ON_FILM = {
  high_hand: 'high-hand time',
  entry_position: 'entry position',
  breathing: 'breathing',
} as const;

/** Costs of the settings, in no order of weight. */
export function settingCosts(content: ProtocolContent): readonly ProtocolCost[] {
  return [
    ...timingCosts(content),
    ...cameraCosts(content),
    ...sensorCosts(content),
    ...conditionCosts(content),
    ...attemptCosts(content),
  ];
}

function twice(codes: readonly string[]): string | undefined {
  return codes.find((code, k) => codes.indexOf(code) !== k);
}

function timingCosts(content: ProtocolContent): readonly ProtocolCost[] {
  const { timing, sectionUM, cameras } = content;
  const costs: ProtocolCost[] = [];
  const known = cameras.some(({ camera }) => camera === timing.camera);
  if (timing.method === 'video' && !known)
    return [
      cost(
        'fault',
        'timing',
        timing.camera === null
          ? 'Film times the section, but no camera is named for it: choose one of the protocol’s cameras.'
          : `Film of camera ${timing.camera} times the section, but the protocol has no camera ${timing.camera}: add it, or choose another.`,
      ),
    ];
  for (const end of ['start', 'end'] as const)
    for (const says of sectionMoment(content, end).says) costs.push(cost('info', 'timing', says));
  const { method, gateUS, stopwatchUS } = timing;
  if ((method === 'gate' && gateUS === 0) || (method === 'stopwatch' && stopwatchUS === 0))
    costs.push(
      cost(
        'caution',
        'timing',
        `The uncertainty of one moment of the ${method} is given as 0 ms, so the velocity’s comes out too small: type what its maker or a comparison gives.`,
      ),
    );
  else if (method === 'stopwatch' && stopwatchUS < TIMEKEEPER_SD_S)
    costs.push(
      cost(
        'caution',
        'timing',
        `A hand on a stopwatch is given ${ms(stopwatchUS)}; timekeepers at swimming competitions scatter by ${ms(TIMEKEEPER_SD_S)} (Am J Phys 2019, 87:110). Type that unless yours were compared with a gate.`,
      ),
    );
  if (sectionUM === 0)
    costs.push(
      cost(
        'caution',
        'sectionUM',
        'The uncertainty of the section’s length is given as 0 m; a taped length is hardly known better than 0.01 m (common practice, no source).',
      ),
    );
  return costs;
}

function cameraCosts({ cameras, measures }: ProtocolContent): readonly ProtocolCost[] {
  const costs: ProtocolCost[] = [];
  const again = twice(cameras.map(({ camera }) => camera));
  if (again !== undefined)
    costs.push(
      cost(
        'fault',
        'cameras',
        `Camera ${again} is there twice, so its films cannot be told apart: give one another code.`,
      ),
    );
  const unseen = measures.flatMap((measure) =>
    measure in SEEN_ON_FILM ? SEEN_ON_FILM[measure as keyof typeof SEEN_ON_FILM] : [],
  );
  if (cameras.length === 0 && unseen.length > 0)
    costs.push(
      cost(
        'caution',
        'measures',
        `Only film shows ${unseen.join(', ')}, and there is no camera: add one, or leave it out.`,
      ),
    );
  return costs;
}

function sensorCosts({ filter, rateHz, accept }: ProtocolContent): readonly ProtocolCost[] {
  const costs: ProtocolCost[] = [];
  if (filter.kind === 'butterworth' && filter.cutoffHz >= rateHz / 2)
    costs.push(
      cost(
        'fault',
        'filter',
        `The filter’s cutoff of ${figures(filter.cutoffHz, 5)} Hz is not below half the sampling rate, ${figures(rateHz / 2, 5)} Hz, so no force could be given: lower the cutoff or sample faster.`,
      ),
    );
  const stepMs = 1000 / rateHz;
  if (accept.maxGapMs !== null && accept.maxGapMs < stepMs)
    costs.push(
      cost(
        'caution',
        'accept',
        `Gaps up to ${figures(accept.maxGapMs)} ms are accepted, less than one sample (${figures(stepMs)} ms at ${figures(rateHz, 5)} Hz), so one lost sample fails a trial: allow ${figures(Math.ceil(stepMs))} ms or more.`,
      ),
    );
  return costs;
}

function conditionCosts({ conditions, order, comparison }: ProtocolContent): readonly ProtocolCost[] {
  const costs: ProtocolCost[] = [];
  const again = twice(conditions);
  if (again !== undefined)
    costs.push(
      cost('fault', 'conditions', `Condition ${again} is there twice: take one away, or plan more attempts.`),
    );
  if (order !== 'balanced') return costs;
  const each = new Set(conditions).size;
  const swimmers =
    comparison === null ? 0 : comparison.first + (comparison.kind === 'paired' ? 0 : comparison.second);
  const note = balanceNote(swimmers, each);
  const rows = williamsSquare(each).length;
  costs.push(
    note !== null
      ? cost('caution', 'order', note)
      : cost('info', 'order', `A balanced order of ${each} conditions takes a multiple of ${rows} swimmers.`),
  );
  return costs;
}

function attemptCosts({ attempts, conditions, restMinS }: ProtocolContent): readonly ProtocolCost[] {
  const runs = attempts * Math.max(1, new Set(conditions).size);
  if (runs === 1) return [];
  const restMin = ((runs - 1) * restMinS) / 60;
  return [
    cost(
      'info',
      'attempts',
      `Each swimmer swims ${runs} times, with ${figures(restMin, 2)} min of rest in all between them at least.`,
    ),
  ];
}
