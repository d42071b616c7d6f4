/** The pieces a figure is drawn of: SVG text with no clock, chance or locale in it, so that equal data give equal bytes. */

export interface Frame {
  readonly width: number;
  readonly height: number;
  /** Edges of the plot within the picture, px. */
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export const FRAME: Frame = { width: 640, height: 420, left: 76, right: 600, top: 52, bottom: 352 };

/** Hues that are told apart by most eyes (Okabe & Ito 2008) and dark enough on white; each goes with a mark of its own. */
export const HUES = ['#0072b2', '#b84a00', '#00735c', '#8a3f77', '#5b5b00', '#444444'] as const;

/** The hue of the group at a place; hues come round again. */
export function hueOf(index: number): string {
  return HUES[index % HUES.length]!;
}

const INK = '#1f2a37';
const FAINT = '#d5d9de';

const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

/** Text as it stands in an SVG. */
export function escaped(text: string): string {
  return text.replace(/[&<>"]/g, (character) => ENTITIES[character]!);
}

/** A coordinate to a hundredth of a pixel. */
export function px(value: number): string {
  return String(Math.round(value * 100) / 100);
}

/** A straight scale from values to pixels. */
export interface Scale {
  readonly of: (value: number) => number;
  readonly ticks: readonly number[];
}

/** A scale over the values with round ticks, some room at both ends. */
export function scaleOver(values: readonly number[], from: number, to: number): Scale {
  let [low, high] = [Infinity, -Infinity];
  for (const value of values) [low, high] = [Math.min(low, value), Math.max(high, value)];
  if (!(high > low)) [low, high] = [low - 1, high + 1];
  const rough = (high - low) / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((times) => times * power).find((own) => own >= rough)!;
  const [first, last] = [Math.floor(low / step), Math.ceil(high / step)];
  const ticks = Array.from({ length: last - first + 1 }, (_, k) =>
    Number(((first + k) * step).toPrecision(12)),
  );
  const [start, end] = [first * step, last * step];
  return { of: (value) => from + ((value - start) / (end - start)) * (to - from), ticks };
}

/** A tick’s number with a true minus. */
export function tickText(value: number): string {
  return String(value).replace('-', '−');
}

/** One line of text; places in px of the picture. */
export function text(
  x: number,
  y: number,
  says: string,
  { anchor = 'start', size = 13, weight = 400, fill = INK, turn = 0 } = {},
): string {
  const turned = turn === 0 ? '' : ` transform="rotate(${turn} ${px(x)} ${px(y)})"`;
  return `<text x="${px(x)}" y="${px(y)}" text-anchor="${anchor}" font-size="${size}" font-weight="${weight}" fill="${fill}"${turned}>${escaped(says)}</text>`;
}

/** A straight line; places and width in px of the picture. */
export function line(
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  stroke: string,
  width = 1,
  dash = '',
): string {
  const dashed = dash === '' ? '' : ` stroke-dasharray="${dash}"`;
  return `<line x1="${px(x1)}" y1="${px(y1)}" x2="${px(x2)}" y2="${px(y2)}" stroke="${stroke}" stroke-width="${width}"${dashed}/>`;
}

/** A point's mark: its form tells the group without its hue. */
export function mark(x: number, y: number, index: number, size = 4): string {
  const about = `fill="${hueOf(index)}" fill-opacity="0.55" stroke="${hueOf(index)}"`;
  const path = (...corners: readonly (readonly [number, number])[]) =>
    `<path d="M${corners.map(([dx, dy]) => `${px(x + dx * size)} ${px(y + dy * size)}`).join('L')}Z" ${about}/>`;
  switch (index % 4) {
    case 0:
      return `<circle cx="${px(x)}" cy="${px(y)}" r="${size}" ${about}/>`;
    case 1:
      return path([0, -1.2], [1.1, 0.9], [-1.1, 0.9]);
    case 2:
      return path([-0.9, -0.9], [0.9, -0.9], [0.9, 0.9], [-0.9, 0.9]);
    default:
      return path([0, -1.3], [1.3, 0], [0, 1.3], [-1.3, 0]);
  }
}

/** The value axis at the left with its ticks, faint lines across, and its name. */
export function valueAxis(scale: Scale, name: string, frame = FRAME): string {
  const parts = scale.ticks.flatMap((tick) => {
    const y = scale.of(tick);
    return [
      line(frame.left, y, frame.right, y, FAINT),
      text(frame.left - 8, y + 4, tickText(tick), { anchor: 'end', size: 12 }),
    ];
  });
  const middle = (frame.top + frame.bottom) / 2;
  return [...parts, text(20, middle, name, { anchor: 'middle', turn: -90 })].join('');
}

/** The axis below with its ticks and its name. */
export function axisBelow(scale: Scale, name: string, frame = FRAME): string {
  const parts = scale.ticks.flatMap((tick) => {
    const x = scale.of(tick);
    return [
      line(x, frame.bottom, x, frame.bottom + 5, INK),
      text(x, frame.bottom + 20, tickText(tick), { anchor: 'middle', size: 12 }),
    ];
  });
  const middle = (frame.left + frame.right) / 2;
  return [
    line(frame.left, frame.bottom, frame.right, frame.bottom, INK),
    ...parts,
    text(middle, frame.bottom + 44, name, { anchor: 'middle' }),
  ].join('');
}

/** As many letters of a title as go beside one another. */
const TITLE_LETTERS = 60;
const TITLE_LINE = 20;

/** A text in lines of at most so many letters, broken between words; a longer word stands in a line of its own. */
function wrapped(says: string, letters: number): readonly string[] {
  const lines: string[] = [];
  for (const word of says.split(/\s+/).filter(Boolean)) {
    const open = lines.at(-1);
    if (open !== undefined && open.length + 1 + word.length <= letters)
      lines[lines.length - 1] = `${open} ${word}`;
    else lines.push(word);
  }
  return lines;
}

/**
 * A whole picture, higher where its title takes several lines; `describes` is what a person hears who cannot see it.
 */
export function picture(title: string, describes: string, parts: readonly string[], frame = FRAME): string {
  const lines = wrapped(title, TITLE_LETTERS);
  const down = TITLE_LINE * Math.max(0, lines.length - 1);
  const height = frame.height + down;
  const body = down === 0 ? parts : [`<g transform="translate(0 ${down})">`, ...parts, '</g>'];
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${frame.width} ${height}" width="${frame.width}" height="${height}" role="img" font-family="'DejaVu Sans', Verdana, sans-serif">`,
    `<title>${escaped(title)}</title>`,
    `<desc>${escaped(describes)}</desc>`,
    `<rect width="${frame.width}" height="${height}" fill="#ffffff"/>`,
    ...lines.map((own, k) => text(frame.left - 56, 26 + TITLE_LINE * k, own, { size: 15, weight: 600 })),
    ...body,
    '</svg>\n',
  ].join('\n');
}
