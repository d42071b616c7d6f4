/** Small testing days for the tests of what is run on deck; everything invented. */
import { firstPlan } from '../../../core/deck/plan.ts';
import { firstBoard } from '../../../core/deck/trials.ts';
import type { DeckAct, DeckSetup, DeckSwimmer } from '../../../core/deck/deck.ts';
import { applyAct } from '../../../core/deck/acts.ts';
import { type ActContext, type Deck, type DeckFault } from '../../../core/deck/act.ts';
import type { ProtocolContent } from '../../../core/protocol/content.ts';
import { done, failed } from '../../../core/base/refusal.ts';

export const PROTOCOL: ProtocolContent = {
  name: '20 m to the wall',
  stroke: 'front crawl',
  start: 'push',
  poolLengthM: 25,
  runM: 20,
  sectionFromWallM: [10, 0],
  sectionUM: 0.02,
  sectionPoints: { start: 'head', end: 'hand' },
  timing: {
    method: 'video',
    who: 'the desk',
    camera: 'A',
    gateUS: 0.002,
    stopwatchUS: 0.1,
    views: { start: null, end: null },
  },
  attempts: 2,
  restMinS: 180,
  rateHz: 200,
  cameras: [{ camera: 'A', frameRateHz: 50, sees: 'the last 10 m' }],
  conditions: [],
  order: 'listed',
  accept: {
    minStrokesPerHand: 3,
    maxGapMs: 20,
    maxSaturatedFraction: 0.001,
    maxZeroShiftKpa: 0.15,
    maxCheckDeviationKpa: 0.3,
  },
  filter: { kind: 'butterworth', order: 2, cutoffHz: 12 },
  markingUS: 0.01,
  tapOffsetMm: 10,
  speedVariationPct: null,
  measures: ['hand_force', 'velocity'],
  checklists: { before: ['Lifeguard is here', 'Battery power only'], close: ['Sensors rinsed'] },
  consentTextVersion: '2',
  expected: { velocityMS: 1.6, strokeLengthM: 1.9, glideM: 5 },
  files: {
    time: { column: 'time', unit: 's' },
    left: 'L',
    right: 'R',
    leftHolds: null,
    rightHolds: null,
    names: ['{trial}', '{trial}-{camera}'],
  },
  comparison: null,
};

export const SETUP: DeckSetup = {
  date: '2026-03-14',
  venue: '',
  poolLengthM: 25,
  waterTemperatureC: 27,
  latitudeDeg: 54.3,
  altitudeM: 12,
  files: PROTOCOL.files,
};

export function swimmer(participant: string, wish: Partial<DeckSwimmer> = {}): DeckSwimmer {
  return {
    participant,
    sex: 'female',
    birthYear: 2003,
    heightCm: 172,
    massKg: 63,
    leftHandAreaCm2: 140,
    rightHandAreaCm2: 142,
    handAreaUCm2: 2,
    consents: { measuring: 'given', filming: 'given', sharing: 'withheld' },
    consentTextVersion: '2',
    note: '',
    ...wish,
  };
}

export function newDeck(): Deck {
  return { plan: firstPlan(SETUP), board: firstBoard() };
}

export function context(atMs = 0, protocol = PROTOCOL): ActContext {
  return {
    atMs,
    who: 'KL',
    protocol,
    sensor: (code, hand) =>
      code === 'S-99'
        ? failed<DeckFault>({ says: 'S-99 has no accepted calibration.', todo: 'Calibrate it.' })
        : done({
            sensor: code,
            hand,
            rangeKpa: 15,
            rawUnit: 'count',
            rawMin: 0,
            rawMax: 65535,
            calibration: {
              id: 1,
              at: '2026-03-13T10:00:00.000Z',
              verdict: 'accepted',
              reference: { scale: 0, zeroKpa: 0 },
              points: [
                { appliedKpa: 0, raw: 500, direction: 'up' },
                { appliedKpa: 5, raw: 20500, direction: 'up' },
                { appliedKpa: 10, raw: 40500, direction: 'up' },
              ],
            },
          }),
  };
}

/** The day after acts, each a minute after the one before; throws where one is refused. */
export function after(deck: Deck, acts: readonly DeckAct[], startMs = 0): Deck {
  return acts.reduce((at, act, index) => {
    const outcome = applyAct(at, act, context(startMs + index * 60_000));
    if (!outcome.ok) throw new Error(`${act.act}: ${outcome.error.says}`);
    const { part, value } = outcome.value;
    return { ...at, [part]: value };
  }, deck);
}

/** The sentence with which an act is refused. */
export function refusalOf(deck: Deck, act: DeckAct, atMs = 0): string {
  const outcome = applyAct(deck, act, context(atMs));
  if (outcome.ok) throw new Error(`${act.act} was done: ${outcome.value.says}`);
  return outcome.error.says;
}

/** A day with swimmers, sensors, ticks, dry run and an order: the first trial may begin. */
export function readyDeck(codes: readonly string[] = ['S1', 'S2', 'S3']): Deck {
  return after(newDeck(), [
    { act: 'swimmers.add', swimmers: codes.map((code) => swimmer(code)) },
    { act: 'sensor.wear', hand: 'left', sensor: 'K-1' },
    { act: 'sensor.wear', hand: 'right', sensor: 'K-2' },
    { act: 'line.tick', list: 'before', item: 'Lifeguard is here', initials: 'KL' },
    { act: 'line.tick', list: 'before', item: 'Battery power only', initials: 'KL' },
    { act: 'order.make', seed: 'deck' },
    { act: 'dry.confirm', initials: 'KL', says: 'Taps on the right channels, clocks meet.' },
  ]);
}
