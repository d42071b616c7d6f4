/**
 * The film in step with the cursor. Which frame is on the screen is read from the picture itself: every frame of the
 * sample films carries its number as a bar code. Which frame belongs to the cursor comes from the frame times that
 * sample-sessions/README.md states, not from the program.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { ROOT } from './app.ts';
import { journey, type Scene } from './journey.ts';

interface Code {
  readonly y: number;
  readonly cell: number;
  readonly bits: number;
  readonly first_bit_x: number;
}
const CODE = JSON.parse(readFileSync(join(ROOT, 'sample-sessions', 'film-code.json'), 'utf8')) as Code;

const ms = (timeS: number) => Math.round(1000 * timeS) / 1000;
const FILMS: readonly {
  readonly what: string;
  readonly trial: string;
  readonly camera: string;
  /** Presentation time of frame n, s. */
  readonly timeS: (n: number) => number;
}[] = [
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
/** The film time is shown in steps of 0.1 ms. */
const SHOWN_STEP_S = 1e-4;
const MOVES = 32;
const LATE_PICTURE_MS = 250;

/** What the trial screen shows of the film, and the number in its picture. */
interface Shown {
  readonly inPicture: number;
  /** By the readout; null where the cursor lies outside the film. */
  readonly frame: number | null;
  readonly filmTimeS: number;
  readonly cursorS: number;
}

function look(scene: Scene): Promise<Shown> {
  return scene.page.evaluate((code) => {
    const video = document.querySelector('video')!;
    const canvas = new OffscreenCanvas(video.videoWidth, video.videoHeight);
    const context = canvas.getContext('2d')!;
    context.drawImage(video, 0, 0);
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
    };
  }, CODE);
}

/** Waits until the picture has come to rest on the frame that was asked for. */
async function settle(scene: Scene): Promise<void> {
  await scene.page.waitForFunction(
    () => document.querySelector('video')?.getAttribute('aria-busy') === 'false',
  );
  // One more picture for the screen after the seek has ended.
  await scene.page.waitForTimeout(50);
}

async function show(scene: Scene, trial: string, camera: string): Promise<void> {
  await scene.go(`#/day/1/trial/${trial}`);
  await scene.page.getByRole('heading', { name: `Trial ${trial}`, exact: true }).waitFor();
  if (camera === 'B') await scene.page.getByRole('radio', { name: 'Camera B' }).check();
  await scene.page.locator(`video[aria-label="Film of trial ${trial}, camera ${camera}"]`).waitFor();
  await scene.page.waitForFunction(() => document.querySelector('video')!.readyState >= 2);
  await scene.page.getByRole('button', { name: 'All', exact: true }).click();
  await settle(scene);
}

/** A small seeded generator (Park and Miller's minimal standard), uniform on 0 … 1. */
function seeded(seed: number): () => number {
  let state = seed;
  return () => (state = (state * 48271) % 2147483647) / 2147483647;
}

journey('the film', ['--sample'], (scene) => {
  it.each(FILMS)('shows the frame of the cursor, always: $what', async ({ what, trial, camera, timeS }) => {
    const { page } = scene;
    await show(scene, trial, camera);
    const stage = (await page.locator('.stage').boundingBox())!;
    const random = seeded(what.length);
    const point = () => page.mouse.click(stage.x + 80 + random() * (stage.width - 140), stage.y + 90);
    const either = (one: string, other: string) => page.keyboard.press(random() < 0.5 ? one : other);
    const moves = [
      point,
      point,
      () => either('ArrowRight', 'ArrowLeft'),
      () => either('.', 'Shift+ArrowRight'),
      () => either('m', 'Shift+M'),
      () => either('s', 'Shift+S'),
      async () => {
        for (let k = 0; k < 6; k++) await point();
      },
    ];
    const wrong: string[] = [];
    let inside = 0;
    for (let move = 0; inside < MOVES && move < 4 * MOVES; move++) {
      await moves[move % moves.length]!();
      await settle(scene);
      const { inPicture, frame, filmTimeS } = await look(scene);
      if (frame === null) continue;
      inside++;
      const holds =
        timeS(inPicture) <= filmTimeS + SHOWN_STEP_S && filmTimeS - SHOWN_STEP_S < timeS(inPicture + 1);
      if (inPicture !== frame || !holds)
        wrong.push(`move ${move}: frame ${inPicture} at ${filmTimeS} s, said to be ${frame}`);
    }
    expect(wrong).toEqual([]);
    expect(inside).toBe(MOVES);
  });

  it('carries the cursor along while it plays, and rests on it when paused', async () => {
    const { page } = scene;
    await show(scene, 'P01-1', 'A');
    await page.getByRole('button', { name: 'Section', exact: true }).click();
    const wrong: string[] = [];
    let before = (await look(scene)).cursorS;
    for (let pause = 0; pause < 8; pause++) {
      await page.getByRole('button', { name: 'Play', exact: true }).click();
      await page.waitForFunction(
        (from) =>
          Number(document.querySelector('[role="slider"]')!.getAttribute('aria-valuenow')) > from + 0.1,
        before,
      );
      await page.waitForTimeout(13 * pause);
      await page.getByRole('button', { name: 'Pause', exact: true }).click();
      await settle(scene);
      // A picture that was on its way when the film was paused may come by, and is then taken back.
      await page.waitForTimeout(LATE_PICTURE_MS);
      await settle(scene);
      const { inPicture, frame, cursorS } = await look(scene);
      if (inPicture !== frame) wrong.push(`pause ${pause}: frame ${inPicture}, said to be ${frame}`);
      before = cursorS;
    }
    expect(wrong).toEqual([]);
  });
});
