/** The lab's protocols, and beginning another: from a starting protocol, from a copy, or from a file. */
import type { LabClient } from '../../core/contract/contract.ts';
import type { LabError } from '../../core/base/refusal.ts';
import type { ProtocolSummary } from '../../core/protocol/versions.ts';
import type { ProtocolContent } from '../../core/protocol/content.ts';
import { failed, type Outcome } from '../../core/base/refusal.ts';
import { isCode } from '../../core/base/table.ts';
import { Loaded } from '../loaded.svelte.ts';

/** What a new protocol begins from. */
export type Origin =
  | { readonly from: 'starter'; readonly content: ProtocolContent }
  | { readonly from: 'own'; readonly protocol: string }
  | { readonly from: 'file'; readonly file: Pick<File, 'text' | 'name'> };

export class ProtocolList {
  readonly #client: LabClient;
  readonly loaded = new Loaded<readonly ProtocolSummary[]>();

  constructor(client: LabClient) {
    this.#client = client;
  }

  readonly protocols = $derived.by(() => this.loaded.value ?? []);

  async load(): Promise<void> {
    await this.loaded.take(this.#client('protocols.list', {}));
  }

  /** What is wrong with the code of a new protocol; null where nothing is. */
  codeFault(code: string): string | null {
    if (!isCode(code)) return 'A code has 1 to 64 of the characters A–Z a–z 0–9 _ . - and no spaces.';
    const taken = this.protocols.some(({ protocol }) => protocol.toLowerCase() === code.toLowerCase());
    return taken ? `A protocol ${code} is there already.` : null;
  }

  /** Begins a protocol. Returns why not where it could not. */
  async begin(protocol: string, origin: Origin): Promise<LabError | null> {
    const outcome = await this.#send(protocol, origin);
    return outcome.ok ? null : outcome.error;
  }

  async #send(protocol: string, origin: Origin): Promise<Outcome<unknown, LabError>> {
    if (origin.from === 'file') {
      const text = await readText(origin.file);
      return text.ok ? this.#client('protocols.import', { protocol, text: text.value }) : text;
    }
    if (origin.from === 'starter')
      return this.#client('protocols.draft', { protocol, draft: origin.content });
    const own = await this.#client('protocols.get', { protocol: origin.protocol });
    if (!own.ok) return own;
    const content = own.value.versions[0]?.content ?? own.value.draft;
    return this.#client('protocols.draft', { protocol, draft: content });
  }
}

async function readText(file: Pick<File, 'text' | 'name'>): Promise<Outcome<string, LabError>> {
  try {
    return { ok: true, value: await file.text() };
  } catch {
    return failed({
      code: 'bad_input',
      says: `The file ${file.name} cannot be read.`,
      todo: 'Choose it again, or copy it to this machine first.',
    });
  }
}
