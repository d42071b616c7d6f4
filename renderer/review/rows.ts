/** Layout of the rows below the plot: bands and bridges in pixels, and the labels there is room for. */
import { largest } from '../../core/base/extent.ts';
import type { Hand } from '../../core/base/hand.ts';
import { formatSigned } from '../format.ts';
import { labelsWithRoom } from './labels.ts';
import { PHASE_WORDS, type Bridge, type Phase, type PhaseBand } from './strokes.ts';

/** Heights and places, px: left arm, labels, bridge, labels, right arm. */
const BAND = 28;
const LABELS = 40;
const BRIDGE = 18;
export const ROWS = {
  band: BAND,
  bridgeBand: BRIDGE,
  left: 0,
  bridge: BAND + LABELS,
  right: BAND + LABELS + BRIDGE + LABELS,
  height: BAND + LABELS + BRIDGE + LABELS + BAND,
} as const;

/** About the width of a character of 14 px, plain and bold, px. */
const CHARACTER_PX = 9;
const BOLD_PX = 10;

interface Axis {
  readonly span: { readonly fromS: number; readonly toS: number };
  readonly pixelAt: (timeS: number) => number;
}

/** Ends of the axis, px. */
type Ends = readonly [from: number, to: number];

export interface DrawnBand {
  readonly stroke: number;
  readonly phase: Phase;
  readonly leftOut: boolean;
  readonly x: number;
  readonly width: number;
  /** The phase's name, where there is room for it. */
  readonly label: string | null;
  readonly labelX: number;
}

const SHORT: Readonly<Record<Phase, string>> = { ...PHASE_WORDS, entry_catch: 'Entry' };

/** The bands that a window shows, with labels in the middle of what is to be seen of them. */
export function visibleBands(bands: readonly PhaseBand[], axis: Axis): readonly DrawnBand[] {
  const { fromS, toS } = axis.span;
  return bands
    .filter((band) => band.toS > fromS && band.fromS < toS)
    .map((band) => {
      const [x, end] = [axis.pixelAt(band.fromS), axis.pixelAt(band.toS)];
      const [seen, seenEnd] = [
        axis.pixelAt(Math.max(fromS, band.fromS)),
        axis.pixelAt(Math.min(toS, band.toS)),
      ];
      const fits = (text: string) => seenEnd - seen >= (text.length + 1) * CHARACTER_PX;
      const label = [PHASE_WORDS[band.phase], SHORT[band.phase]].find(fits) ?? null;
      return {
        stroke: band.stroke,
        phase: band.phase,
        leftOut: band.leftOut,
        x,
        width: end - x,
        label,
        labelX: (seen + seenEnd) / 2,
      };
    });
}

export interface DrawnBridge {
  readonly bridge: Bridge;
  readonly x: number;
  readonly width: number;
  /** Pixels of the partner's propulsion end and of this propulsion start. */
  readonly endX: number;
  readonly startX: number;
}

export interface BridgeLabel {
  readonly atPx: number;
  readonly widthPx: number;
  readonly first: boolean;
  readonly hand: Hand;
  readonly stroke: number;
  readonly lines: readonly [string, string];
}

/** The bridges that a window shows. */
export function visibleBridges(bridges: readonly Bridge[], axis: Axis): readonly DrawnBridge[] {
  const { fromS, toS } = axis.span;
  return bridges
    .filter((bridge) => bridge.toS >= fromS && bridge.fromS <= toS)
    .map((bridge) => {
      const [x, end] = [axis.pixelAt(bridge.fromS), axis.pixelAt(bridge.toS)];
      const [endX, startX] = bridge.kind === 'gap' ? [x, end] : [end, x];
      return { bridge, x, width: Math.max(2, end - x), endX, startX };
    });
}

/** A bridge's length as it is written on it: ms and % of the stroke cycle. */
export function bridgeWords(bridge: Bridge): readonly [string, string] {
  const share = bridge.idcPct === null ? '' : `${formatSigned(bridge.idcPct, 1)}\u00a0%`;
  return [`${formatSigned(bridge.lengthMs, 0)}\u00a0ms`, share];
}

/**
 * Labels of the bridges into one hand that have room; that of the chosen stroke comes first. Where fewer than a third
 * of them would fit, one label would seem to stand for all: only the chosen stroke's is left.
 */
export function bridgeLabels(
  drawn: readonly DrawnBridge[],
  hand: Hand,
  chosenStroke: number | null,
  [from, to]: Ends,
): readonly BridgeLabel[] {
  const labels = drawn
    .filter(({ bridge }) => bridge.hand === hand)
    .map(({ bridge, x, width }): BridgeLabel => {
      const lines = bridgeWords(bridge);
      const first = bridge.stroke === chosenStroke;
      const widthPx = largest(lines.map((line) => line.length)) * (first ? BOLD_PX : CHARACTER_PX);
      return {
        atPx: Math.min(to - widthPx / 2, Math.max(from + widthPx / 2, x + width / 2)),
        widthPx,
        first,
        hand,
        stroke: bridge.stroke,
        lines,
      };
    });
  const placed = labelsWithRoom(labels, 4);
  return placed.length * 3 < labels.length ? placed.filter((label) => label.first) : placed;
}
