/** The numbers behind a figure as CSV: comments with where they come from, then one row per point. */
import { printCell, type Cell } from '../../../core/base/csv.ts';
import { HANDS } from '../../../core/base/hand.ts';
import { pctOf } from './cycles.ts';
import type { Overlay } from './overlay.ts';
import type { BothHands } from './wishes.ts';
import type { MeanCurve } from '../../../core/stroke/curve.ts';

/** Where a file of numbers comes from. */
export interface Origin {
  readonly day: string;
  /** Codes of the trials shown. */
  readonly trials: readonly string[];
  readonly what: string;
  readonly version: string;
  readonly who: string;
  /** ISO 8601 instant. */
  readonly at: string;
}

/** This instant, ISO 8601. */
export function instant(): string {
  return new Date().toISOString();
}

/** Every line begins with # and says one thing. */
function commentsOf({ day, trials, what, version, who, at }: Origin): readonly string[] {
  return [
    `# ${what}`,
    `# day: ${day}`,
    `# trial: ${trials.join(', ')}`,
    '# units: force N, time s, place in the cycle %',
    `# made by: Lanebench ${version}`,
    `# who: ${who === '' ? 'not given' : who}`,
    `# when: ${at}`,
  ].map((line) => line.replace(/[\r\n]+/g, ' '));
}

function csv(origin: Origin, heads: readonly string[], rows: readonly (readonly Cell[])[]): string {
  const text = (cell: Cell) => (typeof cell === 'number' && !Number.isFinite(cell) ? '' : printCell(cell));
  return [...commentsOf(origin), heads.join(','), ...rows.map((row) => row.map(text).join(',')), ''].join(
    '\n',
  );
}

/** Mean, SD and count of each hand at every point of the cycle. */
export function meanCsv(origin: Origin, both: BothHands): string {
  const shown = HANDS.filter((hand) => both[hand].mean !== null);
  const heads = [
    'cycle_pct',
    ...shown.flatMap((hand) => [`${hand}_mean_n`, `${hand}_sd_n`, `${hand}_strokes`]),
  ];
  const points = shown.length === 0 ? 0 : both[shown[0]!].mean!.mean.length;
  const rows = Array.from({ length: points }, (_, p) => [
    pctOf(p),
    ...shown.flatMap((hand) => {
      const { mean, sd, n } = both[hand].mean!;
      return [mean[p]!, sd?.[p] ?? null, n];
    }),
  ]);
  return csv(origin, heads, rows);
}

/** Every stroke that counts, at every point of its cycle. */
export function strokesCsv(origin: Origin, both: BothHands): string {
  const rows = HANDS.flatMap((hand) =>
    both[hand].curves.flatMap(({ stroke, values }) =>
      Array.from(values, (force, p): readonly Cell[] => [hand, stroke, pctOf(p), force]),
    ),
  );
  return csv(origin, ['hand', 'stroke', 'cycle_pct', 'force_n'], rows);
}

/** Two trials: mean cycles and the forces from the event. */
export function besideCsv(
  origin: Origin,
  means: readonly (MeanCurve | null)[],
  overlay: Overlay | null,
): string {
  const cycles = means.flatMap((mean, which) =>
    mean === null
      ? []
      : Array.from(mean.mean, (force, p): readonly Cell[] => [
          origin.trials[which]!,
          pctOf(p),
          null,
          force,
          mean.sd?.[p] ?? null,
        ]),
  );
  const times = (overlay?.lines ?? []).flatMap(({ timeS, forceN }, which) =>
    Array.from(timeS, (time, k): readonly Cell[] => [origin.trials[which]!, null, time, forceN[k]!, null]),
  );
  return csv(origin, ['trial', 'cycle_pct', 'time_from_event_s', 'force_n', 'sd_n'], [...cycles, ...times]);
}
