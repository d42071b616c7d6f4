/**
 * The colours and line widths of the three themes: the one source for style sheets (as CSS variables, written at the
 * start) and for charts (as values). Contrast is tested in test/renderer/theme/tokens.test.ts.
 */

export const THEME_NAMES = ['light', 'dark', 'daylight'] as const;
export type ThemeName = (typeof THEME_NAMES)[number];

export interface Theme {
  /** The page. */
  readonly ground: string;
  /** Bars, table heads and dialogs. */
  readonly panel: string;
  readonly text: string;
  /** Secondary text. */
  readonly quiet: string;
  /** Borders, grid lines and the outlines of controls. */
  readonly line: string;
  /** Left hand: a solid line, labelled at its end. */
  readonly left: string;
  /** Right hand: a dashed line, labelled at its end. */
  readonly right: string;
  /** The one thing to do next, and the focus ring. */
  readonly accent: string;
  /** Text on the accent. */
  readonly onAccent: string;
  /** Always with a word and a sign. */
  readonly attention: string;
  /** Water of the lane strip. */
  readonly water: string;
  /** The measured section, on the water and behind a trace. */
  readonly section: string;
  /** A chosen row. */
  readonly chosen: string;
  /** Width of a hand's line, px. */
  readonly handLinePx: number;
  /** Width of borders, px. */
  readonly borderPx: number;
}

export const THEMES: Readonly<Record<ThemeName, Theme>> = {
  light: {
    ground: '#FBFAF7',
    panel: '#F5F3EE',
    text: '#1F2A37',
    quiet: '#4B5563',
    line: '#7B828B',
    left: '#0B5CAD',
    right: '#B4530A',
    accent: '#0F766E',
    onAccent: '#FFFFFF',
    attention: '#7A3E9D',
    water: '#E9EEF1',
    section: '#CFE3DF',
    chosen: '#E3EFEC',
    handLinePx: 2,
    borderPx: 1,
  },
  dark: {
    ground: '#11161C',
    panel: '#1A222B',
    text: '#E7ECF1',
    quiet: '#A9B4C0',
    line: '#728091',
    left: '#7CC0FF',
    right: '#FFB25C',
    accent: '#4FD1BE',
    onAccent: '#0B1512',
    attention: '#C9A2F2',
    water: '#1E2935',
    section: '#17413F',
    chosen: '#15302F',
    handLinePx: 2,
    borderPx: 1,
  },
  daylight: {
    ground: '#FFFFFF',
    panel: '#FFFFFF',
    text: '#000000',
    quiet: '#000000',
    line: '#000000',
    left: '#00329B',
    right: '#7A2E00',
    accent: '#004D45',
    onAccent: '#FFFFFF',
    attention: '#000000',
    water: '#FFFFFF',
    section: '#C4DEDA',
    chosen: '#DCEBE9',
    handLinePx: 3,
    borderPx: 2,
  },
};

/** A theme as CSS variables: `--ground: #FBFAF7`, `--hand-line: 2px`, … */
export function cssVariables(theme: Theme): Readonly<Record<string, string>> {
  const { handLinePx, borderPx, ...colours } = theme;
  const named = Object.entries(colours).map(([name, colour]) => [`--${hyphened(name)}`, colour] as const);
  return { ...Object.fromEntries(named), '--hand-line': `${handLinePx}px`, '--border': `${borderPx}px` };
}

function hyphened(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}
