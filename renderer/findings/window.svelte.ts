/** Which lines of a long list lie in sight: only those are drawn. */

/** Drawn beyond the edge, so that a scroll shows no gap. */
const BEYOND = 6;

export class Sight {
  readonly rowHeight: number;
  #top = $state(0);
  #height = $state(600);

  constructor(rowHeight: number) {
    this.rowHeight = rowHeight;
  }

  /** The first and the line after the last that are drawn, of so many. */
  range(count: number): readonly [number, number] {
    const first = Math.max(0, Math.min(count, Math.floor(this.#top / this.rowHeight)) - BEYOND);
    const many = Math.ceil(this.#height / this.rowHeight) + 2 * BEYOND;
    return [first, Math.min(count, first + many)];
  }

  /** How many lines fit. */
  get page(): number {
    return Math.max(1, Math.floor(this.#height / this.rowHeight) - 2);
  }

  /** Follows an element's scrolling and size. */
  readonly follow = (element: HTMLElement): (() => void) => {
    const look = () => {
      this.#top = element.scrollTop;
      this.#height = element.clientHeight || this.#height;
    };
    look();
    element.addEventListener('scroll', look, { passive: true });
    const sizes = new ResizeObserver(look);
    sizes.observe(element);
    return () => {
      element.removeEventListener('scroll', look);
      sizes.disconnect();
    };
  };

  /** Brings a line into sight below a head of that height. */
  show(element: HTMLElement, line: number, head: number): void {
    const top = line * this.rowHeight;
    if (top < element.scrollTop) element.scrollTop = top;
    const bottom = top + this.rowHeight + head;
    if (bottom > element.scrollTop + element.clientHeight) element.scrollTop = bottom - element.clientHeight;
  }
}
