/** Many invented datasets out of one: its rows over and over under codes of their own, each number moved a little. */
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const CONDITIONS = ['easy', 'sprint', 'paddles'];
/** Strokes of a trial that are kept: what is marked of a sprint. */
const STROKES = 16;

/** Writes `days` datasets of `trials` trials below `to`; gives their folders. */
export function manyDatasets(from: string, to: string, days: number, trials: number): readonly string[] {
  const about = JSON.parse(readFileSync(join(from, 'datapackage.json'), 'utf8')) as {
    day: string;
    name: string;
    resources: { name: string; path: string; bytes: number; hash: string }[];
  };
  const table = (name: string) => {
    const [head, ...rows] = readFileSync(join(from, `${name}.csv`), 'utf8')
      .trimEnd()
      .split('\n');
    return { head: head!, rows: rows.map((row) => row.split(',')) };
  };
  const [trialTable, strokeTable] = [table('trials'), table('strokes')];
  const strokesOf = Map.groupBy(strokeTable.rows, ([trial]) => trial!);
  const condition = trialTable.head.split(',').indexOf('condition');
  return Array.from({ length: days }, (_, day) => {
    const folder = join(to, `day-${day}`);
    mkdirSync(folder, { recursive: true });
    const texts = new Map(
      ['participants', 'calibrations', 'refused'].map((name) => [
        name,
        readFileSync(join(from, `${name}.csv`), 'utf8'),
      ]),
    );
    const moved = (cells: readonly string[], code: string, k: number) =>
      cells.map((cell, at) =>
        at === 0 ? code : /^-?\d+\.\d+$/.test(cell) ? String(Number(cell) * (1 + (k % 97) / 2000)) : cell,
      );
    let [trialText, strokeText] = [`${trialTable.head}\n`, `${strokeTable.head}\n`];
    for (let k = 0; k < trials; k++) {
      const row = trialTable.rows[k % trialTable.rows.length]!;
      const code = `D${day}-T${k}`;
      const cells = moved(row, code, k + day);
      cells[condition] = CONDITIONS[(k + day) % CONDITIONS.length]!;
      trialText += `${cells.join(',')}\n`;
      for (const stroke of strokesOf.get(row[0]!)!.slice(0, STROKES))
        strokeText += `${moved(stroke, code, k + day).join(',')}\n`;
    }
    texts.set('trials', trialText).set('strokes', strokeText);
    const code = `big-${day}`;
    const resources = about.resources.map((resource) => {
      const text = texts.get(resource.name)!;
      const hash = `sha256:${createHash('sha256').update(text).digest('hex')}`;
      writeFileSync(join(folder, resource.path), text);
      return { ...resource, bytes: Buffer.byteLength(text), hash };
    });
    writeFileSync(
      join(folder, 'datapackage.json'),
      JSON.stringify({ ...about, day: code, name: `lanebench-${code}`, resources }),
    );
    const provenance = readFileSync(join(from, 'provenance.json'), 'utf8');
    writeFileSync(join(folder, 'provenance.json'), provenance);
    return folder;
  });
}
