/** How the acquisition computer writes its files, as it is typed. */
import type { ColumnHolds, FileHabits } from '../../../core/protocol/content.ts';
import { readTyped, typedText } from '../../fields/numberfield.ts';

export type FilesField = 'time' | 'left' | 'right' | 'names';
type TimeUnit = 's' | 'ms' | 'us';

export class FilesForm {
  /** `rate` where the files have no time column. */
  timeUnit = $state<TimeUnit | 'rate'>('s');
  timeColumn = $state('');
  rate = $state('');
  left = $state('');
  right = $state('');
  leftHolds = $state.raw<ColumnHolds>(null);
  rightHolds = $state.raw<ColumnHolds>(null);
  /** One pattern a line. */
  names = $state('');

  constructor({ time, left, right, leftHolds, rightHolds, names }: FileHabits) {
    this.leftHolds = leftHolds;
    this.rightHolds = rightHolds;
    if ('rateHz' in time) {
      this.timeUnit = 'rate';
      this.rate = typedText(time.rateHz);
    } else {
      this.timeUnit = time.unit;
      this.timeColumn = time.column;
    }
    this.left = left;
    this.right = right;
    this.names = names.join('\n');
  }

  readonly #patterns = $derived.by(() =>
    this.names
      .split('\n')
      .map((line) => line.trim())
      .filter((line) => line !== ''),
  );

  /** What is wrong, one sentence per field. */
  readonly faults = $derived.by((): Partial<Record<FilesField, string>> => {
    const faults: Partial<Record<FilesField, string>> = {};
    if (this.timeUnit !== 'rate' && this.timeColumn.trim() === '')
      faults.time = 'Type the name of the column that holds the time.';
    if (this.timeUnit === 'rate' && this.#rateHz === null)
      faults.time = 'Type the sampling rate in Hz, such as 500.';
    if (this.left.trim() === '') faults.left = 'Type the name of the left hand’s column.';
    if (this.right.trim() === '') faults.right = 'Type the name of the right hand’s column.';
    else if (this.left.trim() === this.right.trim()) faults.right = 'Each hand needs a column of its own.';
    if (this.#patterns.length === 0) faults.names = 'Type at least one pattern, such as {trial}.';
    else if (this.#patterns.length > 10) faults.names = 'There may be ten patterns at most.';
    return faults;
  });

  get #rateHz(): number | null {
    const typed = readTyped(this.rate, 'positive');
    return typed.ok ? typed.value : null;
  }

  /** What was typed; null while something is wrong with it. */
  read(): FileHabits | null {
    if (Object.keys(this.faults).length > 0) return null;
    const { timeUnit } = this;
    return {
      time:
        timeUnit === 'rate' ? { rateHz: this.#rateHz! } : { column: this.timeColumn.trim(), unit: timeUnit },
      left: this.left.trim(),
      right: this.right.trim(),
      leftHolds: this.leftHolds,
      rightHolds: this.rightHolds,
      names: [...this.#patterns],
    };
  }
}
