/** What a protocol measures, in words. */
import type { Measure, ProtocolContent, TimingMethod } from '../../../core/protocol/content.ts';

const MEASURE_WORDS: Readonly<Record<Measure, string>> = {
  hand_force: 'hand force',
  stroke_rate: 'stroke rate',
  stroke_length: 'stroke length',
  velocity: 'velocity',
  index_of_coordination: 'index of coordination',
  high_hand: 'high-hand time',
  entry_position: 'hand position at entry',
  breathing: 'breathing side',
};

const TIMING_WORDS: Readonly<Record<TimingMethod, string>> = {
  video: 'on film',
  gate: 'by gates',
  stopwatch: 'by stopwatch',
};

/** Such as `hand force, velocity, stroke rate; timed on film`. */
export function measuresLine({ measures, timing }: ProtocolContent): string {
  const what =
    measures.length === 0
      ? 'no quantity named'
      : measures.map((measure) => MEASURE_WORDS[measure]).join(', ');
  return `Measures ${what}; the section is timed ${TIMING_WORDS[timing.method]}.`;
}
