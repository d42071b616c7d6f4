/** A testing day about to begin: by which protocol, under which code, where and when. */
import { untrack } from 'svelte';
import type { LabError } from '../../../core/base/refusal.ts';
import type { ProtocolVersion, ProtocolView } from '../../../core/protocol/versions.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import { isCode } from '../../../core/base/table.ts';
import { Loaded } from '../../loaded.svelte.ts';
import { hashOf } from '../../route.ts';
import { typedText } from '../../fields/numberfield.ts';
import type { Desk } from '../../desk.svelte.ts';
import { poolWords } from './poolwords.ts';
import { SetupForm } from './setupform.svelte.ts';
import { todayHere } from './today.ts';

interface Choice {
  /** With a version, the one kept last first. */
  readonly kept: readonly ProtocolView[];
  /** Names of those of which only a draft is there. */
  readonly drafts: readonly string[];
}

export class NewDay {
  readonly #desk: Desk;
  readonly loaded = new Loaded<Choice>();
  readonly form = new SetupForm({ date: todayHere() });
  #protocol = $state<string | null>(null);
  #version = $state<number | null>(null);
  #typedCode = $state<string | null>(null);
  #taken = $state.raw<readonly string[]>([]);
  #problem = $state.raw<LabError | null>(null);
  #busy = $state(false);

  /** To be made while a component is set up. */
  constructor(desk: Desk) {
    this.#desk = desk;
    $effect(() => untrack(() => void this.#load()));
  }

  /** The protocol that is chosen, at first the one kept last. */
  readonly protocol = $derived.by((): ProtocolView | null => {
    const kept = this.loaded.value?.kept ?? [];
    return kept.find(({ protocol }) => protocol === this.#protocol) ?? kept[0] ?? null;
  });
  /** Its version that is chosen, at first the newest. */
  readonly version = $derived.by((): ProtocolVersion | null => {
    const versions = this.protocol?.versions ?? [];
    return versions.find(({ version }) => version === this.#version) ?? versions[0] ?? null;
  });
  /** What another length of pool than the protocol's changes. */
  readonly poolWarning = $derived.by(() =>
    this.version === null || this.form.poolLengthM === null
      ? []
      : poolWords(this.version.content, this.form.poolLengthM),
  );

  /** Code of the day: the date, and a number where that is taken, until another is typed. */
  get code(): string {
    return this.#typedCode ?? freeCode(this.form.date, this.#taken);
  }

  set code(text: string) {
    this.#typedCode = text;
  }

  get codeFault(): string | null {
    const code = this.code.trim();
    if (!isCode(code)) return 'A code has 1 to 64 of the characters A–Z a–z 0–9 _ . - and no spaces.';
    return this.#taken.includes(code) ? `There is a day ${code} already; give this one another code.` : null;
  }

  /** Why the day could not be begun. */
  get problem(): LabError | null {
    return this.#problem;
  }

  get busy(): boolean {
    return this.#busy;
  }

  /** Chooses a protocol, in its newest version unless another is named; its pool is proposed. */
  choose(protocol: string, version: number | null = null): void {
    const before = this.version?.content.poolLengthM ?? null;
    this.#protocol = protocol;
    this.#version = version;
    const isProposed = this.form.poolLength.trim() === typedText(before);
    if (isProposed) this.form.poolLength = typedText(this.version?.content.poolLengthM ?? null);
  }

  /** True where everything needed is typed. */
  get complete(): boolean {
    return this.version !== null && this.codeFault === null && this.form.read() !== null;
  }

  /** Begins the day and goes to its preparation. */
  async begin(): Promise<void> {
    const { protocol, version } = this;
    const typed = this.form.read();
    if (!this.complete || protocol === null || version === null || typed === null || this.#busy) return;
    this.#busy = true;
    const begun = await this.#desk.client('deck.new', {
      day: this.code.trim(),
      protocol: protocol.protocol,
      version: version.version,
      setup: { ...typed, files: version.content.files },
    });
    this.#busy = false;
    this.#problem = begun.ok ? null : begun.error;
    if (begun.ok) this.#desk.go(hashOf({ screen: 'prepare', day: begun.value.day }));
  }

  async #load(): Promise<void> {
    const { client } = this.#desk;
    const [days] = await Promise.all([client('days.list', {}), this.loaded.take(this.#ask())]);
    if (days.ok) this.#taken = days.value.map(({ day }) => day);
  }

  async #ask(): Promise<Outcome<Choice, LabError>> {
    const { client } = this.#desk;
    const list = await client('protocols.list', {});
    if (!list.ok) return list;
    const kept = list.value
      .filter(({ version }) => version !== null)
      .toSorted((a, b) => (b.keptAt ?? '').localeCompare(a.keptAt ?? ''));
    const views: ProtocolView[] = [];
    for (const answer of await Promise.all(
      kept.map(({ protocol }) => client('protocols.get', { protocol })),
    )) {
      if (!answer.ok) return answer;
      views.push(answer.value);
    }
    const drafts = list.value.filter(({ version }) => version === null).map(({ name }) => name);
    const newest = views[0]?.versions[0];
    if (newest !== undefined) this.form.poolLength ||= typedText(newest.content.poolLengthM);
    return done({ kept: views, drafts });
  }
}

/** The date itself, else with the first number from 2 that makes it new. */
export function freeCode(date: string, taken: readonly string[]): string {
  let code = date;
  for (let number = 2; taken.includes(code); number++) code = `${date}-${number}`;
  return code;
}
