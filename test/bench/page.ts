/** The page of figures that `npm run bench` writes. */
import { availableParallelism, cpus, release, totalmem, type } from 'node:os';
import type { Spread } from './rounds.ts';

/** The program beside a peer: how many times as fast, with the start of both and without. */
export interface Ratio {
  readonly name: string;
  readonly peer: string;
  readonly wanted: number;
  readonly whole: Spread;
  readonly inside: Spread | null;
  /** The same of processor time, which a busy machine changes less. */
  readonly processor: Spread;
  readonly oursS: Spread;
  readonly theirsS: Spread;
  /** Most memory of each, MB. */
  readonly peakMb: readonly [number, number];
}

/** A day of so many trials. */
export interface Growth {
  readonly trials: number;
  readonly wholeS: number;
  readonly msPerTrial: number;
  readonly peakMb: number;
}

export interface Figures {
  readonly rounds: number;
  readonly start: Readonly<Record<'ours' | 'node' | 'python' | 'npm', Spread>>;
  readonly ratios: readonly Ratio[];
  /** First opening of a day over the second, in one process. */
  readonly again: Spread;
  readonly growth: readonly Growth[];
}

const spread = ({ median, least, most }: Spread, digits = 2) =>
  `${median.toFixed(digits)} (${least.toFixed(digits)}–${most.toFixed(digits)})`;

function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}

/** The page, as Markdown. */
export function pageOf({ rounds, start, ratios, again, growth }: Figures): string {
  const cpu = cpus()[0]?.model ?? 'unknown processor';
  const machine = `${cpu}, ${availableParallelism()} cores, ${Math.round(totalmem() / 2 ** 30)} GiB, ${type()} ${release()}, Node ${process.versions.node}`;
  return `# Speed

Written by \`npm run bench\`; do not edit. Machine: ${machine}. Median of ${rounds} rounds (least–most); the programs ran in
turns after one round that was not counted, on the same files, and their results were held against one another first.

## Beside what a lab would use instead

How many times as fast as the peer; over 1 is faster. "Start in" is the whole command: start, imports, reading and
writing, npm in ours. "Start out" leaves out the starts of both. "Processor" compares processor time of all threads.

${table(
  [
    'step',
    'peer',
    'wanted',
    'start in',
    'start out',
    'processor',
    'ours, s',
    'peer, s',
    'memory ours / peer, MB',
  ],
  ratios.map((one) => [
    one.name,
    one.peer,
    `≥ ${one.wanted}`,
    spread(one.whole),
    one.inside === null ? '' : spread(one.inside),
    spread(one.processor),
    spread(one.oursS),
    spread(one.theirsS),
    one.peakMb.map((mb) => mb.toFixed(0)).join(' / '),
  ]),
)}

A day opened again that has not changed, in one process: ${spread(again, 0)} times as fast as the first time (wanted: ≥ 20).

## Start

${table(
  ['program', 's'],
  [
    ['`npm run -s lanebench -- --version` (wanted: ≤ 0.25)', spread(start.ours)],
    ['`npm -v`', spread(start.npm)],
    ['`node -e 0`', spread(start.node)],
    ['Python with pandas and SciPy imported', spread(start.python)],
  ],
)}

## Growth

\`process\` of a day of 30 s trials at 1,000 Hz, 16 marked strokes each. Beyond 100 trials the traces are links to those
of a hundred. Wanted: under 250 MB, flat.

${table(
  ['trials', 's', 'ms per trial', 'memory, MB'],
  growth.map((one) => [
    String(one.trials),
    one.wholeS.toFixed(2),
    one.msPerTrial.toFixed(1),
    one.peakMb.toFixed(0),
  ]),
)}

## How to measure again

\`npm run bench\` (some minutes; Debian packages \`python3-pandas\`, \`python3-scipy\`, \`time\`). \`npm run bench -- --quick\` is
one round without the large days. It rewrites this page and \`figures.json\`, and names every ratio that fell by more than a
fifth. On screen: \`node test/bench/scrub.ts\`, \`node test/bench/findings.ts\`, \`node test/bench/frames.ts\`.
`;
}
