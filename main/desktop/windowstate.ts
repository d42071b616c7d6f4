/** Where the window was, kept in the lab folder. */
import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** Position and size in device-independent pixels. */
export interface Area {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface WindowState {
  /** Null to let the system place the window. */
  readonly at: { readonly x: number; readonly y: number } | null;
  readonly width: number;
  readonly height: number;
  readonly maximized: boolean;
}

export const SMALLEST = { width: 800, height: 600 };
const USUAL: WindowState = { at: null, width: 1360, height: 900, maximized: false };
/** So much of the window must lie on a display for a person to get hold of it. */
const GRIP_PX = 120;

/** Fits what was stored to the displays there are now: a display may be gone, or smaller. */
export function fitWindow(value: unknown, workAreas: readonly Area[]): WindowState {
  if (!isStored(value)) return shrink(USUAL, workAreas[0]);
  const { x, y, width, height, maximized } = value;
  const display = workAreas.find((area) => {
    const across = Math.min(x + width, area.x + area.width) - Math.max(x, area.x);
    return across >= GRIP_PX && y >= area.y && y <= area.y + area.height - GRIP_PX;
  });
  const state = { at: display === undefined ? null : { x, y }, width, height, maximized };
  return shrink(state, display ?? workAreas[0]);
}

function isStored(value: unknown): value is Area & { readonly maximized: boolean } {
  if (typeof value !== 'object' || value === null) return false;
  const fields = value as Record<string, unknown>;
  const isPx = (name: string) => Number.isInteger(fields[name]) && Math.abs(Number(fields[name])) <= 100_000;
  return ['x', 'y', 'width', 'height'].every(isPx) && typeof fields['maximized'] === 'boolean';
}

function shrink(state: WindowState, area: Area | undefined): WindowState {
  const within = (size: number, smallest: number, most: number) => Math.min(Math.max(size, smallest), most);
  return {
    ...state,
    width: within(state.width, SMALLEST.width, area?.width ?? state.width),
    height: within(state.height, SMALLEST.height, area?.height ?? state.height),
  };
}

const fileIn = (home: string) => join(home, 'window.json');

export function readWindowState(home: string, workAreas: readonly Area[]): WindowState {
  try {
    return fitWindow(JSON.parse(readFileSync(fileIn(home), 'utf8')), workAreas);
  } catch {
    return fitWindow(null, workAreas);
  }
}

/** Never fails: a window that cannot be remembered opens where the system puts it. */
export function writeWindowState(home: string, area: Area, maximized: boolean): void {
  const file = fileIn(home);
  try {
    writeFileSync(`${file}.new`, JSON.stringify({ ...area, maximized }));
    renameSync(`${file}.new`, file);
  } catch (error) {
    console.error(`The window's place was not kept: ${String(error)}`);
  }
}
