/** A protocol being made: its draft on the screen, kept by itself, taken back step by step, kept as a version. */
import { untrack } from 'svelte';
import type { LabClient } from '../../core/contract/contract.ts';
import type { LabError } from '../../core/base/refusal.ts';
import type { ProtocolView } from '../../core/protocol/versions.ts';
import { protocolChanges } from '../../core/protocol/change.ts';
import { protocolContent, type ProtocolContent } from '../../core/protocol/content.ts';
import { sectionCosts } from '../../core/protocol/sectioncost.ts';
import { Loaded } from '../loaded.svelte.ts';
import type { Steps } from '../steps.ts';
import { faultOf } from './fieldfault.ts';
import { Saver } from '../saver.svelte.ts';
import { ValueSteps } from './valuesteps.svelte.ts';

/** What a group of fields is given: the protocol as it stands, and how to change a part of it. */
export interface Editing {
  readonly content: ProtocolContent;
  /** Takes a part, unless the schema forbids it: then nothing changes and the reason comes back as a sentence. */
  readonly set: (part: Partial<ProtocolContent>, field: string | null) => string | null;
}

export class Builder {
  readonly #client: LabClient;
  readonly #say: (message: string) => void;
  readonly protocol: string;
  readonly loaded = new Loaded<ProtocolView>();
  readonly saver: Saver<ProtocolContent | null>;
  readonly #steps = new ValueSteps<ProtocolContent | null>();
  /** What the person made of the draft; null while the screen shows what the lab has. */
  #made = $state.raw<{ readonly draft: ProtocolContent | null } | null>(null);
  #keepProblem = $state.raw<LabError | null>(null);

  constructor(client: LabClient, say: (message: string) => void, protocol: string) {
    this.#client = client;
    this.#say = say;
    this.protocol = protocol;
    this.saver = new Saver((draft) => client('protocols.draft', { protocol, draft }));
  }

  readonly versions = $derived.by(() => this.loaded.value?.versions ?? []);
  /** The newest version; null before the first is kept. */
  readonly newest = $derived.by(() => this.versions[0] ?? null);
  readonly draft = $derived.by(() =>
    this.#made === null ? (this.loaded.value?.draft ?? null) : this.#made.draft,
  );
  /** What the screen shows: the draft, else the newest version; null where there is neither. */
  readonly content = $derived.by(() => this.draft ?? this.newest?.content ?? null);
  readonly changes = $derived.by(() =>
    this.draft === null || this.newest === null ? [] : protocolChanges(this.newest.content, this.draft),
  );
  readonly costs = $derived.by(() => (this.content === null ? [] : sectionCosts(this.content)));
  readonly nextVersion = $derived.by(() => (this.newest?.version ?? 0) + 1);
  /** True where keeping makes a version: the first, or one that changes something. */
  readonly keepable = $derived.by(
    () => this.draft !== null && (this.newest === null || this.changes.length > 0),
  );

  get keepProblem(): LabError | null {
    return this.#keepProblem;
  }

  async load(): Promise<void> {
    await this.loaded.take(this.#client('protocols.get', { protocol: this.protocol }));
  }

  /** Changes a part of the protocol. Returns why not where it cannot be. See `Editing`. */
  readonly set = (part: Partial<ProtocolContent>, field: string | null): string | null => {
    const { content } = this;
    if (content === null) return null;
    const next = { ...content, ...part };
    const fault = faultOf(next);
    if (fault === null) this.#change(next, field);
    return fault;
  };

  /** Ends the step being made; what follows in the same field can be taken back apart. */
  readonly closeStep = (): void => untrack(() => this.#steps.close());

  /** Lays another content on the desk, such as that of an older version. */
  lay(content: ProtocolContent, says: string): void {
    this.#change(content, null);
    this.#say(says);
  }

  discard(): void {
    this.#steps.add(this.draft, null, null);
    this.#show(null);
    this.#say('The draft is put away; Undo brings it back.');
  }

  /** Keeps the draft as the next version. */
  async keep(): Promise<void> {
    this.#keepProblem = null;
    if (this.#made !== null) this.saver.put(this.draft);
    if (!(await this.saver.flush())) return;
    const outcome = await this.#client('protocols.keep', { protocol: this.protocol });
    if (!outcome.ok) {
      this.#keepProblem = outcome.error;
      return;
    }
    await this.loaded.take(Promise.resolve(outcome));
    this.#made = null;
    this.#steps.clear();
    this.#say(`Version ${this.newest?.version ?? ''} of ${this.protocol} kept.`);
  }

  /** Undo and redo here. */
  get steps(): Steps {
    const turn = async (way: 'back' | 'forth') => {
      const step = this.#steps[way]();
      if (step === null) return;
      this.#show(step.to);
      this.#say(way === 'back' ? 'Taken back: the latest change of the protocol' : 'Done again');
    };
    return {
      canUndo: this.#steps.canUndo,
      canRedo: this.#steps.canRedo,
      undo: () => turn('back'),
      redo: () => turn('forth'),
      label: 'Undo the latest change of the protocol',
    };
  }

  /** A draft that says what the newest version says is none. */
  #change(next: ProtocolContent, field: string | null): void {
    const isSame = this.newest !== null && sameContent(next, this.newest.content);
    const draft = isSame ? null : next;
    if (draft === null && this.draft === null) return;
    this.#steps.add(this.draft, draft, field);
    this.#show(draft);
  }

  #show(draft: ProtocolContent | null): void {
    this.#made = { draft };
    this.saver.put(draft);
  }
}

function sameContent(a: ProtocolContent, b: ProtocolContent): boolean {
  return JSON.stringify(protocolContent.parse(a)) === JSON.stringify(protocolContent.parse(b));
}
