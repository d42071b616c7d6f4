/** The dry run before the first swimmer: its trace and films, and what they show. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import { DRY_RUN } from '../../../core/deck/deck.ts';
import { calibrate } from '../../../core/sensor/calibration.ts';
import type { DryRunView } from '../../../core/contract/deck.ts';
import { holdsOf } from '../../../core/deck/tables.ts';
import { reportDryRun, type DryRunHand } from '../../../core/deck/dryrun.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import type { SampledTrace } from '../../../core/force/trace.ts';
import { readSampledTrace } from '../../files/sampledtrace.ts';
import { columnsOf } from './deckreadable.ts';
import { deckStateOf, requireDeck, type DeckState } from '../kept/deckstate.ts';
import { contentFaults, type NamedContent } from '../kept/evidence.ts';
import type { Session } from '../kept/session.ts';

export async function viewDryRun(session: Session, id: number): Promise<Outcome<DryRunView, LabError>> {
  const state = requireDeck(session, id);
  if (!state.ok) return state;
  const own = state.value.files.filter((file) => file.state === 'placed' && file.place?.trial === DRY_RUN);
  const trace = await dryRunTrace(session, id);
  return done({
    trace: own.find(({ place }) => place?.as === 'trace')?.id ?? null,
    films: own.flatMap(({ id: file, place }) =>
      place?.as === 'film' ? [{ camera: place.camera ?? MAIN_CAMERA, file }] : [],
    ),
    evidence: await contentFaults(session, dryRunFiles(state.value), 'checked'),
    report: trace === null ? null : reportDryRun({ trace, hands: handsOf(state.value) }),
  });
}

function dryRunFiles({ placed }: DeckState): readonly NamedContent[] {
  return placed.flatMap(({ name, sha256, place }) =>
    place.trial === DRY_RUN ? [{ file: name, sha256 }] : [],
  );
}

function handsOf({ plan }: DeckState): Readonly<Record<Hand, DryRunHand>> {
  const [left, right] = HANDS.map((hand): DryRunHand => {
    const sensor = plan.sensors.find((one) => one.sensor === plan.worn[hand]);
    const points = sensor?.calibration?.points ?? [];
    const holds = holdsOf(plan.setup, hand);
    const elsewhere = holds.ok ? holds.value : null;
    // The ends of the raw range are in the sensor's unit.
    const limits = elsewhere === null || sensor?.rawUnit === elsewhere.unit ? sensor : undefined;
    const own = sensor === undefined ? null : calibrate(points, sensor.rangeKpa);
    return {
      rawMin: limits?.rawMin ?? null,
      rawMax: limits?.rawMax ?? null,
      scale:
        elsewhere === null
          ? own
          : elsewhere.quantity === 'pressure'
            ? { sensitivityRawPerKpa: 1 / elsewhere.kpaPerUnit }
            : null,
    };
  });
  return { left: left!, right: right! };
}

/** The dry run's trace on its grid; null where none has come, or it is no longer what came. */
export async function dryRunTrace(session: Session, id: number): Promise<SampledTrace | null> {
  const state = deckStateOf(session, id);
  const file = state?.placed.find(({ place }) => place.trial === DRY_RUN && place.as === 'trace');
  if (state === null || file === undefined) return null;
  if ((await session.store.checkRaw(file.sha256)).state !== 'whole') return null;
  const read = await readSampledTrace(session.store.rawPath(file.sha256), file.name, columnsOf(state));
  return read.ok ? read.value.trace : null;
}

/** The dry run's film of a camera; null where none has come, or it is no longer what came. */
export async function dryRunFilm(
  session: Session,
  id: number,
  camera: string,
): Promise<{ readonly absolute: string; readonly name: string } | null> {
  const file = deckStateOf(session, id)?.placed.find(
    ({ place }) => place.trial === DRY_RUN && place.as === 'film' && place.camera === camera,
  );
  if (file === undefined || (await session.store.checkRaw(file.sha256)).state !== 'whole') return null;
  return { absolute: session.store.rawPath(file.sha256), name: file.name };
}
