/** A dataset or pool and a plan in, results out. Contract: formats.md section 4, compare. */
import { createHash } from 'node:crypto';
import { basename, resolve } from 'node:path';
import type { Refusal } from '../../../core/base/refusal.ts';
import { failed, done, type Outcome } from '../../../core/base/refusal.ts';
import { DATASET_FIELDS } from '../../../core/dataset/dataset.ts';
import { printTable, tablePackage, type PackagedFile } from '../../../core/dataset/package.ts';
import { checkScript } from '../../../core/findings/check/script.ts';
import { comparePlan, type Results } from '../../../core/findings/compare.ts';
import { distributionsOf, figuresOf } from '../../../core/findings/figures/figures.ts';
import { readPlan, type Plan } from '../../../core/findings/plan.ts';
import { studyOf } from '../../../core/findings/study.ts';
import { summaryHtml, summaryMarkdown } from '../../../core/findings/summary.ts';
import { resultTables } from '../../../core/findings/tables.ts';
import { sentencesOf } from '../../../core/findings/words.ts';
import { readDatasetFolder } from '../../files/datasetfolder.ts';
import { writeFolder } from '../../files/outfolder.ts';
import { outFault, settle, whyNotWritten } from '../../files/outplace.ts';
import { readText } from '../../files/texttable.ts';
import { VERSION } from '../kept/version.ts';
import { studyTables } from './study.ts';

export interface CompareOrder {
  /** A dataset's or a pool's folder. */
  readonly folder: string;
  readonly plan: string;
  readonly out: string;
  readonly replace: boolean;
}

export type CompareOutcome =
  | { readonly kind: 'misplaced'; readonly says: string }
  | { readonly kind: 'nothing'; readonly says: string; readonly refused: readonly Refusal[] }
  | { readonly kind: 'written'; readonly results: Results };

/** Text columns of the dataset, so that codes that look like numbers stay codes. */
export const TEXTS = {
  trials: new Set(DATASET_FIELDS.trials.filter(({ type }) => type === 'string').map(({ name }) => name)),
  strokes: new Set(
    DATASET_FIELDS.strokes
      .filter(({ type }) => type === 'string' || type === 'boolean')
      .map(({ name }) => name),
  ),
};

/** Answers a plan and puts the results under `out`, whole or not at all. `onStep` is told what is being done. */
export async function makeComparison(
  order: CompareOrder,
  onStep: (says: string) => void = () => undefined,
): Promise<CompareOutcome> {
  const inputs = [
    { path: order.folder, name: 'the dataset' },
    { path: order.plan, name: 'the plan' },
  ];
  const fault = await outFault(order.out, inputs, order.replace);
  if (fault !== null) return { kind: 'misplaced', says: fault };
  const nothing = (says: string, refused: readonly Refusal[] = []): CompareOutcome => ({
    kind: 'nothing',
    says,
    refused,
  });
  const asked = await readPlanFile(order.plan);
  if (!asked.ok) return nothing(asked.error);
  onStep('Reading the tables');
  const folder = await readDatasetFolder(order.folder);
  if (!folder.ok) return nothing(folder.error);
  onStep('Answering the questions');
  const { plan, text } = asked.value;
  const results = comparePlan(studyOf(studyTables(folder.value)), plan, basename(order.plan), TEXTS);
  if (results.findings.length === 0) return nothing('No question could be answered.', results.refused);
  onStep('Writing the results');
  try {
    const inputs = [...folder.value.tables].map(([name, { sha256: own }]) => ({
      path: `${name}.csv`,
      sha256: own,
    }));
    const files = resultFiles(results, plan, text, inputs);
    await writeFolder(await settle(resolve(order.out)), files, order.replace);
  } catch (error) {
    return nothing(
      `The results could not be written to ${order.out}: ${whyNotWritten(error)}. OUT is as it was.`,
    );
  }
  return { kind: 'written', results };
}

interface AskedPlan {
  readonly plan: Plan;
  readonly text: string;
}

async function readPlanFile(path: string): Promise<Outcome<AskedPlan, string>> {
  const text = await readText(path, basename(path));
  if (!text.ok) return failed(text.error.reason);
  const plan = readPlan(text.value);
  return plan.ok ? done({ plan: plan.value, text: text.value }) : failed(`${basename(path)}: ${plan.error}`);
}

/** The unit of an outcome, as the codebook has it; empty for none. */
export function unitOf(column: string): string {
  const isOfStrokes = column.startsWith('strokes.');
  const fields = isOfStrokes ? DATASET_FIELDS.strokes : DATASET_FIELDS.trials;
  const name = isOfStrokes ? column.slice('strokes.'.length) : column;
  return fields.find((field) => field.name === name)?.unit ?? '';
}

export function labelled(column: string): string {
  const unit = unitOf(column);
  return unit === '' ? column : `${column} (${unit})`;
}

/** What results came from. */
export interface ResultInput {
  readonly path: string;
  readonly sha256: string;
}

const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');

/** The results' files, by name. The same dataset and plan give the same text, whenever and wherever it is made. */
export function resultFiles(
  results: Results,
  plan: Plan,
  planText: string,
  inputs: readonly ResultInput[],
): ReadonlyMap<string, string> {
  const files = new Map<string, string>();
  const packaged = new Map<string, PackagedFile>();
  const tables = resultTables(results);
  for (const table of tables) {
    const text = printTable(table);
    const path = `${table.name}.csv`;
    files.set(path, text);
    packaged.set(table.name, { path, bytes: Buffer.byteLength(text), sha256: sha256(text) });
  }
  const json = (value: unknown) => `${JSON.stringify(value, null, 2)}\n`;
  const title = plan.name === '' ? 'Findings' : `Findings: ${plan.name}`;
  const figures = figuresOf(results, labelled);
  for (const { name, svg, csv } of [...figures, ...distributionsOf(results, labelled)]) {
    files.set(`figures/${name}.svg`, svg);
    files.set(`figures/${name}.csv`, csv);
  }
  const said = sentencesOf(results, labelled, unitOf);
  files.set('summary.md', summaryMarkdown(plan, said, figures, results));
  files.set('summary.html', summaryHtml(plan, said, figures, results));
  files.set('check.R', checkScript(results, plan.adjust));
  files.set(
    'datapackage.json',
    json(tablePackage({ name: 'lanebench-findings', title }, VERSION, tables, packaged)),
  );
  files.set('provenance.json', json(provenance(plan, planText, inputs)));
  files.set('plan.json', planText);
  return files;
}

function provenance(plan: Plan, planText: string, inputs: readonly ResultInput[]): object {
  return {
    program: { name: 'lanebench', version: VERSION },
    plan: { name: plan.name, stated: plan.stated, sha256: sha256(planText) },
    inputs,
  };
}
