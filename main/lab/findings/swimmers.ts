/** Counts about whom something tells: each swimmer's days and trials. */
import type { Shown } from '../../../core/base/shown.ts';
import type { SwimmerTold } from '../../../core/contract/releases.ts';

interface Cells {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

export class Swimmers {
  private readonly told = new Map<Shown<string>, { days: number; trials: number }>();

  /** Swimmers of one day, with trials or without. */
  addDay(participants: Iterable<Shown<string>>): void {
    for (const participant of participants) this.of(participant).days += 1;
  }

  addTrial(participant: Shown<string>): void {
    this.of(participant).trials += 1;
  }

  /** The trials of a table, of the swimmers that may be named. */
  addTrials({ columns, rows }: Cells, swimmers: readonly Shown<string>[]): void {
    const shown = new Map<string, Shown<string>>(swimmers.map((code) => [code, code]));
    const place = columns.indexOf('participant');
    for (const row of rows) {
      const code = shown.get(row[place]!);
      if (code !== undefined) this.addTrial(code);
    }
  }

  /** By code. */
  list(): readonly SwimmerTold[] {
    return [...this.told]
      .toSorted(([a], [b]) => (a < b ? -1 : 1))
      .map(([participant, counts]) => ({ participant, ...counts }));
  }

  private of(participant: Shown<string>): { days: number; trials: number } {
    const known = this.told.get(participant) ?? { days: 0, trials: 0 };
    this.told.set(participant, known);
    return known;
  }
}
