/** A lab that is asked through the contract, as a screen asks it. */
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { BenchDraft, BenchPointEntry, SensorCard } from '../../../core/sensor/draft.ts';
import type { CallInput, CallName, CallOutput } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { openLab } from '../../../main/lab/lab.ts';
import type { Lab, PrintPdf } from '../../../main/lab/kept/port.ts';
import { tempFolder } from '../files/day-builder.ts';

export interface BenchLab {
  readonly lab: Lab;
  /** The answer of a call that must succeed. */
  readonly ask: <N extends CallName>(name: N, input: CallInput<N>) => Promise<CallOutput<N>>;
  /** The error of a call that must fail; it must speak to a person. */
  readonly fault: <N extends CallName>(name: N, input: CallInput<N>) => Promise<LabError>;
  /** Opens a day folder and waits until it is in; gives its id. */
  readonly bring: (folder: string) => Promise<number>;
}

/** @param folder a lab folder that is there; left out, a new one */
export async function benchLab(printPdf?: PrintPdf, folder?: string): Promise<BenchLab> {
  const home = folder ?? join(await tempFolder(), 'lab');
  const lab = await openLab({ home, sampleFolder: null, version: '1.2.3', ...(printPdf && { printPdf }) });
  onTestFinished(() => lab.close());
  const ask: BenchLab['ask'] = async (name, input) => {
    const answer = await lab.carry(name, input);
    if (!answer.ok) throw new Error(`${name}: ${answer.error.code}: ${answer.error.says}`);
    return answer.value as never;
  };
  const fault: BenchLab['fault'] = async (name, input) => {
    const answer = await lab.carry(name, input);
    if (answer.ok) throw new Error(`${name} should have failed.`);
    const { says, todo } = answer.error;
    if (!says.endsWith('.') || !todo.endsWith('.')) throw new Error(`No sentences: "${says}" "${todo}"`);
    return answer.error;
  };
  const bring = async (folder: string) => {
    await ask('places.allow', { path: folder });
    let job = await ask('days.open', { path: folder });
    while (job.state === 'running') {
      await new Promise((resolve) => setTimeout(resolve, 10));
      job = await ask('jobs.get', { job: job.job });
    }
    if (job.day === null) throw new Error(job.error?.says ?? job.state);
    return job.day;
  };
  return { lab, ask, fault, bring };
}

export const CARD: SensorCard = {
  sensor: 'S-09',
  hand: 'left',
  rangeKpa: 4,
  rawUnit: 'count',
  rawMin: 0,
  rawMax: 65535,
  state: 'in_service',
  notes: '',
};

export function point(applied: number, raw: number, more: Partial<BenchPointEntry> = {}): BenchPointEntry {
  return {
    applied,
    appliedUnit: 'kPa',
    raw,
    direction: 'up',
    run: 1,
    setAside: null,
    source: { kind: 'typed' },
    ...more,
  };
}

/** Two runs over five pressures up and down, about 3000 counts/kPa, with an invented scatter of a few counts. */
export function goodPoints(perUnit = 3000, unit: BenchPointEntry['appliedUnit'] = 'kPa'): BenchPointEntry[] {
  const levels = [0, 0.5, 1, 1.5, 2];
  return [1, 2].flatMap((run) =>
    (['up', 'down'] as const).flatMap((direction) =>
      (direction === 'up' ? levels : levels.toReversed()).map((level, k) =>
        point(level, 8000 + perUnit * level + ((7 * k + 3 * run) % 5) - 2, {
          direction,
          run,
          appliedUnit: unit,
        }),
      ),
    ),
  );
}

export function draftOf(points: readonly BenchPointEntry[], more: Partial<BenchDraft> = {}): BenchDraft {
  return {
    sensor: CARD.sensor,
    method: 'reference_gauge',
    waterTemperatureC: null,
    latitudeDeg: null,
    altitudeM: null,
    columnHeightM: null,
    reference: { name: 'gauge G-1 (invented)', sharedKpa: 0.005, scale: 0.0005, perPointKpa: 0.002 },
    notes: '',
    points: [...points],
    ...more,
  };
}
