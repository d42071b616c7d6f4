/** What every use case needs: the store, the clock, who is at work. */
import { userInfo } from 'node:os';
import type { LabError } from '../../../core/base/refusal.ts';
import { failed } from '../../../core/base/refusal.ts';
import type { Store, StoreError } from '../../store/store.ts';
import type { PrintPdf } from './port.ts';

export interface Session {
  readonly store: Store;
  readonly version: string;
  /** Folder of the sample day that comes with the program; null where it is not there. */
  readonly sampleFolder: string | null;
  /** Left out where the host cannot print. */
  readonly printPdf?: PrintPdf;
}

const OPERATOR = 'operator';

/** Now, as an ISO 8601 instant. */
export function now(): string {
  return new Date().toISOString();
}

/** Who is at work: what they called themselves, else the name they are logged in under. */
export function operatorOf({ store }: Session): string {
  return store.getSetting(OPERATOR)?.text ?? userInfo().username;
}

const LAB_NAME = 'lab_name';

/** The lab as it names itself on certificates; null where it does not. */
export function labNameOf({ store }: Session): string | null {
  return store.getSetting(LAB_NAME)?.text || null;
}

/** Names the lab; an empty name takes it away. */
export function setLabName(session: Session, name: string) {
  return session.store.setSetting(LAB_NAME, name, operatorOf(session), now());
}

export function setOperator(session: Session, operator: string) {
  return session.store.setSetting(OPERATOR, operator, operator, now());
}

const CODES: Readonly<Partial<Record<StoreError['code'], LabError['code']>>> = {
  changed_meanwhile: 'changed_meanwhile',
  target_taken: 'bad_input',
};

/** An error of the lab folder, as it crosses the contract. */
export function storeFault(error: StoreError): { readonly ok: false; readonly error: LabError } {
  const code = CODES[error.code] ?? 'lab_folder';
  return failed({ code, says: error.says, todo: error.todo });
}
