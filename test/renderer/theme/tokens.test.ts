/**
 * WCAG 2.2, success criteria 1.4.3 (text 4.5:1) and 1.4.11 (lines and controls 3:1); relative luminance and contrast
 * ratio after its glossary. Black on white is 21:1 and #777777 on white 4.48:1 (common knowledge, from memory).
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { cssVariables, THEME_NAMES, THEMES, type Theme } from '../../../renderer/theme/tokens.ts';

function luminance(colour: string): number {
  const [red, green, blue] = [1, 3, 5]
    .map((from) => parseInt(colour.slice(from, from + 2), 16) / 255)
    .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
  return 0.2126 * red! + 0.7152 * green! + 0.0722 * blue!;
}

function contrast(a: string, b: string): number {
  const [darker, lighter] = [luminance(a), luminance(b)].toSorted((x, y) => x - y);
  return (lighter! + 0.05) / (darker! + 0.05);
}

type Colour = Exclude<keyof Theme, 'handLinePx' | 'borderPx'>;

/** Text colours, each with the grounds it is written on. */
const TEXT: readonly (readonly [Colour, readonly Colour[]])[] = [
  ['text', ['ground', 'panel', 'chosen', 'section', 'water']],
  ['quiet', ['ground', 'panel', 'chosen']],
  ['attention', ['ground', 'panel', 'chosen']],
  ['left', ['ground', 'panel']],
  ['right', ['ground', 'panel']],
  ['accent', ['ground', 'panel']],
  ['onAccent', ['accent']],
  // The verdict "swim again" and a chosen radio button are written in the page's colour.
  ['ground', ['attention', 'text']],
];
/** Lines, each with the grounds it is drawn on. */
const LINES: readonly (readonly [Colour, readonly Colour[]])[] = [
  ['line', ['ground', 'panel', 'chosen', 'water']],
  ['text', ['ground', 'section', 'water']],
  ['left', ['ground', 'section']],
  ['right', ['ground', 'section']],
  ['accent', ['ground', 'panel', 'chosen', 'section', 'water']],
  ['attention', ['ground', 'panel', 'chosen']],
];

describe('the measure itself', () => {
  it('gives the known ratios', () => {
    expect(contrast('#000000', '#FFFFFF')).toBeCloseTo(21, 6);
    expect(contrast('#777777', '#FFFFFF')).toBeCloseTo(4.48, 2);
  });
});

describe.each(THEME_NAMES)('the theme %s', (name) => {
  const theme = THEMES[name];
  const pairs = (list: typeof TEXT) =>
    list.flatMap(([over, grounds]) => grounds.map((under) => [over, under] as const));

  it.each(pairs(TEXT))('text: %s on %s', (over, under) => {
    expect(contrast(theme[over], theme[under])).toBeGreaterThanOrEqual(4.5);
  });

  it.each(pairs(LINES))('line: %s on %s', (over, under) => {
    expect(contrast(theme[over], theme[under])).toBeGreaterThanOrEqual(3);
  });

  it('gives every token to the style sheets', () => {
    const variables = Object.values(cssVariables(theme));
    for (const value of Object.values(theme))
      expect(variables).toContain(typeof value === 'number' ? `${value}px` : value);
  });
});

it('names every variable that a style sheet uses', () => {
  const root = resolve('renderer');
  const sheets = readdirSync(root, { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.(svelte|css)$/.test(file))
    .map((file) => readFileSync(join(root, file), 'utf8'));
  const text = sheets.join('\n');
  const known = new Set([
    ...Object.keys(cssVariables(THEMES.light)),
    ...[...text.matchAll(/(--[a-z-]+)\s*:/g)].map((found) => found[1]),
    ...[...text.matchAll(/style:(--[a-z-]+)/g)].map((found) => found[1]),
  ]);
  const used = new Set([...text.matchAll(/var\((--[a-z-]+)/g)].map((found) => found[1]));
  expect([...used].filter((name) => !known.has(name))).toEqual([]);
  expect(sheets.length).toBeGreaterThan(20);
});
