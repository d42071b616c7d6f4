/** The picture: framing by arithmetic, the box, and how film and trace cover one another. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  boxBetween,
  boxWithin,
  MOST_ZOOM,
  panBy,
  transformOf,
  WHOLE,
  zoomAbout,
  type Framing,
} from '../../../../renderer/review/filmtools/framing.ts';
import { coverageSentences } from '../../../../renderer/review/filmtools/coverage.ts';
import { PictureView } from '../../../../renderer/review/filmtools/pictureview.svelte.ts';
import { FILM, trialView } from '../fixture.ts';

const share = fc.double({ min: 0, max: 1, noNaN: true });
const framing: fc.Arbitrary<Framing> = fc
  .tuple(fc.double({ min: 1, max: MOST_ZOOM, noNaN: true }), share, share)
  .map(([zoom, x, y]) => ({ zoom, x: x * (1 - 1 / zoom), y: y * (1 - 1 / zoom) }));
/** What of the picture lies under a place of the pane, shares. */
const under = ({ zoom, x, y }: Framing, at: { x: number; y: number }) => ({
  x: x + at.x / zoom,
  y: y + at.y / zoom,
});

describe('framing', () => {
  it('keeps what is under the pointer there while zooming in', () => {
    fc.assert(
      fc.property(framing, share, share, fc.double({ min: 1, max: 3, noNaN: true }), (from, x, y, factor) => {
        const before = under(from, { x, y });
        const after = under(zoomAbout(from, { x, y }, factor), { x, y });
        expect(after.x).toBeCloseTo(before.x, 9);
        expect(after.y).toBeCloseTo(before.y, 9);
      }),
    );
  });

  it('never shows anything beside the picture', () => {
    const move = fc.double({ min: -3, max: 3, noNaN: true });
    fc.assert(
      fc.property(
        framing,
        move,
        move,
        fc.double({ min: 0.1, max: 10, noNaN: true }),
        (from, x, y, factor) => {
          for (const to of [panBy(from, x, y), zoomAbout(from, { x: 0.3, y: 0.9 }, factor)]) {
            expect(to.zoom).toBeGreaterThanOrEqual(1);
            expect(to.zoom).toBeLessThanOrEqual(MOST_ZOOM);
            for (const corner of [to.x, to.y]) {
              expect(corner).toBeGreaterThanOrEqual(0);
              expect(corner + 1 / to.zoom).toBeLessThanOrEqual(1 + 1e-9);
            }
          }
        },
      ),
    );
  });

  it('is the whole picture without a transform', () => {
    expect(transformOf(WHOLE)).toBe('translate(0%, 0%) scale(1)');
    expect(transformOf(zoomAbout(WHOLE, { x: 0.5, y: 0.5 }, 2))).toBe('translate(-50%, -50%) scale(2)');
  });
});

describe('the box', () => {
  const film = { widthPx: 480, heightPx: 270 };
  it('runs between its corners, whichever came first, in whole pixels of the film', () => {
    const box = boxBetween({ x: 100.4, y: 80 }, { x: 60, y: 20.6 });
    expect(boxWithin(box, film)).toEqual({ x: 60, y: 21, width: 40, height: 59 });
  });
  it('stays in the film', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -900, max: 900, noNaN: true }),
        fc.double({ min: -900, max: 900, noNaN: true }),
        fc.double({ min: 0, max: 2000, noNaN: true }),
        (x, y, side) => {
          const box = boxWithin({ x, y, width: side, height: side }, film);
          expect(box.x).toBeGreaterThanOrEqual(0);
          expect(box.y).toBeGreaterThanOrEqual(0);
          expect(box.x + box.width).toBeLessThanOrEqual(film.widthPx);
          expect(box.y + box.height).toBeLessThanOrEqual(film.heightPx);
          expect(box.width).toBeGreaterThanOrEqual(4);
        },
      ),
    );
  });
});

describe('the picture as looked at', () => {
  it('goes back to what was recorded', () => {
    const picture = new PictureView();
    picture.zoomBy(1);
    picture.brightness = 150;
    expect(picture.isChanged).toBe(true);
    expect(picture.filter).toBe('brightness(150%) contrast(100%)');
    picture.reset();
    expect(picture.isChanged).toBe(false);
    expect(picture.filter).toBe('none');
  });
});

describe('coverage', () => {
  const view = trialView();
  const film = (fromS: number, toS: number) => ({
    ...FILM,
    frameTimesS: Array.from({ length: Math.round((toS - fromS) * 50) }, (_, k) => fromS + k / 50),
    clock: { offsetS: 0, rate: 1 },
  });
  it('is silent where a film covers trace and section', () => {
    expect(coverageSentences(view, film(0, 10))).toEqual([]);
  });
  it('tells of a film that ends before the section', () => {
    const says = coverageSentences(view, film(0, 5)).join(' ');
    expect(says).toContain('does not show the whole measured section');
    expect(says).toContain('no picture for its last 5.00\u00a0s');
  });
  it('tells of a film that goes on beyond the trace', () => {
    expect(coverageSentences(view, film(0, 14))).toEqual(['The film runs 4.00\u00a0s after it ends.']);
  });
  it('says nothing of a film that nothing ties', () => {
    expect(coverageSentences(view, { ...film(0, 2), clock: null })).toEqual([]);
  });
});
