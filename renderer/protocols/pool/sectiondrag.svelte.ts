/** Dragging the section on the drawn pool: from the press of a pointer to its release it is one step to undo. */
import { keyStepM, movedSection, type Grip, type SectionM } from './section.ts';

interface Hold {
  readonly grip: Grip;
  readonly pointer: number;
  readonly fromPx: number;
  readonly section: SectionM;
  readonly field: string;
}

interface Pool {
  readonly section: SectionM;
  readonly runM: number;
  /** Metres that one px of the drawing stands for. */
  readonly metresPerPx: number;
  readonly set: (section: [number, number], field: string) => void;
  /** Ends the step being made. */
  readonly done: () => void;
}

export class SectionDrag {
  readonly #pool: () => Pool;
  #hold = $state.raw<Hold | null>(null);
  #holds = 0;

  /** @param pool what is drawn, asked for anew at every event */
  constructor(pool: () => Pool) {
    this.#pool = pool;
  }

  /** What is held now; null where nothing is. */
  get held(): Grip | null {
    return this.#hold?.grip ?? null;
  }

  press(grip: Grip, event: PointerEvent): void {
    if (event.button !== 0 || this.#hold !== null) return;
    const target = event.currentTarget as HTMLElement;
    target.setPointerCapture(event.pointerId);
    this.#holds += 1;
    this.#hold = {
      grip,
      pointer: event.pointerId,
      fromPx: event.clientX,
      section: this.#pool().section,
      field: `section.drag.${this.#holds}`,
    };
  }

  move(event: PointerEvent): void {
    const hold = this.#hold;
    if (hold === null || hold.pointer !== event.pointerId) return;
    const pool = this.#pool();
    const byM = (event.clientX - hold.fromPx) * pool.metresPerPx;
    this.#take(pool, movedSection(hold.section, hold.grip, byM, pool.runM), hold.field);
  }

  lift(event: PointerEvent): void {
    if (this.#hold?.pointer !== event.pointerId) return;
    this.#hold = null;
    this.#pool().done();
  }

  key(grip: Grip, event: KeyboardEvent): void {
    const byM = event.ctrlKey || event.metaKey || event.altKey ? null : keyStepM(event.key, event.shiftKey);
    if (byM === null) return;
    event.preventDefault();
    const pool = this.#pool();
    this.#take(pool, movedSection(pool.section, grip, byM, pool.runM), `section.key.${grip}`);
  }

  #take(pool: Pool, section: [number, number], field: string): void {
    if (section[0] !== pool.section[0] || section[1] !== pool.section[1]) pool.set(section, field);
  }
}
