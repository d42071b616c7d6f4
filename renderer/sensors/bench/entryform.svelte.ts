/** The next point as it is typed. Its unit, direction and run go on from the point before. */
import type { BenchPointEntry } from '../../../core/sensor/draft.ts';
import type { BenchFault } from '../../../core/sensor/entry.ts';
import type { PressureUnit } from '../../../core/sensor/hydrostatics.ts';
import { readTyped, typedText } from '../../fields/numberfield.ts';
import type { Bench } from './bench.svelte.ts';
import { nextStep, stepOf, type Direction, type NextStep } from './nextstep.ts';

export class EntryForm {
  readonly #bench: Bench;
  applied = $state('');
  raw = $state('');
  direction = $state<Direction>('up');
  run = $state(1);
  /** A unit that was chosen; null while the method's own stands. */
  #unit = $state<PressureUnit | null>(null);
  /** True while the pressure in the field is proposed, not typed. */
  proposed = $state(false);

  constructor(bench: Bench) {
    this.#bench = bench;
  }

  /** Depths for a water column; else the unit chosen, or that of the last point. */
  get unit(): PressureUnit {
    if (this.#bench.draft.method === 'water_column') return 'm_water';
    const last = this.#bench.draft.points.at(-1)?.appliedUnit;
    return this.#unit ?? (last === undefined || last === 'm_water' ? 'kPa' : last);
  }

  set unit(unit: PressureUnit) {
    this.#unit = unit;
  }

  /** The point; null while something about it cannot be read. */
  readonly point = $derived.by((): BenchPointEntry | null => {
    const [applied, raw] = [readTyped(this.applied), readTyped(this.raw)];
    if (!applied.ok || !raw.ok || applied.value === null || raw.value === null) return null;
    return {
      applied: applied.value,
      appliedUnit: this.unit,
      raw: raw.value,
      direction: this.direction,
      run: this.run,
      setAside: null,
      source: { kind: 'typed' },
    };
  });

  /** What is wrong with what was typed, before it is taken. */
  readonly faults = $derived.by((): readonly Pick<BenchFault, 'field' | 'says' | 'todo'>[] => {
    const read = (text: string, field: 'applied' | 'raw') => {
      const typed = readTyped(text);
      return typed.ok ? [] : [{ field, says: typed.says, todo: '' }];
    };
    const unread = [...read(this.applied, 'applied'), ...read(this.raw, 'raw')];
    return this.point === null ? unread : this.#bench.faultsOf(this.point);
  });

  /** Follows the points: proposes what is to be read next. */
  follow(): void {
    this.#propose(nextStep(this.#bench.draft.points, this.unit));
  }

  turn(direction: Direction): void {
    this.#propose(this.#stepIn(direction, this.run));
  }

  setRun(run: number): void {
    this.#propose(this.#stepIn(this.direction, run));
  }

  /** Takes the point. Returns whether it could be read. */
  add(): boolean {
    const { point } = this;
    if (point === null) return false;
    this.#bench.addPoint(point);
    this.raw = '';
    return true;
  }

  #stepIn(direction: Direction, run: number): NextStep {
    const used = this.#bench.draft.points.filter(
      ({ setAside, appliedUnit }) => setAside === null && appliedUnit === this.unit,
    );
    const step = stepOf(used, direction, run);
    return step.direction === direction && step.run === run ? step : { applied: null, direction, run };
  }

  #propose({ applied, direction, run }: NextStep): void {
    this.direction = direction;
    this.run = run;
    this.applied = typedText(applied);
    this.proposed = applied !== null;
  }
}
