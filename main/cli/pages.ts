/** `lanebench pages`: a page per swimmer of a day. */
import { homedir } from 'node:os';
import { counted } from '../../core/base/words.ts';
import { done, failed } from '../../core/base/refusal.ts';
import { folderPages, labPages, type PagesOutcome } from '../lab/findings/swimmerpages.ts';
import { VERSION } from '../lab/kept/version.ts';
import { defaultLabFolder } from '../lab/home.ts';
import { inLab } from '../lab/lab.ts';
import { openingFault } from '../lab/opening.ts';
import { canRun, findBrowser } from '../loopback/browser.ts';
import { printPdf } from '../loopback/pdf.ts';
import { progressOf } from './releases.ts';
import { COMPLETE, NOTHING, PARTLY, USAGE, type Terminal } from './terminal.ts';

export interface PagesWish {
  /** A day folder, or the code of a day of the lab folder. */
  readonly from: { readonly folder: string } | { readonly day: string };
  readonly out: string;
  readonly replace: boolean;
  readonly pdf: boolean;
}

export async function runPages({ from, out, replace, pdf }: PagesWish, terminal: Terminal): Promise<number> {
  const { env, platform } = process;
  const browser = findBrowser({ environment: env, platform, homedir: homedir(), canRun });
  if (pdf && browser.kind !== 'found') {
    terminal.error(
      'A PDF needs an installed browser of the Chromium family, and none was found. Name one in LANEBENCH_BROWSER, or leave out --pdf.',
    );
    return NOTHING;
  }
  const print = browser.kind === 'found' ? (html: string) => printPdf(browser.path, html) : null;
  const order = { out, replace, printPdf: pdf ? print : null };
  const progress = progressOf(terminal, 'Page');
  let outcome: PagesOutcome;
  if ('folder' in from) outcome = await folderPages(from.folder, order, progress);
  else {
    const home = defaultLabFolder(env, platform, homedir());
    try {
      const made = await inLab(home, VERSION, async (session) =>
        done(await labPages(session, from.day, order, progress)),
      );
      outcome = made.ok ? made.value : { kind: 'nothing', error: failed(made.error).error };
    } catch (error) {
      terminal.error(openingFault(error, home));
      return NOTHING;
    }
  }
  terminal.progress?.('');
  if (outcome.kind === 'misplaced') {
    terminal.error(outcome.says);
    return USAGE;
  }
  if (outcome.kind === 'nothing') {
    terminal.error(`${outcome.error.says} ${outcome.error.todo}`);
    return NOTHING;
  }
  const { pages, refused, leftOut } = outcome;
  terminal.print(`${counted(pages, 'page')} written to ${out}`);
  if (leftOut.swimmers > 0)
    terminal.print(
      `Left out for consent: ${counted(leftOut.swimmers, 'swimmer')}, ${counted(leftOut.trials, 'trial')}.`,
    );
  if (refused === 0) return COMPLETE;
  terminal.print(`${counted(refused, 'input')} refused; "lanebench process" says what and why.`);
  return PARTLY;
}
