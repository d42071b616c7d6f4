/** A lab folder looked after from outside: checked, and saved from damage. */
import type { LabError } from '../../core/base/refusal.ts';
import { done, type Outcome } from '../../core/base/refusal.ts';
import { counted } from '../../core/base/words.ts';
import { REPORT_FILE } from '../store/report.ts';
import { salvageLab } from '../store/salvagelab.ts';
import { openStoreReadOnly } from '../store/store.ts';
import { verifiedText, verifyStore, type Verified } from './days/verify.ts';
import { storeFault } from './kept/session.ts';

type OnFile = (done: number, total: number) => void;

/** Checks the lab folder `home` without changing anything in it; `lines` are the damages. */
export async function verifyFolder(
  home: string,
  all: boolean,
  onFile: OnFile,
): Promise<Outcome<Pick<Verified, 'lines' | 'noted'> & { readonly says: string }, LabError>> {
  const opened = openStoreReadOnly(home);
  if (!opened.ok) return storeFault(opened.error);
  try {
    const verified = await verifyStore(opened.value, all, new AbortController().signal, onFile);
    return done({ ...verified, says: verifiedText(verified) });
  } finally {
    opened.value.close();
  }
}

/** Writes a new lab folder from whatever of a damaged one can be read; `says` is what was lost. */
export async function salvageInto(
  from: string,
  to: string,
  onFile: OnFile,
): Promise<Outcome<{ readonly says: readonly string[]; readonly summary: string }, LabError>> {
  const salvaged = await salvageLab(from, to, onFile);
  if (!salvaged.ok) return storeFault(salvaged.error);
  const { days, rawFiles, says, folder } = salvaged.value;
  const lost = says.length === 0 ? 'Nothing was lost' : `${counted(says.length, 'thing')} lost or changed`;
  const summary = `${counted(days, 'day')} and ${counted(rawFiles, 'raw file')} are in the new lab folder ${folder}. ${lost}; ${REPORT_FILE} there says so too.`;
  return done({ says, summary });
}
