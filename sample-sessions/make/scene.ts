/** Draws one frame: pool, lane rope, swimmer, wall, lamp, and the frame number twice (digits and bar code). */
import type { Film } from './plan.ts';
import { armOf, breathes, legOf, SHOULDER_DEPTH_M, type ArmPose } from './pose.ts';
import * as draw from './raster.ts';
import { HANDS, SECTION_FROM_WALL_M, type Hand } from './scenario.ts';
import type { Swim } from './swim.ts';

/** The bar code: a white cell, 16 bits of the frame index (high bit first), a black cell, side by side. */
export const FRAME_CODE = { x: 16, y: 256, cell: 16, bits: 16 };

const PX_PER_M = 130;
const SURFACE_Y = 104;
const FLOOR_Y = 222;
const STRIP_Y = 232;
const SHOULDER_X = 232;
const SECTION_END_X_B = 240;
const LAMP = { x: 420, y: 10, w: 48, h: 32 };

const AIR = draw.colour('#FBFAF7');
const WATER = draw.colour('#BFD3DC');
const DEEP = draw.colour('#AEC6D1');
const FLOOR = draw.colour('#8FA9B6');
const ROPE = draw.colour('#6B8796');
const WHITE = draw.colour('#FFFFFF');
const BLACK = draw.colour('#000000');
const INK = draw.colour('#1F2A37');
const SPRAY = draw.colour('#8FA9B6');
const STRIP = draw.colour('#D8DCE0');
const SKIN = draw.colour('#C9A68C');
const SUIT = draw.colour('#3C4A57');
const WALL = draw.colour('#7C8894');
const SECTION = draw.colour('#0F766E');
const ARM: Record<Hand, draw.Colour> = { left: draw.colour('#0B5CAD'), right: draw.colour('#B4530A') };

type Place = { x: number; y: number };

function background(): draw.Picture {
  const picture = draw.newPicture();
  draw.rectangle(picture, 0, 0, draw.WIDTH, SURFACE_Y, AIR);
  draw.rectangle(picture, 0, SURFACE_Y, draw.WIDTH, FLOOR_Y - SURFACE_Y, WATER);
  draw.rectangle(picture, 0, SURFACE_Y + 72, draw.WIDTH, FLOOR_Y - SURFACE_Y - 72, DEEP);
  draw.rectangle(picture, 0, FLOOR_Y, draw.WIDTH, STRIP_Y - FLOOR_Y, FLOOR);
  draw.rectangle(picture, 0, STRIP_Y, draw.WIDTH, draw.HEIGHT - STRIP_Y, STRIP);
  return picture;
}

function pool(picture: draw.Picture, xOf: (fromWallM: number) => number): void {
  for (let quarter = 0; quarter <= 112; quarter++) {
    const x = xOf(quarter / 4);
    if (x < -40 || x > draw.WIDTH + 40) continue;
    draw.rectangle(
      picture,
      x - 11,
      SURFACE_Y - 14,
      22,
      5,
      quarter % 20 < 2 ? SECTION : quarter % 2 ? ROPE : WHITE,
    );
    if (quarter % 4 !== 0) continue;
    const metre = quarter / 4;
    draw.rectangle(picture, x - 1, FLOOR_Y, 3, STRIP_Y - FLOOR_Y, AIR);
    if (metre % 5 === 0 && metre > 0) draw.letters(picture, `${metre} m`, x - 20, 12, 2, SECTION);
    if (!SECTION_FROM_WALL_M.some((end) => end === metre)) continue;
    for (let y = 32; y < FLOOR_Y; y += 12) draw.rectangle(picture, x - 1, y, 3, 7, SECTION);
  }
  draw.rectangle(picture, 0, SURFACE_Y, draw.WIDTH, 2, ROPE);
  const wallX = xOf(0);
  if (wallX < draw.WIDTH)
    draw.rectangle(picture, wallX, SURFACE_Y - 26, draw.WIDTH, STRIP_Y - SURFACE_Y + 26, WALL);
}

function arm(picture: draw.Picture, shoulder: Place, pose: ArmPose, paint: draw.Colour): void {
  const at = (p: Place): Place => ({ x: shoulder.x + p.x * PX_PER_M, y: shoulder.y + p.y * PX_PER_M });
  const elbow = at(pose.elbow);
  const wrist = at(pose.wrist);
  const tip = at(pose.tip);
  draw.limb(picture, shoulder, elbow, 7, 5.5, paint);
  draw.limb(picture, elbow, wrist, 5.5, 4, paint);
  draw.limb(picture, wrist, tip, 4.5, 2.5, paint);
  draw.disc(picture, elbow, 2, WHITE);
  draw.disc(picture, wrist, 1.5, WHITE);
}

function body(picture: draw.Picture, swim: Swim, shoulder: Place, t: number): void {
  const at = (x: number, y: number): Place => ({
    x: shoulder.x + x * PX_PER_M,
    y: shoulder.y + y * PX_PER_M,
  });
  const leg = (side: Hand): void => {
    const { hip, knee, toe } = legOf(swim, side, t);
    draw.limb(picture, at(hip.x, hip.y), at(knee.x, knee.y), 9, 7, SKIN);
    draw.limb(picture, at(knee.x, knee.y), at(toe.x, toe.y), 7, 3, SKIN);
  };
  leg('left');
  draw.limb(picture, at(-0.02, 0.01), at(-0.52, 0.03), 15, 12, SUIT);
  leg('right');
  draw.limb(picture, at(-0.36, 0.03), at(-0.56, 0.03), 12, 11, SUIT);
  const head = at(0.185, -0.02);
  draw.limb(picture, at(0.02, 0), head, 8, 8, SKIN);
  draw.disc(picture, head, 12, SKIN);
  const turned = breathes(swim, t);
  draw.limb(picture, at(0.15, -0.06), at(0.19, -0.065), 7, 6, SUIT);
  draw.disc(picture, turned ? at(0.24, -0.03) : at(0.235, 0.035), 2.2, INK);
  if (turned) draw.disc(picture, at(0.215, 0.02), 2.2, draw.colour('#7A2E00'));
}

function splashes(picture: draw.Picture, swim: Swim, t: number, xOf: (fromWallM: number) => number): void {
  for (const stroke of HANDS.flatMap((hand) => swim.strokes[hand])) {
    for (const [since, forward] of [
      [t - stroke.at.water_entry, 0.52],
      [t - stroke.at.water_exit, -0.615],
    ] as const) {
      if (since < 0 || since > 0.16) continue;
      const x = xOf(swim.shoulderFromWallM(t - since) - forward);
      for (const side of [-1, -0.3, 0.4, 1]) {
        const rise = 150 * since * (1.1 - Math.abs(side) / 2) - 800 * since * since;
        draw.disc(picture, { x: x + side * 90 * since, y: SURFACE_Y - rise }, 3 - 9 * since, SPRAY);
      }
    }
  }
}

function frameCode(picture: draw.Picture, index: number): void {
  const { x, y, cell, bits } = FRAME_CODE;
  draw.rectangle(picture, x, y, cell, cell, WHITE);
  for (let bit = 0; bit < bits; bit++) {
    const on = (index >> (bits - 1 - bit)) & 1;
    draw.rectangle(picture, x + cell * (bit + 1), y, cell, cell, on ? WHITE : BLACK);
  }
  draw.rectangle(picture, x + cell * (bits + 1), y, cell, cell, BLACK);
}

/** A painter for one film; it takes the frame's index, its moment on the trace clock, and whether the lamp is lit. */
export function painterOf(
  swim: Swim,
  film: Film,
): (index: number, t: number, lampLit: boolean) => draw.Picture {
  const empty = background();
  const arms = { left: armOf(swim, 'left'), right: armOf(swim, 'right') };
  // No trial's code: a second rater sees the film without knowing whose it is.
  const title = `FILM ${film.camera}`;
  return (index, t, lampLit) => {
    const picture = empty.slice();
    const shoulderFromWallM = swim.shoulderFromWallM(t);
    const xOf = (fromWallM: number): number =>
      film.camera === 'A'
        ? SHOULDER_X + (shoulderFromWallM - fromWallM) * PX_PER_M
        : SECTION_END_X_B + (SECTION_FROM_WALL_M[1] - fromWallM) * PX_PER_M;
    pool(picture, xOf);
    const shoulder = { x: xOf(shoulderFromWallM), y: SURFACE_Y + SHOULDER_DEPTH_M * PX_PER_M };
    arm(picture, shoulder, arms.left(t), ARM.left);
    body(picture, swim, shoulder, t);
    arm(picture, shoulder, arms.right(t), ARM.right);
    splashes(picture, swim, t, xOf);
    draw.rectangle(picture, LAMP.x, LAMP.y, LAMP.w, LAMP.h, INK);
    draw.rectangle(picture, LAMP.x + 4, LAMP.y + 4, LAMP.w - 8, LAMP.h - 8, lampLit ? WHITE : SUIT);
    const afterTitle = draw.letters(picture, title, 16, 237, 2, INK);
    const afterLeft = draw.letters(picture, 'LEFT', afterTitle + 16, 237, 2, ARM.left);
    draw.letters(picture, 'RIGHT', afterLeft + 12, 237, 2, ARM.right);
    draw.letters(picture, 'FRAME', 316, 245, 2, INK);
    draw.letters(picture, String(index).padStart(4, '0'), 381, 238, 4, INK);
    frameCode(picture, index);
    return picture;
  };
}
