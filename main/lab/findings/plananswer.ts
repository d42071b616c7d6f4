/** Answers a plan of the lab: on the screen, as a folder of results, a figure as PDF. */
import { done, failed, type LabError, type Outcome } from '../../../core/base/refusal.ts';
import type { PlanAnswer, PlanSource } from '../../../core/contract/plans.ts';
import { namesNobody, veiled } from '../../../core/deck/veil.ts';
import { comparePlan, type Results } from '../../../core/findings/compare.ts';
import { figuresOf } from '../../../core/findings/figures/figures.ts';
import { readPlan, type Plan } from '../../../core/findings/plan.ts';
import { planDesign, type PlanDesign } from '../../../core/findings/planning.ts';
import { resultTables } from '../../../core/findings/tables.ts';
import { sentencesOf } from '../../../core/findings/words.ts';
import { writeFolder, type OutFile } from '../../files/outfolder.ts';
import { whyNotWritten } from '../../files/outplace.ts';
import { placeFor } from '../days/exportday.ts';
import type { Session } from '../kept/session.ts';
import { labelled, resultFiles, TEXTS, unitOf } from './compare.ts';
import { keptPlan, noteLook, type KeptPlan } from './planlog.ts';
import { sourceStudy } from './planstudy.ts';

interface Answered {
  readonly kept: KeptPlan;
  readonly plan: Plan;
  readonly results: Results;
  /** SHA-256 of the tables. */
  readonly data: string;
}

/** What may be asked of a source. */
export async function viewDesign(
  session: Session,
  source: PlanSource,
): Promise<Outcome<PlanDesign, LabError>> {
  const read = await sourceStudy(session, source);
  return read.ok ? done(planDesign(read.value.study)) : read;
}

async function answered(
  session: Session,
  name: string,
  source: PlanSource,
): Promise<Outcome<Answered, LabError>> {
  const kept = keptPlan(session, name);
  if (!kept.ok) return kept;
  const plan = readPlan(kept.value.text);
  if (!plan.ok) throw new Error(`A plan that was stated cannot be read: ${plan.error}`);
  const read = await sourceStudy(session, source);
  if (!read.ok) return read;
  const { study, sha256: data } = read.value;
  const noted = noteLook(session, kept.value, data);
  if (!noted.ok) return noted;
  const results = comparePlan(study, plan.value, `${name}.json`, TEXTS);
  return done({ kept: kept.value, plan: plan.value, results, data });
}

/** Answers a plan for the screen; what cannot be answered stands beside what can. */
export async function answerPlan(
  session: Session,
  name: string,
  source: PlanSource,
): Promise<Outcome<PlanAnswer, LabError>> {
  const outcome = await answered(session, name, source);
  if (!outcome.ok) return outcome;
  const { kept, results, data } = outcome.value;
  const said = sentencesOf(results, labelled, unitOf);
  const figures = figuresOf(results, labelled);
  return done({
    sha256: kept.view.sha256,
    data,
    said,
    tables: resultTables(results)
      .filter(({ name: own }) => own === 'tests' || own === 'groups')
      .map(({ name: own, fields, rows }) => ({
        name: own,
        columns: fields.map((field) => field.name),
        rows,
      })),
    // Everyone in a study consents: the figures name nobody else.
    figures: figures.map(({ question, name: file, svg, csv }) => ({
      question,
      name: file,
      title: said.find((one) => one.question === question)?.heading ?? question,
      svg: veiled(namesNobody, svg),
      csv: veiled(namesNobody, csv),
    })),
    refused: results.refused.map(({ reason }) => reason),
  });
}

/** Writes the answers as `lanebench compare` does; figures as PDF too where this host prints. */
export async function savePlan(
  session: Session,
  wish: { readonly plan: string; readonly source: PlanSource; readonly path: string },
): Promise<Outcome<{ path: string; files: number }, LabError>> {
  const out = await placeFor(session, wish.path);
  if (!out.ok) return out;
  const outcome = await answered(session, wish.plan, wish.source);
  if (!outcome.ok) return outcome;
  const { kept, plan, results, data } = outcome.value;
  if (results.findings.length === 0)
    return failed({
      code: 'bad_input',
      says: `No question could be answered. ${results.refused.map(({ reason }) => reason).join(' ')}`,
      todo: 'Change the plan, or what it is asked of.',
    });
  const inputs = [
    { path: 'release' in wish.source ? `release ${wish.source.release}` : 'days', sha256: data },
  ];
  const files = new Map<string, OutFile>(resultFiles(results, plan, kept.text, inputs));
  for (const [path, text] of [...files]) {
    if (!path.endsWith('.svg') || typeof text !== 'string') continue;
    const pdf = await session.printPdf?.(pageOf(text));
    if (pdf != null) files.set(path.replace(/svg$/, 'pdf'), { make: () => pdf });
  }
  try {
    await writeFolder(out.value, files, false);
  } catch (error) {
    return failed({
      code: 'lab_folder',
      says: `The results could not be written to ${wish.path}: ${whyNotWritten(error)}.`,
      todo: 'Make room, or choose a folder elsewhere. Nothing was left there.',
    });
  }
  return done({ path: out.value, files: files.size });
}

/** A picture alone on a page of its own size. */
function pageOf(svg: string): string {
  const [, width = '720', height = '480'] = /width="(\d+)" height="(\d+)"/.exec(svg) ?? [];
  return `<!doctype html><meta charset="utf-8"><title>Figure</title><style>@page { size: ${width}px ${height}px; margin: 0 } body { margin: 0 } svg { display: block }</style>${svg}`;
}

/** A picture as PDF, base64. Only a picture that this program drew is printed. */
export async function figurePdf(
  session: Session,
  svg: string,
): Promise<Outcome<{ base64: string }, LabError>> {
  if (!svg.startsWith('<svg ') || /<(?:script|foreignObject|image|iframe|a)\b|\son\w+=|href/i.test(svg))
    return failed({
      code: 'bad_input',
      says: 'This is no picture of this program.',
      todo: 'Save a figure from its screen.',
    });
  const bytes = await session.printPdf?.(pageOf(svg));
  if (bytes == null)
    return failed({
      code: 'not_found',
      says: 'PDF needs an installed browser (Chromium, Chrome or Edge), and none was found here.',
      todo: 'Install one, or save the figure as SVG or PNG.',
    });
  return done({ base64: Buffer.from(bytes).toString('base64') });
}
