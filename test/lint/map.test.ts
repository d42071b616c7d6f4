/** The map for contributors is true: every path it names is there, every room is on it, and its walks are short. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { ROOMS } from './rooms.mjs';

const text = readFileSync('DEVELOPERS.md', 'utf8');
const MOST_ROOMS = 8;

it('every path that it names is there', () => {
  const named = [...text.matchAll(/`((?:core|main|renderer|test|sample-sessions)\/[\w./-]+)`/g)].map(
    ([, path]) => path!,
  );
  expect(named.length).toBeGreaterThan(40);
  expect(named.filter((path) => !existsSync(path) && !existsSync(`${path}.ts`))).toEqual([]);
});

it('every room that is there is on it', () => {
  const map = /```\n(core\/[^]*?)```/.exec(text)![1]!;
  const rooms = Object.entries(ROOMS).flatMap(([house, steps]) =>
    steps.flat().filter((room) => room !== '' && existsSync(`${house}/${room}`)),
  );
  expect(rooms.length).toBeGreaterThan(30);
  expect(rooms.filter((room) => !new RegExp(`\\b${room}\\b`).test(map))).toEqual([]);
});

describe('its walks', () => {
  const walks = text
    .split('## Three walks')[1]!
    .split('\n## ')[0]!
    .split(/^\*\*(?=A)/m)
    .slice(1);

  it('are three', () => expect(walks).toHaveLength(3));

  it.each(walks.map((walk) => [walk.split('**')[0]!, walk]))('%s: few rooms, none twice', (_title, walk) => {
    const steps = [...walk.matchAll(/^\d+\. `([\w/]+)`: (.*)$/gm)];
    const rooms = steps.map(([, room]) => room!);
    expect(rooms.length).toBeGreaterThan(4);
    expect(rooms.length).toBeLessThanOrEqual(MOST_ROOMS);
    expect(new Set(rooms).size).toBe(rooms.length);
    for (const [, room, says] of steps) {
      const first = /`([\w./]+\.(?:ts|svelte))`/.exec(says!)?.[1];
      if (first !== undefined) expect(first.startsWith(`${room}/`), `${first} in ${room}`).toBe(true);
    }
  });
});
