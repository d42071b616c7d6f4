/** Where the residuals of a clock line and its uncertainty lie in their plot, px: film time along, ms upwards. */
import { largest, smallest } from '../../../core/base/extent.ts';
import { toVideo } from '../../../core/clock/clock.ts';
import type { ClockAlong, ClockQuality } from '../../../core/clock/quality.ts';
import type { Section } from '../../../core/stroke/stroke.ts';
import { formatNumber, formatSigned } from '../../format.ts';
import { tickDecimals, ticksIn } from '../../plot/scale.ts';

export const RESIDUALS = { heightPx: 240, left: 72, right: 16, top: 16, bottom: 48 } as const;
/** Least half-range of the axis, ms: what no mark can tell apart must not fill the plot. */
const LEAST_MS = 2;
const TICK_PX = { time: 80, ms: 36 } as const;

export interface ResidualDot {
  readonly x: number;
  readonly y: number;
  /** Ends of what reading to the nearest frame and sample explains; null where that is not known. */
  readonly explained: readonly [top: number, bottom: number] | null;
  readonly beyond: boolean;
}

export interface ResidualPicture {
  /** The band of ± the standard uncertainty, as an SVG path; null where it is not known. */
  readonly band: string | null;
  readonly zeroY: number;
  readonly dots: readonly ResidualDot[];
  readonly section: readonly [number, number] | null;
  readonly ticksX: readonly { readonly x: number; readonly text: string }[];
  readonly ticksY: readonly { readonly y: number; readonly text: string }[];
}

/** The picture over a stretch of the film, s; null where there is no line. */
export function residualPicture(
  quality: ClockQuality,
  along: ClockAlong | null,
  span: readonly [number, number],
  section: Section | null,
  widthPx: number,
): ResidualPicture | null {
  const { line, residuals } = quality;
  if (line === null) return null;
  const inner = {
    width: widthPx - RESIDUALS.left - RESIDUALS.right,
    height: RESIDUALS.heightPx - RESIDUALS.top - RESIDUALS.bottom,
  };
  const videoTimes = residuals.map(({ pair }) => pair.videoS);
  const [from, to] = [Math.min(span[0], smallest(videoTimes)), Math.max(span[1], largest(videoTimes))];
  const reach = Math.max(
    LEAST_MS,
    largest(
      residuals.map(({ residualS, explainedS }) => 1000 * Math.max(Math.abs(residualS), explainedS ?? 0)),
    ),
    largest(along?.points.map(({ uS }) => 1000 * uS) ?? []),
  );
  const most = reach * 1.1;
  const x = (videoS: number) => RESIDUALS.left + ((videoS - from) / (to - from || 1)) * inner.width;
  const y = (ms: number) => RESIDUALS.top + ((most - ms) / (2 * most)) * inner.height;
  const clip = (pixel: number) => Math.min(RESIDUALS.left + inner.width, Math.max(RESIDUALS.left, pixel));
  const ticksS = ticksIn(from, to, inner.width / TICK_PX.time);
  const ticksMs = ticksIn(-most, most, inner.height / TICK_PX.ms);
  const edge = (sign: 1 | -1) =>
    (along?.points ?? []).map(
      ({ videoS, uS }) => `${x(videoS).toFixed(1)} ${y(sign * 1000 * uS).toFixed(1)}`,
    );
  return {
    band: along === null ? null : `M${[...edge(1), ...edge(-1).toReversed()].join('L')}Z`,
    zeroY: y(0),
    dots: residuals.map(({ pair, residualS, explainedS, beyond }) => ({
      x: x(pair.videoS),
      y: y(1000 * residualS),
      explained: explainedS === null ? null : [y(1000 * explainedS), y(-1000 * explainedS)],
      beyond,
    })),
    section:
      section === null
        ? null
        : [clip(x(toVideo(line, section.startS))), clip(x(toVideo(line, section.endS)))],
    ticksX: ticksS.map((s) => ({ x: x(s), text: formatNumber(s, tickDecimals(ticksS)) })),
    ticksY: ticksMs.map((ms) => ({ y: y(ms), text: formatSigned(ms, tickDecimals(ticksMs)) })),
  };
}
