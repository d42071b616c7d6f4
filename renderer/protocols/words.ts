/** What the choices of a protocol are called on the screen. */
import type { BodyPoint } from '../../core/protocol/protocol.ts';
import type { Measure, ProtocolContent, TimingMethod } from '../../core/protocol/content.ts';

interface Choice<T extends string> {
  readonly value: T;
  readonly text: string;
}

export const STARTS: readonly Choice<ProtocolContent['start']>[] = [
  { value: 'push', text: 'Push-off' },
  { value: 'dive', text: 'Dive' },
  { value: 'in_water', text: 'In the water' },
];

export const BODY_POINTS: readonly Choice<BodyPoint>[] = [
  { value: 'head', text: 'Head' },
  { value: 'hip', text: 'Hip' },
  { value: 'hand', text: 'Hand' },
];

export const METHODS: readonly Choice<TimingMethod>[] = [
  { value: 'video', text: 'On film' },
  { value: 'gate', text: 'Gates' },
  { value: 'stopwatch', text: 'Stopwatch' },
];

export const ORDERS: readonly Choice<ProtocolContent['order']>[] = [
  { value: 'listed', text: 'As listed' },
  { value: 'random', text: 'Random' },
  { value: 'balanced', text: 'Balanced' },
];

export const ORDER_GUIDE: Readonly<Record<ProtocolContent['order'], string>> = {
  listed: 'Swimmers and conditions in the order in which they are entered.',
  random: 'Shuffled from the seed; the same seed gives the same order again.',
  balanced:
    'Each condition stands in each place, and follows each other one, equally often over the swimmers (a Williams design); who gets which row comes from the seed.',
};

export const MEASURE_WORDS: Readonly<Record<Measure, string>> = {
  hand_force: 'Hand force',
  stroke_rate: 'Stroke rate',
  stroke_length: 'Stroke length',
  velocity: 'Velocity',
  index_of_coordination: 'Index of coordination',
  high_hand: 'High-hand time',
  entry_position: 'Position of the hand at entry',
  breathing: 'Breathing',
};

/** Suggested names of a stroke; any other may be typed. */
export const STROKES: readonly string[] = ['front crawl', 'backstroke', 'breaststroke', 'butterfly'];
