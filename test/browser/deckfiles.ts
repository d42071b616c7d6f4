/** The acquisition computer of a testing day: drops files into the watched folder while the program runs, or is down. */
import { appendFileSync, cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { SAMPLE } from './app.ts';

/** Between two pieces of a file that is written slowly: shorter than the watch waits for quiet. */
const PIECE_EVERY_MS = 300;

export class Recorder {
  readonly folder: string;

  constructor(folder: string) {
    this.folder = folder;
    mkdirSync(folder);
  }

  /** A file of the sample day, whole. */
  drop(from: string, name: string): void {
    cpSync(join(SAMPLE, from), join(this.folder, name));
  }

  /** The beginning of a file of the sample day, as a copy that broke off leaves it. */
  dropCut(from: string, name: string, bytes: number): void {
    writeFileSync(join(this.folder, name), readFileSync(join(SAMPLE, from)).subarray(0, bytes));
  }

  dropText(name: string, text: string): void {
    writeFileSync(join(this.folder, name), text);
  }

  /** A file of the sample day in pieces; settles once it is whole. */
  async dropSlowly(from: string, name: string, pieces: number): Promise<void> {
    const whole = readFileSync(join(SAMPLE, from));
    const size = Math.ceil(whole.length / pieces);
    this.dropCut(from, name, size);
    for (let at = size; at < whole.length; at += size) {
      await pause(PIECE_EVERY_MS);
      appendFileSync(join(this.folder, name), whole.subarray(at, at + size));
    }
  }
}

/**
 * A dry run as an invented recorder writes it: ten seconds of still sensors with a little noise, tapped once on the left
 * and twice on the right.
 */
export function dryRunTrace(left: string, right: string): string {
  const rateHz = 500;
  const tap = (timeS: number, atS: number) =>
    timeS >= atS && timeS < atS + 0.12 ? 9000 * Math.exp(-(timeS - atS) / 0.03) : 0;
  const rows = Array.from({ length: 10 * rateHz }, (_, k) => {
    const timeS = k / rateHz;
    const noise = 8 * Math.sin(37 * k + 1.3) + 6 * Math.sin(11.1 * k);
    const raw = [8200 + tap(timeS, 2), 8640 + tap(timeS, 4.4) + tap(timeS, 6.1)];
    return [timeS.toFixed(3), ...raw.map((value) => Math.round(value + noise))].join(',');
  });
  return [`time,${left},${right}`, ...rows, ''].join('\n');
}
