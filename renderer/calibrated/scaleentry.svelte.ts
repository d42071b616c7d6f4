/** What gives a photograph its scale: two points, or a rectangle of known size, with its lengths as typed. */
import { DRAWN_USUALLY, type Drawn, type PhotoScale } from '../../core/force/tracedarea.ts';
import type { Corners, Point } from '../../core/force/outline.ts';
import { typedNumber, typedText } from '../fields/numberfield.ts';

export type ScaleKind = PhotoScale['kind'];

/**
 * Sheets and cards of known size, cm. ISO 216 lets a side up to 150 mm differ by 1.5 mm and one up to 600 mm by 2 mm;
 * a card of ISO/IEC 7810 by about 0.13 mm (from memory). Standard uncertainty: half-width over √3 (JCGM 100 4.3.7).
 */
export const SHEETS = [
  { id: 'a4', text: 'A4 sheet (ISO 216), 29.7 × 21.0 cm', widthCm: '29.7', heightCm: '21.0', uCm: '0.12' },
  { id: 'a5', text: 'A5 sheet (ISO 216), 21.0 × 14.8 cm', widthCm: '21.0', heightCm: '14.8', uCm: '0.12' },
  { id: 'a6', text: 'A6 sheet (ISO 216), 14.8 × 10.5 cm', widthCm: '14.8', heightCm: '10.5', uCm: '0.09' },
  {
    id: 'card',
    text: 'Card ID-1 (ISO/IEC 7810), 8.560 × 5.398 cm',
    widthCm: '8.560',
    heightCm: '5.398',
    uCm: '0.008',
  },
  { id: 'own', text: 'Another rectangle, measured', widthCm: '', heightCm: '', uCm: '0.05' },
] as const;
export type SheetId = (typeof SHEETS)[number]['id'];

export class ScaleEntry {
  #kind = $state<ScaleKind>('rectangle');
  #sheet = $state<SheetId>('a5');
  widthCm = $state('21.0');
  heightCm = $state('14.8');
  sideUCm = $state('0.12');
  distanceCm = $state('');
  distanceUCm = $state('0.05');
  /** Height of the outline above the sheet, at most, mm; the camera's distance, cm; how far off the edge it is drawn, mm. */
  riseMm = $state(typedText(10 * DRAWN_USUALLY.riseCm));
  cameraCm = $state(typedText(DRAWN_USUALLY.cameraCm));
  offsetMm = $state(typedText(10 * DRAWN_USUALLY.offsetCm));
  /** Standard uncertainty of one coordinate of a click, px of the photograph. */
  clickUPx = $state('1');

  get kind(): ScaleKind {
    return this.#kind;
  }

  get sheet(): SheetId {
    return this.#sheet;
  }

  /** Points of the photograph that the scale takes. */
  get takes(): 2 | 4 {
    return this.#kind === 'rectangle' ? 4 : 2;
  }

  chooseKind(kind: ScaleKind): void {
    this.#kind = kind;
  }

  chooseSheet(id: SheetId): void {
    const sheet = SHEETS.find((each) => each.id === id)!;
    this.#sheet = id;
    this.widthCm = sheet.widthCm;
    this.heightCm = sheet.heightCm;
    this.sideUCm = sheet.uCm;
  }

  /** A hand cannot be clicked better than a point of the photograph or so (common practice, no source). */
  fitClicks(longestSidePx: number): void {
    this.clickUPx = String(Math.max(1, Math.round(longestSidePx / 1500)));
  }

  /** How the hand lay and was drawn, as typed; null while something is missing or below 0. */
  drawn(): Drawn | null {
    const [riseMm, cameraCm, offsetMm] = [
      typedNumber(this.riseMm, 'notNegative'),
      typedNumber(this.cameraCm, 'positive'),
      typedNumber(this.offsetMm, 'notNegative'),
    ];
    if (riseMm === null || cameraCm === null || offsetMm === null) return null;
    return { riseCm: riseMm / 10, cameraCm, offsetCm: offsetMm / 10 };
  }

  /** The scale that the marked points give; null while points or lengths are missing. */
  with(points: readonly Point[]): PhotoScale | null {
    const clickUPx = typedNumber(this.clickUPx);
    if (points.length < this.takes || clickUPx === null || clickUPx < 0) return null;
    if (this.#kind === 'two_points') {
      const [distanceCm, distanceUCm] = [
        typedNumber(this.distanceCm, 'positive'),
        typedNumber(this.distanceUCm),
      ];
      if (distanceCm === null || distanceUCm === null || distanceUCm < 0) return null;
      return { kind: 'two_points', points: [points[0]!, points[1]!], distanceCm, distanceUCm, clickUPx };
    }
    const [widthCm, heightCm] = [
      typedNumber(this.widthCm, 'positive'),
      typedNumber(this.heightCm, 'positive'),
    ];
    const sideUCm = typedNumber(this.sideUCm);
    if (widthCm === null || heightCm === null || sideUCm === null || sideUCm < 0) return null;
    const corners = points.slice(0, 4) as unknown as Corners;
    return { kind: 'rectangle', corners, widthCm, heightCm, sideUCm, clickUPx };
  }
}
