/**
 * What the trial screen shows of a film, read from the picture itself: every frame of the sample films carries its
 * number as a bar code. The frames' times are those that sample-sessions/README.md states.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { ROOT } from './app.ts';

interface Code {
  readonly y: number;
  readonly cell: number;
  readonly bits: number;
  readonly first_bit_x: number;
}
const CODE = JSON.parse(readFileSync(join(ROOT, 'sample-sessions', 'film-code.json'), 'utf8')) as Code;

export interface SampleFilm {
  readonly what: string;
  readonly trial: string;
  readonly camera: string;
  /** Presentation time of frame n, s. */
  readonly timeS: (n: number) => number;
}

const ms = (timeS: number) => Math.round(1000 * timeS) / 1000;
export const FILMS: readonly SampleFilm[] = [
  { what: 'H.264 at 50 frames/s', trial: 'P01-1', camera: 'A', timeS: (n) => n / 50 },
  { what: 'H.264 at 59.94 frames/s', trial: 'P04-1', camera: 'A', timeS: (n) => (n * 1001) / 60000 },
  { what: 'VP9 at 59.94 frames/s', trial: 'P01-1', camera: 'B', timeS: (n) => ms((n * 1001) / 60000) },
  { what: 'VP9 at 50 frames/s', trial: 'P05-1', camera: 'A', timeS: (n) => ms(n / 50) },
  {
    what: 'H.264 of variable frame rate',
    trial: 'P04-2',
    camera: 'A',
    timeS: (n) => (20 * (n + Math.floor(n / 7)) + ((7 * n * n + 3 * n) % 6)) / 1000,
  },
];

/** Both ways to a picture at rest: a decoded frame over the film, or the film sought until it says what it shows. */
export const WAYS = ['decoded', 'sought'] as const;
export type Way = (typeof WAYS)[number];

/** Takes away what frames are decoded with, as in a browser that has none; to be called before a page is opened. */
export async function takeWay(page: Page, way: Way): Promise<void> {
  if (way === 'sought') await page.addInitScript(() => Reflect.deleteProperty(globalThis, 'VideoDecoder'));
}

/** What the trial screen shows of the film, and the number in its picture. */
export interface Shown {
  readonly inPicture: number;
  /** By the readout; null where the cursor lies outside the film. */
  readonly frame: number | null;
  readonly filmTimeS: number;
  readonly cursorS: number;
  readonly way: Way;
}

export function look(page: Page): Promise<Shown> {
  return page.evaluate((code) => {
    const video = document.querySelector('video')!;
    // The frame that lies over the film, where one does, else the film itself.
    const still = document.querySelector<HTMLCanvasElement>('.lens canvas:not([hidden])');
    const canvas = new OffscreenCanvas(video.videoWidth, video.videoHeight);
    const context = canvas.getContext('2d', { willReadFrequently: true })!;
    context.drawImage(still ?? video, 0, 0);
    let inPicture = 0;
    for (let bit = 0; bit < code.bits; bit++) {
      const x = code.first_bit_x + (bit + 0.5) * code.cell;
      const [red, green, blue] = context.getImageData(x, code.y + code.cell / 2, 1, 1).data;
      inPicture = 2 * inPicture + ((red! + green! + blue!) / 3 > 128 ? 1 : 0);
    }
    const readout = document.querySelector<HTMLElement>('dl[aria-label="At the cursor"]')!.innerText;
    const frame = /Frame\s+(\d+)/.exec(readout)?.[1];
    return {
      inPicture,
      frame: frame === undefined ? null : Number(frame),
      filmTimeS: Number(/Film time\s+([\d.]+)/.exec(readout)?.[1]),
      cursorS: Number(document.querySelector('[role="slider"]')!.getAttribute('aria-valuenow')),
      way: still === null ? 'sought' : 'decoded',
    };
  }, CODE);
}

/** Waits until the number no longer says that the picture is settling. */
export async function settle(page: Page): Promise<void> {
  await page.waitForFunction(
    () =>
      document.querySelector('video')?.getAttribute('aria-busy') === 'false' &&
      !document.querySelector<HTMLElement>('dl[aria-label="At the cursor"]')!.innerText.includes('settling'),
  );
}

/** Shows a film of the sample day, the whole trial in the plot. */
export async function showFilm(page: Page, { trial, camera }: SampleFilm): Promise<void> {
  await page.evaluate((to) => (window.location.hash = to), `#/day/1/trial/${trial}`);
  await page.getByRole('heading', { name: `Trial ${trial}`, exact: true }).waitFor();
  if (camera === 'B') await page.getByRole('radio', { name: 'Camera B' }).check();
  await page.locator(`video[aria-label="Film of trial ${trial}, camera ${camera}"]`).waitFor();
  await page.waitForFunction(() => document.querySelector('video')!.readyState >= 2);
  await page.getByRole('button', { name: 'All', exact: true }).click();
  await settle(page);
}

/** A small seeded generator (Park and Miller's minimal standard), uniform on 0 … 1. */
export function seeded(seed: number): () => number {
  let state = seed;
  return () => (state = (state * 48271) % 2147483647) / 2147483647;
}

/** The film time is shown in steps of 0.1 ms. */
const SHOWN_STEP_S = 1e-4;

/** How the picture and the number disagree at rest; null where they agree, or the cursor lies outside the film. */
export function disagreement({ inPicture, frame, filmTimeS }: Shown, film: SampleFilm): string | null {
  if (frame === null) return null;
  const { timeS } = film;
  const holds =
    timeS(inPicture) <= filmTimeS + SHOWN_STEP_S && filmTimeS - SHOWN_STEP_S < timeS(inPicture + 1);
  return inPicture === frame && holds ? null : `frame ${inPicture} at ${filmTimeS} s, said to be ${frame}`;
}

/** What a person does to a film: pauses while it plays, steps, seeks. Each leaves it at rest. */
export function filmMoves(page: Page, random: () => number): Readonly<Record<string, () => Promise<void>>> {
  const point = async () => {
    const stage = (await page.locator('.stage').boundingBox())!;
    await page.mouse.click(stage.x + 80 + random() * (stage.width - 140), stage.y + 90);
  };
  const either = (one: string, other: string) => page.keyboard.press(random() < 0.5 ? one : other);
  return {
    point,
    step: () => either('ArrowRight', 'ArrowLeft'),
    async pause() {
      await page.keyboard.press('Space');
      await page.waitForTimeout(60 + 200 * random());
      await page.keyboard.press('Space');
      // At the end of the trial it had stopped by itself, and the key played it again.
      if ((await page.getByRole('button', { name: 'Pause', exact: true }).count()) > 0)
        await page.keyboard.press('Space');
    },
    sample: () => either('.', 'Shift+ArrowRight'),
    mark: () => either('m', 'Shift+M'),
    async dart() {
      for (let k = 0; k < 6; k++) await point();
    },
    async steps() {
      for (let k = 0; k < 5; k++) await either('ArrowRight', 'ArrowLeft');
    },
  };
}
