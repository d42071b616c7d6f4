/** A bench in memory: the register, drafts, keeping and taking back, over the same core as the lab's. Data invented. */
import { assessDraft } from '../../../core/sensor/assess.ts';
import type { BenchDraft, BenchPointEntry, KeptCalibration, SensorCard } from '../../../core/sensor/draft.ts';
import type { SensorView } from '../../../core/contract/bench.ts';
import { DEFAULT_BENCH_LIMITS, type BenchLimits } from '../../../core/sensor/limits.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { sensitivityHistory } from '../../../core/sensor/drift.ts';
import { done, failed } from '../../../core/base/refusal.ts';
import { fakeLab } from '../fixture.ts';

export const CARD: SensorCard = {
  sensor: 'K-1',
  hand: 'left',
  rangeKpa: 15,
  rawUnit: 'counts',
  rawMin: 0,
  rawMax: 65535,
  state: 'in_service',
  notes: '',
};

export const DRAFT: BenchDraft = {
  sensor: 'K-1',
  method: 'reference_gauge',
  waterTemperatureC: null,
  latitudeDeg: null,
  altitudeM: null,
  columnHeightM: null,
  reference: { name: 'tape T-1', sharedKpa: 0, scale: 0, perPointKpa: 0 },
  notes: '',
  points: [],
};

export function point(applied: number, raw: number, part: Partial<BenchPointEntry> = {}): BenchPointEntry {
  const source = { kind: 'typed' as const };
  return { applied, appliedUnit: 'kPa', raw, direction: 'up', run: 1, setAside: null, source, ...part };
}

/** Up and down over seven pressures, with some hysteresis. */
export const LOOP: BenchPointEntry[] = [0, 2.5, 5, 7.5, 10, 12.5, 15].flatMap((kpa, k) => [
  point(kpa, 8200 + 3650 * kpa + (k % 2) * 20),
  point(kpa, 8230 + 3650 * kpa - (k % 2) * 10, { direction: 'down' }),
]);

export function record(id: number, at: string, draft: BenchDraft, card = CARD): KeptCalibration {
  const judged = assessDraft(draft, card, DEFAULT_BENCH_LIMITS, null);
  return {
    id,
    sensor: card.sensor,
    at,
    who: 'AB',
    origin: { kind: 'bench' },
    draft,
    limits: DEFAULT_BENCH_LIMITS,
    ...judged,
    version: '0.1.0',
  };
}

interface State {
  readonly cards: readonly SensorCard[];
  readonly limits: BenchLimits;
  readonly records: readonly KeptCalibration[];
  readonly drafts: ReadonlyMap<string, BenchDraft>;
}

export function fakeBench(start: Partial<State> = {}) {
  let state: State = {
    cards: [CARD],
    limits: DEFAULT_BENCH_LIMITS,
    records: [],
    drafts: new Map(),
    ...start,
  };
  const past: State[] = [];
  const future: State[] = [];
  /** What the next `bench.draft` fails with. */
  const trouble: { draft: LabError | null } = { draft: null };

  const sensorView = (card: SensorCard): SensorView => {
    const calibrations = state.records.filter(({ sensor }) => sensor === card.sensor);
    const accepted = calibrations.flatMap(({ id, at, assessment, verdict }) =>
      assessment === null || verdict?.verdict === 'rejected'
        ? []
        : [
            {
              id: String(id),
              atMs: Date.parse(at),
              sensitivity: assessment.sensitivity.value,
              sensitivityU: assessment.sensitivity.u,
            },
          ],
    );
    const history = sensitivityHistory(accepted, 3);
    return { card, calibrations, history, draft: state.drafts.get(card.sensor) ?? null };
  };
  const view = () =>
    done({
      sensors: state.cards.map(sensorView),
      limits: state.limits,
      canUndo: past.length > 0,
      canRedo: future.length > 0,
    });
  const decide = (next: Partial<State>) => {
    past.push(state);
    state = { ...state, ...next };
    return view();
  };
  const step = (from: State[], to: State[], says: string) => {
    const other = from.pop();
    if (other === undefined) return done(null);
    to.push(state);
    state = other;
    return done({ id: 1, trial: null, says, who: 'AB', at: '2026-03-14T09:06:00Z', undone: false });
  };
  const withDraft = (sensor: string, draft: BenchDraft | null) =>
    new Map(
      [...state.drafts].filter(([one]) => one !== sensor).concat(draft === null ? [] : [[sensor, draft]]),
    );

  const lab = fakeLab({
    answers: {
      'bench.get': view,
      'bench.undo': () => step(past, future, 'Sensor K-9 registered'),
      'bench.redo': () => step(future, past, 'Sensor K-9 registered'),
      'sensors.save': ({ card, seen }) =>
        decide({ cards: [...state.cards.filter(({ sensor }) => sensor !== seen?.sensor), card] }),
      'bench.setLimits': ({ limits }) => decide({ limits }),
      'bench.draft': ({ sensor, draft }) => {
        if (trouble.draft !== null) return failed(trouble.draft);
        state = { ...state, drafts: withDraft(sensor, draft) };
        return done(sensorView(state.cards.find((card) => card.sensor === sensor)!));
      },
      'bench.keep': ({ sensor }) => {
        const kept = record(41, '2026-05-02T09:00:00Z', state.drafts.get(sensor)!);
        decide({ records: [...state.records, kept], drafts: withDraft(sensor, null) });
        return done(kept);
      },
    },
  });
  const drafts = () =>
    lab.calls.flatMap(({ name, input }) =>
      name === 'bench.draft' ? [(input as { draft: BenchDraft | null }).draft] : [],
    );
  return { ...lab, trouble, drafts };
}
