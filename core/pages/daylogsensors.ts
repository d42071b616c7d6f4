/** The sensors of a testing day and how they stood at its end, as its log has them. */
import type { DeckPlan } from '../deck/deck.ts';
import { paragraph } from './page.ts';
import { type Cell, table } from './html.ts';
import { NOT_GIVEN } from './words.ts';
import type { KnownPressureReport } from '../deck/knownpressure.ts';
import { figuresOr, minus } from '../base/words.ts';

const CALIBRATION_WORDS = { accepted: 'accepted', remark: 'accepted with a remark' } as const;

/** Sensors worn on the day with the calibrations in force. */
export function sensorTable({ sensors }: DeckPlan, clock: (instant: string) => string): string {
  if (sensors.length === 0) return paragraph('No sensor was put on.');
  const rows = sensors.map(({ sensor, hand, rangeKpa, calibration }): Cell[] => [
    sensor,
    hand,
    rangeKpa === null ? NOT_GIVEN : `${rangeKpa} kPa`,
    calibration === null
      ? 'none'
      : `No. ${calibration.id} of ${clock(calibration.at)}, ${CALIBRATION_WORDS[calibration.verdict]}, ${calibration.points.length} points`,
  ]);
  return table(['Sensor', 'Hand', 'Range', 'Calibration in force'], rows);
}

const VERDICTS = { holds: 'holds', look: 'look', missing: 'missing', unjudged: 'not judged' } as const;

/** Zeros and check readings at the ends of the day. */
export function checkTable(checks: readonly KnownPressureReport[]): string {
  if (checks.length === 0) return paragraph('None.');
  const rows = checks.map((check): Cell[] => [
    check.sensor,
    { number: figuresOr(check.zeroStartRaw, 'not read') },
    { number: figuresOr(check.zeroEndRaw, 'not read') },
    { number: kpa(check.zeroShiftKpa) },
    check.readings
      .map(({ when, appliedKpa, readKpa, errorKpa }) =>
        readKpa === null
          ? `at the ${when} ${appliedKpa} kPa put on, not to be judged`
          : `at the ${when} ${appliedKpa} kPa put on, ${kpa(readKpa)} read, error ${kpa(errorKpa)}`,
      )
      .join('; '),
    VERDICTS[check.verdict],
    check.says,
  ]);
  const head: Cell[] = [
    'Sensor',
    { number: 'Zero at the start, raw' },
    { number: 'At the end, raw' },
    { number: 'Shift' },
    'Known pressures',
    'Verdict',
    'What was found',
  ];
  return table(head, rows);
}

function kpa(value: number | null): string {
  return value === null ? 'not known' : minus(`${value.toFixed(3)} kPa`);
}
