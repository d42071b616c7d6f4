/** The sensors worn on a day, each once, with the hands they were on and what was read at the day's start and end. */
import type { KnownPressureReport } from '../../../core/deck/knownpressure.ts';
import type { Hand } from '../../../core/base/hand.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import { sensorCodes } from '../files/listed.ts';

export interface SensorOfDay {
  readonly sensor: string;
  readonly hands: readonly Hand[];
  /** Of its raw readings. */
  readonly unit: string;
  readonly check: KnownPressureReport | null;
}

export function sensorsOfDay(view: DeckView): readonly SensorOfDay[] {
  return sensorCodes(view).map((sensor) => {
    const worn = view.plan.sensors.filter((one) => one.sensor === sensor);
    return {
      sensor,
      hands: worn.map(({ hand }) => hand),
      unit: columnUnit(view, worn[0]?.hand ?? null) ?? (worn[0]?.rawUnit || 'raw'),
      check: view.knownPressures.find((check) => check.sensor === sensor) ?? null,
    };
  });
}

/** Unit of a hand's column where it was calibrated elsewhere; null where it holds raw readings. */
function columnUnit({ plan }: DeckView, hand: Hand | null): string | null {
  if (hand === null) return null;
  const { leftHolds, rightHolds } = plan.setup.files;
  return (hand === 'left' ? leftHolds : rightHolds)?.unit ?? null;
}
