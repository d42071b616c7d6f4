/** The one way from the screens to the lab, whichever host carries the calls. */
import { addressOf } from '../core/contract/addresses.ts';
import { type CallInput, type CallName, type CallResult, type LabClient } from '../core/contract/contract.ts';
import { type LabError } from '../core/base/refusal.ts';
import { withTurnsMeant, withTurnsShown } from '../core/base/plaintext.ts';
import type { Hand } from '../core/base/hand.ts';

/** What the Electron preload offers. */
interface Bridge {
  readonly call: (name: string, input: unknown) => Promise<unknown>;
}

declare global {
  interface Window {
    readonly lanebench?: Bridge;
  }
}

/** Shown where the program behind the screens no longer answers. */
const STOPPED: LabError = {
  code: 'not_found',
  says: 'The program has stopped.',
  todo: 'Start it again; every decision that was on the screen as saved is kept.',
};

/** A client of the lab: through the preload where there is one, else over the loopback. */
export function makeClient(): LabClient {
  const bridge = window.lanebench;
  return withoutTurns(bridge === undefined ? overLoopback : overBridge(bridge));
}

/** Marks that turn the direction of writing are shown on every screen, never obeyed; what goes back is as it was. */
function withoutTurns(client: LabClient): LabClient {
  return async (name, input) => withTurnsShown(await client(name, withTurnsMeant(input)));
}

function overBridge(bridge: Bridge): LabClient {
  return async <N extends CallName>(name: N, input: CallInput<N>) => {
    const answer = await bridge.call(name, input);
    return answer as CallResult<N>;
  };
}

async function overLoopback<N extends CallName>(name: N, input: CallInput<N>): Promise<CallResult<N>> {
  let response: Response;
  let text: string;
  try {
    response = await fetch(`/call/${name}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(input),
    });
    text = await response.text();
  } catch {
    return { ok: false, error: STOPPED };
  }
  if (response.status === 401 || response.status === 403)
    return { ok: false, error: notLetIn(response.status) };
  const answer: unknown = parsed(text);
  if (isOutcome(answer)) return answer as CallResult<N>;
  throw new Error(`The lab answered ${name} with status ${response.status} and no outcome.`);
}

function notLetIn(status: number): LabError {
  return {
    code: 'not_found',
    says: `This window is no longer let in by the program (status ${status}).`,
    todo: 'Close it and start the program again.',
  };
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function isOutcome(answer: unknown): boolean {
  return typeof answer === 'object' && answer !== null && 'ok' in answer && typeof answer.ok === 'boolean';
}

/** Address of a hand's force samples: little-endian float64, N. */
export function samplesUrl(day: number, trial: string, hand: Hand): string {
  return new URL(addressOf('samples', { day, trial, hand }), window.location.href).href;
}

/** Address of a camera's film. */
export function filmUrl(day: number, trial: string, camera: string): string {
  return new URL(addressOf('film', { day, trial, camera }), window.location.href).href;
}
