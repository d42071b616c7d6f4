/**
 * Refused rows of one file, gathered as they are found: neighbouring lines refused for one reason are one entry, so
 * that ten million bad rows cost neither memory nor a table of them. Contract: formats.md section 3, refused.csv.
 */
import type { Refusal } from './refusal.ts';

/** More entries than this of one file are told together, in one last entry. */
export const MOST_RUNS = 10_000;

interface Run {
  readonly line: number;
  readonly field: string | null;
  readonly kind: string;
  readonly reason: string;
  lastLine: number;
  rows: number;
}

/** ` Lines 12 to 480, 469 rows.`: what an entry stands for; nothing for a single row. */
function extentText({ line, lastLine, rows }: Pick<Run, 'line' | 'lastLine' | 'rows'>): string {
  return rows === 1 ? '' : ` Lines ${line} to ${lastLine}, ${rows} rows.`;
}

function toRefusal(file: string, run: Run, reason: string): Refusal {
  const { line, field, lastLine, rows } = run;
  const bare = { file, line, field, reason: `${reason}${extentText(run)}` };
  return rows === 1 ? bare : { ...bare, lastLine, rows };
}

/** A reason without the values and lines that it names: what neighbouring rows share to be one. */
function ruleOf(reason: string): string {
  return reason.replace(/"[^"]*"|[-+]?\d+(?:[.,]\d+)?/g, '');
}

const EXTENT = / Lines \d+ to \d+, \d+ rows\.$/;

/**
 * Joins entries of neighbouring lines that were found apart, in several readings of a file, for one reason.
 * @param refusals in the order of files and lines
 */
export function joinRuns(refusals: readonly Refusal[]): readonly Refusal[] {
  const joined: Refusal[] = [];
  for (const refusal of refusals) {
    const last = joined.at(-1);
    const { line, lastLine = line, rows = 1 } = refusal;
    if (last === undefined || line === null || !isBehind(last, refusal)) {
      joined.push(refusal);
      continue;
    }
    const both = { line: last.line!, lastLine: lastLine!, rows: (last.rows ?? 1) + rows };
    const reason = `${last.reason.replace(EXTENT, '')}${extentText(both)}`;
    joined[joined.length - 1] = { ...last, ...both, reason };
  }
  return joined;
}

/** True where an entry begins below the last line of another of its file, for the same reason. */
function isBehind(last: Refusal, { file, line, field, reason, follows }: Refusal): boolean {
  if (follows === true || last.follows === true || last.line === null || last.line === 0) return false;
  if (last.file !== file || last.field !== field || line !== (last.lastLine ?? last.line) + 1) return false;
  return ruleOf(last.reason.replace(EXTENT, '')) === ruleOf(reason.replace(EXTENT, ''));
}

export class RefusedRuns {
  private readonly file: string;
  private readonly runs: Run[] = [];
  private further: Run | null = null;

  /** @param file its path inside the day, with forward slashes */
  constructor(file: string) {
    this.file = file;
  }

  /**
   * Adds a refused row. Rows come in the order of their lines.
   * @param kind what neighbouring rows must share to be one entry; never the wrong value itself
   * @param reason a sentence that quotes the wrong value; asked for only where a new entry begins
   */
  add(line: number, field: string | null, kind: string, reason: () => string): void {
    const last = this.runs.at(-1);
    if (this.further === null && last?.kind === kind && last.field === field && line <= last.lastLine + 1) {
      last.lastLine = line;
      last.rows++;
    } else if (this.runs.length < MOST_RUNS)
      this.runs.push({ line, field, kind, reason: reason(), lastLine: line, rows: 1 });
    else {
      this.further ??= { line, field: null, kind: '', reason: '', lastLine: line, rows: 0 };
      this.further.lastLine = line;
      this.further.rows++;
    }
  }

  list(): Refusal[] {
    const listed = this.runs.map((run) => toRefusal(this.file, run, run.reason));
    if (this.further === null) return listed;
    const reason = `More than ${MOST_RUNS} places of ${this.file} were refused; the rest is not told one by one.`;
    return [...listed, toRefusal(this.file, this.further, reason)];
  }
}

/** Rows of one file left out only because what they belong to was refused: one entry for each cause. */
export class FollowingRows {
  private readonly file: string;
  private readonly causes = new Map<string, Run>();

  constructor(file: string) {
    this.file = file;
  }

  /** @param because a sentence that names the cause: it is what rows of one entry share */
  add(line: number, because: string): void {
    const known = this.causes.get(because);
    if (known === undefined)
      this.causes.set(because, { line, field: null, kind: '', reason: because, lastLine: line, rows: 1 });
    else {
      known.lastLine = line;
      known.rows++;
    }
  }

  list(): Refusal[] {
    return [...this.causes.values()].map((run) => ({
      ...toRefusal(this.file, run, run.reason),
      follows: true as const,
    }));
  }
}
