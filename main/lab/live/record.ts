/** A live source into a trace file, from its first row to its end. */
import { existsSync } from 'node:fs';
import { counted } from '../../../core/base/words.ts';
import { datagramLines, LineCutter } from '../../../core/live/lines.ts';
import { paceOf, type Pace } from '../../../core/live/pace.ts';
import { RowSorter, type Sorted } from '../../../core/live/rows.ts';
import type { LiveSource } from '../../../core/live/sourcename.ts';
import { GrowingFile } from '../../files/growing.ts';
import { NumberList } from '../../files/numbers.ts';
import type { Ended } from '../../wire/hearing.ts';
import { hearSource } from '../../wire/open.ts';

export interface RecordOrder {
  readonly source: LiveSource;
  readonly columns: readonly string[] | null;
  readonly out: string;
  /** How long from the first row, s; null for no end. */
  readonly seconds: number | null;
}

/** What came of a recording; `says` is for the person. */
export type RecordOutcome =
  | { readonly kind: 'misplaced' | 'nothing'; readonly says: string }
  | {
      readonly kind: 'recorded';
      readonly pace: Pace;
      readonly leftOut: number;
      /** Why it ended before a person or the time said so; null where it did not. */
      readonly early: string | null;
    };

export interface RecordFollowing {
  /** A person ends it. */
  readonly signal: AbortSignal;
  readonly onOpen?: () => void;
  readonly onRows?: (rows: number) => void;
}

/** Longest that first rows are held back, ms. */
const HELD_MS = 500;

const NO_HEADER = 'The source sends no header; say what its columns are: --columns time,L,R.';

/** Records until the time is over, a person ends it or the source closes. */
export async function recordSource(order: RecordOrder, following: RecordFollowing): Promise<RecordOutcome> {
  const { source, out } = order;
  if (existsSync(out))
    return {
      kind: 'misplaced',
      says: `${out} exists; a recording is never written over: choose another name.`,
    };
  if (!(await GrowingFile.isPossible(out)))
    return {
      kind: 'nothing',
      says: `${out} cannot be written: see that the folder is there and that you may write to it.`,
    };
  const recording = new Recording(order, following);
  const ended = await hearSource(source, recording.hearing, recording.stop.signal);
  return recording.finish(ended);
}

class Recording {
  readonly stop = new AbortController();
  private readonly order: RecordOrder;
  private readonly following: RecordFollowing;
  private readonly cutter = new LineCutter();
  private readonly sorter: RowSorter;
  private readonly file: GrowingFile;
  private readonly times = new NumberList();
  private rows = 0;
  private firstMs: number | null = null;
  private lastMs = 0;
  private timer: NodeJS.Timeout | undefined;
  private holding: NodeJS.Timeout | undefined;
  private isHeadless = false;
  private readonly onSignal = () => this.stop.abort();

  constructor(order: RecordOrder, following: RecordFollowing) {
    this.order = order;
    this.following = following;
    const names = order.columns?.map((name) => Buffer.from(name).toString('latin1')) ?? null;
    this.sorter = new RowSorter({ columns: names, mayBeCut: order.source.kind !== 'udp' });
    this.file = new GrowingFile(order.out, () => this.stop.abort());
    following.signal.addEventListener('abort', this.onSignal, { once: true });
    if (following.signal.aborted) this.stop.abort();
  }

  get hearing() {
    return {
      onBytes: (bytes: Uint8Array) => this.take(bytes),
      ...(this.following.onOpen === undefined ? {} : { onOpen: this.following.onOpen }),
    };
  }

  private take(bytes: Uint8Array): void {
    if (this.stop.signal.aborted) return;
    const lines = this.order.source.kind === 'udp' ? datagramLines(bytes) : this.cutter.take(bytes);
    for (const line of lines) {
      const sorted = this.sorter.take(line);
      if (sorted === null) {
        this.isHeadless = true;
        this.stop.abort();
        return;
      }
      if (this.firstMs === null && this.sorter.hasRow) this.begin();
      this.keep(sorted);
    }
    this.following.onRows?.(this.rows);
  }

  private keep({ text, rows }: Sorted): void {
    if (rows.length === 0) return;
    this.lastMs = performance.now();
    this.rows += rows.length;
    const at = Math.max(0, this.sorter.timeAt);
    for (const { values } of rows) this.times.push(values[at]!);
    this.file.add(text);
  }

  /** The first row is there: the time runs, and what is held back is held no longer than half a second. */
  private begin(): void {
    this.firstMs = performance.now();
    const { seconds } = this.order;
    if (seconds !== null) this.timer = setTimeout(() => this.stop.abort(), 1000 * seconds);
    this.holding = setTimeout(() => this.keep(this.sorter.release()), HELD_MS);
  }

  async finish(ended: Ended): Promise<RecordOutcome> {
    clearTimeout(this.timer);
    clearTimeout(this.holding);
    this.following.signal.removeEventListener('abort', this.onSignal);
    if (!this.isHeadless) this.keep(this.sorter.release());
    if (ended.kind === 'closed' && this.cutter.takeRest().trim() !== '') this.sorter.leftOut++;
    const leftOut = this.sorter.leftOut + this.cutter.thrown;
    await this.file.close();
    const { fault } = this.file;
    if (this.isHeadless) return { kind: 'misplaced', says: NO_HEADER };
    if (fault !== null && (this.rows === 0 || fault.code === 'EEXIST'))
      return { kind: 'nothing', says: `${this.order.out} cannot be written (${fault.code}).` };
    if (this.rows === 0) return { kind: 'nothing', says: noRow(ended, leftOut) };
    const early =
      fault !== null ? diskSaid(this.order.out, fault) : ended.kind === 'stopped' ? null : ended.says;
    return { kind: 'recorded', pace: this.pace(), leftOut, early };
  }

  private pace(): Pace {
    const times = this.times.take();
    const heardS = (this.lastMs - (this.firstMs ?? this.lastMs)) / 1000;
    let onward = 0;
    for (let k = 1; k < times.length; k++) if (times[k]! > times[k - 1]!) onward++;
    const hasTime = this.sorter.timeAt >= 0 || 2 * onward > times.length - 1;
    return paceOf(hasTime ? times : null, this.rows, heardS);
  }
}

function noRow(ended: Ended, leftOut: number): string {
  if (ended.kind === 'not_opened') return ended.says;
  const lines =
    leftOut === 0
      ? ''
      : ` ${counted(leftOut, 'line was', 'lines were')} no row and left out: see which columns the recorder sends.`;
  return `${ended.kind === 'closed' ? `${ended.says} ` : ''}No row came; nothing was recorded.${lines}`;
}

function diskSaid(out: string, { code }: NodeJS.ErrnoException): string {
  return code === 'ENOSPC' || code === 'EDQUOT'
    ? `The disk is full: ${out} ends where it was. Make room, and record on under another name.`
    : `${out} could not be written further (${code}).`;
}
