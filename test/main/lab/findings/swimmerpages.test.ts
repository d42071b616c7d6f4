/**
 * The swimmer's page. Its grade is that of Flesch–Kincaid (Kincaid, Fishburne, Rogers & Chissom 1975, Derivation of new
 * readability formulas, Naval Technical Training Command, Research Branch Report 8-75): 0.39 words per sentence + 11.8
 * syllables per word − 15.59.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { decideTrial } from '../../../../main/lab/days/dayview.ts';
import { folderPages, labPages, type PagesOutcome } from '../../../../main/lab/findings/swimmerpages.ts';
import { SAMPLE } from '../../cli/run.ts';
import { buildDay, tempFolder } from '../../files/day-builder.ts';
import { steadily, testLab, valueOf } from '../support.ts';

/** Syllables of an English word, counted as groups of vowels, a silent e at the end left away (the usual estimate). */
function syllables(word: string): number {
  const letters = word.toLowerCase().replace(/[^a-z]/g, '');
  if (letters.length <= 3) return 1;
  const groups = letters
    .replace(/(?:[^laeiouy]es|ed|[^laeiouy]e)$/, '')
    .replace(/^y/, '')
    .match(/[aeiouy]{1,2}/g);
  return Math.max(1, groups?.length ?? 1);
}

function grade(sentences: readonly string[]): number {
  const words = sentences.flatMap((sentence) => sentence.match(/[A-Za-z’']+/g) ?? []);
  const spoken = words.reduce((sum, word) => sum + syllables(word), 0);
  return 0.39 * (words.length / sentences.length) + 11.8 * (spoken / words.length) - 15.59;
}

/** The sentences of a page, its table apart. */
function sentencesOf(html: string): readonly string[] {
  const texts = [...html.matchAll(/<(p|li|h2)(?: [^>]*)?>(.*?)<\/\1>/gs)].map(([, , text]) =>
    text!.replace(/<[^>]*>/g, ' '),
  );
  return texts.flatMap((text) => text.split(/(?<=[.?!])\s+/)).filter((text) => /[A-Za-z]{2}/.test(text));
}

test('the formula gives the grade of texts whose grade is known by counting', () => {
  // 6 words, 1 sentence, 6 syllables: 0.39·6 + 11.8·1 − 15.59.
  expect(grade(['The cat sat on the mat.'])).toBeCloseTo(-1.45, 10);
  expect(syllables('recovery') + syllables('propulsion') + syllables('time')).toBe(4 + 3 + 1);
});

const order = (out: string) => ({ out, replace: false, printPdf: null });

test('pages of the sample day: one each, of grade 8 at most, with cautions, of nobody else, nobody without consent', async () => {
  const out = join(await tempFolder(), 'pages');
  const outcome = await folderPages(SAMPLE, order(out), steadily());
  expect(outcome).toMatchObject({ kind: 'written', pages: 7, leftOut: { swimmers: 1, trials: 2 } });
  const names = readdirSync(out).toSorted();
  expect(names).toEqual(['P01', 'P02', 'P03', 'P04', 'P05', 'P06', 'P07'].map((code) => `${code}.html`));
  for (const name of names) {
    const html = readFileSync(join(out, name), 'utf8');
    const sentences = sentencesOf(html);
    expect(sentences.length, name).toBeGreaterThan(12);
    expect(grade(sentences), name).toBeLessThanOrEqual(8);
    expect(html).toContain('If your shoulder hurts, stop.');
    expect(html).toContain('They do not say if you are well or ill.');
    expect(html).not.toMatch(/rank|best of|faster than|NaN|Infinity|undefined/i);
    const others = names.filter((other) => other !== name).map((other) => other.slice(0, 3));
    for (const other of [...others, 'P08']) expect(html, name).not.toContain(other);
    expect(html).not.toMatch(/<script|https?:/);
  }
  const own = readFileSync(join(out, 'P01.html'), 'utf8');
  expect(own).toContain('<th scope="col">Swim 1');
  expect(own.match(/<polyline/g)).toHaveLength(2);
}, 120_000);

test('pages of a day of the lab folder follow what was decided, and what is not there is not made', async () => {
  const lab = await testLab();
  const day = await lab.bring(await buildDay());
  const word = { day, trial: 'T1', seen: 'accepted', status: 'excluded', reason: 'zebra' } as const;
  valueOf(await decideTrial(lab.session, word));
  const out = join(await tempFolder(), 'pages');
  const pdf = Uint8Array.from(Buffer.from('%PDF-'));
  const printing = { ...order(out), printPdf: () => Promise.resolve(pdf) };
  expect(await labPages(lab.session, 'small-day', printing, steadily())).toMatchObject({ pages: 2 });
  expect(readdirSync(out).toSorted()).toEqual(['P01.html', 'P01.pdf', 'P02.html', 'P02.pdf']);
  const html = readFileSync(join(out, 'P01.html'), 'utf8');
  expect(html).toContain('left out');
  expect(html).not.toContain('zebra');
  expect(html).toContain('We have no swim that we can trust.');
  expect(html).not.toContain('<polyline');
}, 120_000);

test('a day that is not there, a place that is taken, a browser that prints nothing: a sentence, and nothing is left', async () => {
  const lab = await testLab();
  const place = await tempFolder();
  const saysOf = (outcome: PagesOutcome) =>
    outcome.kind === 'written' ? '' : outcome.kind === 'nothing' ? outcome.error.says : outcome.says;
  const out = join(place, 'pages');
  expect(saysOf(await labPages(lab.session, 'none', order(out), steadily()))).toMatch(/There is no day none/);
  expect(saysOf(await folderPages(join(place, 'no'), order(out), steadily()))).toMatch(/There is no folder/);
  expect(saysOf(await folderPages(place, order(out), steadily()))).toMatch(/must lie apart/);
  const day = await buildDay();
  const broken = { ...order(out), printPdf: () => Promise.resolve(null) };
  expect(saysOf(await folderPages(day, broken, steadily()))).toMatch(/did not make a PDF/);
  expect(existsSync(out)).toBe(false);
}, 120_000);
