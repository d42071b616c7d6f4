/** One trial of a day as it stands, as a file for other programs: MATLAB level 5 or EDF+. */
import { HANDS } from '../../../core/base/hand.ts';
import { sensorWorn, traceColumnsOf } from '../../../core/day/book.ts';
import { EVENTS } from '../../../core/stroke/stroke.ts';
import { trialForces } from '../../../core/trial/trial.ts';
import { edfFile } from '../../files/edffile.ts';
import { matlabFile } from '../../files/matfile.ts';
import { sampleColumns } from '../days/samples.ts';
import { findTrial, keptDay } from '../kept/keptday.ts';
import { rememberTrial } from '../kept/memory.ts';
import { trialOutcome } from '../kept/outcome.ts';
import type { Resource } from '../kept/port.ts';
import { inputOf } from '../kept/process.ts';
import type { Session } from '../kept/session.ts';
import { recordingOf } from './recordings.ts';

/** Null where there is no such trial, where it has no trace, or where what it rests on is damaged. */
export async function trialFile(
  session: Session,
  id: number,
  trial: string,
  format: 'mat' | 'edf',
): Promise<Resource | null> {
  const day = await keptDay(session, id);
  if (!day.ok) return null;
  const found = findTrial(day.value, trial);
  if (!found.ok) return null;
  const [entry, { book, row }] = [found.value, day.value];
  const { result, evidence, version } = await trialOutcome(session, day.value, entry);
  const reading = await rememberTrial(session, day.value, entry);
  if (reading.trace === null || evidence.length > 0) return null;
  const samples = sampleColumns(reading.trace, trialForces(inputOf(book, entry, reading).input));
  const columns = traceColumnsOf(book.day, entry.row);
  const { participant } = entry.participant;
  const recording = recordingOf(
    { day: row.day, date: row.date, trial, participant, version },
    new Map(samples.map(([name, values]) => [name, Float64Array.from(values, (value) => value ?? NaN)])),
    (hand) => {
      const sensor = sensorWorn(book.day, entry.row, hand);
      return (
        columns[hand]?.elsewhere?.unit ?? book.day.sensors.find((one) => one.sensor === sensor)?.rawUnit ?? ''
      );
    },
    HANDS.flatMap((hand) => result.strokes.filter(({ stroke }) => stroke.hand === hand)).flatMap(
      ({ stroke }) =>
        EVENTS.flatMap((event) => {
          const timeS = stroke.marks[event]?.timeS ?? null;
          return timeS === null ? [] : [{ timeS, hand: stroke.hand, stroke: stroke.number, event }];
        }),
    ),
  );
  const bytes = format === 'mat' ? matlabFile(recording) : edfFile(recording);
  return { kind: 'bytes', bytes: new Uint8Array(bytes), mime: 'application/octet-stream' };
}
