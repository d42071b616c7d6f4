/** The sensors worn on a day, each once, with the hands they were on and what was read at the day's end. */
import type { SensorDayCheck } from '../../../core/deck/sensorcheck.ts';
import type { Hand } from '../../../core/base/hand.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import { sensorCodes } from '../files/listed.ts';

export interface SensorOfDay {
  readonly sensor: string;
  readonly hands: readonly Hand[];
  /** Of its raw readings. */
  readonly unit: string;
  readonly check: SensorDayCheck | null;
}

export function sensorsOfDay(view: DeckView): readonly SensorOfDay[] {
  return sensorCodes(view).map((sensor) => {
    const worn = view.plan.sensors.filter((one) => one.sensor === sensor);
    return {
      sensor,
      hands: worn.map(({ hand }) => hand),
      unit: worn[0]?.rawUnit || 'raw',
      check: view.sensorChecks.find((check) => check.sensor === sensor) ?? null,
    };
  });
}
