/** A recorded trace at the bench: its column, the stretches in which it holds still, and the points they become. */
import { addressOf } from '../../../core/contract/addresses.ts';
import { type BenchPointEntry } from '../../../core/sensor/draft.ts';
import { type RecordingView } from '../../../core/contract/bench.ts';
import type { RecordingTime } from '../../../core/base/recordingtime.ts';
import type { LabClient } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { PressureUnit } from '../../../core/sensor/hydrostatics.ts';
import { plateauBetween, proposePlateaus, type Plateau } from '../../../core/force/plateau.ts';
import type { Direction } from './nextstep.ts';

/** A stretch that may become a point. */
export interface Stretch {
  readonly startS: number;
  readonly endS: number;
  readonly direction: Direction;
  readonly run: number;
  /** What was applied, as typed. */
  readonly applied: string;
}

/** Shortest stretch that can be set by hand, s. */
const LEAST_S = 0.1;
/** Length of a stretch added by hand, s. */
const ADDED_S = 2;

export class Recording {
  readonly #client: LabClient;
  #view = $state.raw<RecordingView | null>(null);
  #samples = $state.raw<Float64Array | null>(null);
  #problem = $state.raw<LabError | null>(null);
  #turn = 0;
  #timeColumn: string | null = null;
  column = $state(0);
  stretches = $state.raw<readonly Stretch[]>([]);
  /** The stretch whose ends can be moved. */
  chosen = $state(0);

  constructor(client: LabClient) {
    this.#client = client;
  }

  get view(): RecordingView | null {
    return this.#view;
  }

  get samples(): Float64Array | null {
    return this.#samples;
  }

  get problem(): LabError | null {
    return this.#problem;
  }

  /** Columns that may hold the sensor's raw values, by their place in the file. */
  readonly columns = $derived.by(() =>
    (this.#view?.columns ?? [])
      .map((name, index) => ({ name, index }))
      .filter(({ name }) => name !== this.#timeColumn),
  );
  /** Mean, scatter and count of each stretch; null where it holds no sample. */
  readonly plateaus = $derived.by((): readonly (Plateau | null)[] => {
    const [view, samples] = [this.#view, this.#samples];
    if (view === null || samples === null) return this.stretches.map(() => null);
    return this.stretches.map(({ startS, endS }) => plateauBetween(samples, view, startS, endS));
  });
  readonly endS = $derived.by(() =>
    this.#view === null ? 0 : this.#view.startS + (this.#view.count - 1) / this.#view.rateHz,
  );

  /** Opens a recording and reads its first column that is not the time. */
  async open(path: string, time: RecordingTime): Promise<void> {
    const turn = ++this.#turn;
    const outcome = await this.#client('bench.record', { path, time });
    if (turn !== this.#turn) return;
    this.#problem = outcome.ok ? null : outcome.error;
    if (!outcome.ok) return;
    this.#timeColumn = 'column' in time ? time.column : null;
    this.#view = outcome.value;
    await this.read(this.columns[0]?.index ?? 0);
  }

  /** Reads a column and proposes where it holds still. */
  async read(column: number): Promise<void> {
    const view = this.#view;
    if (view === null) return;
    const turn = ++this.#turn;
    this.column = column;
    this.#samples = null;
    this.stretches = [];
    const answer = await fetchColumn(view, column);
    if (turn !== this.#turn) return;
    if ('says' in answer) this.#problem = answer;
    else {
      this.#samples = answer;
      this.propose();
    }
  }

  /** Proposes stretches anew, each going up or down from the one before. */
  propose(): void {
    if (this.#view === null || this.#samples === null) return;
    const found = proposePlateaus(this.#samples, this.#view);
    this.stretches = found.map(({ startS, endS, mean }, k) => {
      const from = found[k - 1] ?? found[k + 1];
      const rises = k === 0 ? (from?.mean ?? mean) >= mean : mean >= from!.mean;
      return { startS, endS, direction: rises ? 'up' : 'down', run: 1, applied: '' };
    });
    this.chosen = 0;
  }

  change(index: number, part: Partial<Stretch>): void {
    this.stretches = this.stretches.map((stretch, k) => (k === index ? { ...stretch, ...part } : stretch));
  }

  /** Moves one end of a stretch, held within the recording and apart from the other end. */
  moveEnd(index: number, end: 'startS' | 'endS', toS: number): void {
    const stretch = this.stretches[index];
    if (stretch === undefined || this.#view === null) return;
    const [least, most] =
      end === 'startS' ? [this.#view.startS, stretch.endS - LEAST_S] : [stretch.startS + LEAST_S, this.endS];
    this.change(index, { [end]: Number(Math.min(Math.max(toS, least), most).toFixed(3)) });
  }

  /** Adds a stretch after the chosen one, for a person to move. */
  add(): void {
    if (this.#view === null) return;
    const { startS } = this.#view;
    const from = Math.min(this.stretches[this.chosen]?.endS ?? startS, this.endS - LEAST_S);
    const stretch: Stretch = {
      startS: from,
      endS: Math.min(from + ADDED_S, this.endS),
      direction: this.stretches[this.chosen]?.direction ?? 'up',
      run: this.stretches[this.chosen]?.run ?? 1,
      applied: '',
    };
    this.stretches = [...this.stretches, stretch].toSorted((a, b) => a.startS - b.startS);
    this.chosen = this.stretches.indexOf(stretch);
  }

  /** The point a stretch becomes; null where it holds no sample. */
  pointOf(index: number, applied: number, appliedUnit: PressureUnit): BenchPointEntry | null {
    const [view, plateau, stretch] = [this.#view, this.plateaus[index], this.stretches[index]];
    if (view === null || plateau == null || stretch === undefined) return null;
    const { startS, endS, direction, run } = stretch;
    const source = {
      kind: 'trace' as const,
      sha256: view.sha256,
      file: view.file,
      startS,
      endS,
      sdRaw: plateau.sd,
      count: plateau.count,
    };
    return { applied, appliedUnit, raw: plateau.mean, direction, run, setAside: null, source };
  }
}

async function fetchColumn(view: RecordingView, column: number): Promise<Float64Array | LabError> {
  const failed = (why: string): LabError => ({
    code: 'not_found',
    says: `The samples of ${view.file} could not be read (${why}).`,
    todo: 'Open the recording again.',
  });
  try {
    const response = await fetch(
      new URL(addressOf('recording', { sha256: view.sha256, column }), window.location.href).href,
    );
    if (!response.ok) return failed(`status ${response.status}`);
    const bytes = await response.arrayBuffer();
    if (bytes.byteLength !== 8 * view.count)
      return failed(`${bytes.byteLength} bytes came for ${view.count} samples`);
    return new Float64Array(bytes);
  } catch {
    return failed('the program does not answer');
  }
}
