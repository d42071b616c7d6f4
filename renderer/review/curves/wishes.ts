/** The panels of each view of the curves: the mean of the cycle, every stroke, and two trials beside one another. */
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import type { CycleEvent, MeanCurve } from '../../../core/stroke/curve.ts';
import { eventWords } from '../../../core/stroke/stroke.ts';
import { roundRange } from '../../plot/scale.ts';
import { pctOf, type Cycles } from './cycles.ts';
import type { FigureBand, FigureLine, PanelWish } from './figure.ts';
import type { Overlay } from './overlay.ts';

export type BothHands = Readonly<Record<Hand, Cycles>>;

const NAMES: Readonly<Record<Hand, string>> = { left: 'Left hand', right: 'Right hand' };
const DASH: Readonly<Record<Hand, string | null>> = { left: null, right: '7 4' };
const BEHIND = { ink: 'quiet', dash: null, label: null, faint: true } as const;
const FORCE = 'Hand force / N';
const PCT: readonly [number, number] = [0, 100];

function curveLine(
  values: ArrayLike<number>,
  look: Pick<FigureLine, 'ink' | 'dash' | 'label' | 'faint'>,
): FigureLine {
  const points = Array.from({ length: values.length }, (_, p) => [pctOf(p), values[p]!]).flat();
  return { points, ...look };
}

function bandOf(mean: MeanCurve, ink: FigureBand['ink']): readonly FigureBand[] {
  const { sd } = mean;
  if (sd === null) return [];
  const points = Array.from(mean.mean, (value, p) => [pctOf(p), value - sd[p]!, value + sd[p]!]).flat();
  return [{ points, ink }];
}

/** The round range of forces that holds everything given, N. */
function rangeOf(series: readonly ArrayLike<number>[]): readonly [number, number] {
  let [least, most] = [Infinity, -Infinity];
  for (const values of series)
    for (let k = 0; k < values.length; k++) {
      const value = values[k]!;
      if (value < least) least = value;
      if (value > most) most = value;
    }
  return roundRange(most < least ? null : [least, most]);
}

function bandEnds(mean: MeanCurve | null): readonly ArrayLike<number>[] {
  if (mean === null) return [];
  const { sd } = mean;
  if (sd === null) return [mean.mean];
  return [mean.mean.map((value, p) => value - sd[p]!), mean.mean.map((value, p) => value + sd[p]!)];
}

const cycleLabel = (event: CycleEvent) => `From ${eventWords(event)} to the next / % of the cycle`;

/** Mean ± SD of each hand, on one scale. */
export function meanPanels(both: BothHands, event: CycleEvent): readonly PanelWish[] {
  const y = rangeOf(HANDS.flatMap((hand) => bandEnds(both[hand].mean)));
  return HANDS.flatMap((hand): PanelWish[] => {
    const { mean } = both[hand];
    if (mean === null) return [];
    return [
      {
        title: `${NAMES[hand]}: mean ± SD of ${mean.n} ${mean.n === 1 ? 'stroke' : 'strokes'}`,
        xLabel: cycleLabel(event),
        yLabel: FORCE,
        x: PCT,
        y,
        bands: bandOf(mean, hand),
        lines: [curveLine(mean.mean, { ink: hand, dash: DASH[hand], label: 'Mean', faint: false })],
        uprights: [],
      },
    ];
  });
}

/** A small panel for each stroke that counts, all on one scale, with the hand's mean behind it. */
export function strokePanels(both: BothHands): readonly PanelWish[] {
  const all = HANDS.flatMap((hand) => both[hand].curves.map((curve) => ({ hand, curve })));
  const y = rangeOf(all.map(({ curve }) => curve.values));
  return all.map(({ hand, curve }): PanelWish => {
    const { mean } = both[hand];
    const behind = mean === null ? [] : [curveLine(mean.mean, BEHIND)];
    return {
      title: `${NAMES[hand]}, stroke ${curve.stroke}`,
      xLabel: '% of the cycle',
      yLabel: 'F / N',
      x: PCT,
      y,
      bands: [],
      lines: [...behind, curveLine(curve.values, { ink: hand, dash: DASH[hand], label: null, faint: false })],
      uprights: [],
    };
  });
}

/** One hand of two trials: their mean cycles, and their forces against time from a chosen event. */
export function besidePanels(
  hand: Hand,
  names: readonly [string, string],
  means: readonly [MeanCurve | null, MeanCurve | null],
  event: CycleEvent,
  overlay: Overlay | null,
): readonly PanelWish[] {
  const looks = [
    { ink: hand, dash: null, faint: false },
    { ink: 'text', dash: '2 4', faint: false },
  ] as const;
  const panels: PanelWish[] = [];
  const known = means.flatMap((mean, which) => (mean === null ? [] : [{ mean, which }]));
  if (known.length > 0)
    panels.push({
      title: `${NAMES[hand]}: mean ± SD of the cycle`,
      xLabel: cycleLabel(event),
      yLabel: FORCE,
      x: PCT,
      y: rangeOf(known.flatMap(({ mean }) => bandEnds(mean))),
      bands: known.flatMap(({ mean, which }) => bandOf(mean, looks[which]!.ink)),
      lines: known.map(({ mean, which }) => curveLine(mean.mean, { ...looks[which]!, label: names[which]! })),
      uprights: [],
    });
  if (overlay !== null) {
    const forces = overlay.lines.map(({ forceN }) => forceN);
    panels.push({
      title: `${NAMES[hand]}: force from ${eventWords(overlay.event)}`,
      xLabel: `Time from ${eventWords(overlay.event)} / s`,
      yLabel: FORCE,
      x: [overlay.fromS, overlay.toS],
      y: rangeOf(forces),
      bands: [],
      lines: overlay.lines.map(({ timeS, forceN }, which) => ({
        points: Array.from(timeS, (time, k) => [time, forceN[k]!]).flat(),
        ...looks[which]!,
        label: names[which]!,
      })),
      uprights: [{ x: 0, label: eventWords(overlay.event) }],
    });
  }
  return panels;
}
