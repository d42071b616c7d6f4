/** Folders a day may be opened from: below allowed places only, whatever way a path is written. */
import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { join, sep } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import type { JobView, PlaceList } from '../../../../core/contract/views.ts';
import { openLab } from '../../../../main/lab/lab.ts';
import type { Lab } from '../../../../main/lab/kept/port.ts';
import { allowedFolder, allowPlace, forbidPlace, listPlaces } from '../../../../main/lab/kept/places.ts';
import { buildDay, tempFolder } from '../../files/day-builder.ts';
import { faultOf, testLab, valueOf, type TestLab } from '../support.ts';

let lab: TestLab;
let root: string;
let place: string;

beforeEach(async () => {
  lab = await testLab();
  root = await tempFolder();
  place = join(root, 'place');
  mkdirSync(join(place, 'inner'), { recursive: true });
  mkdirSync(join(root, 'place-beside'));
  mkdirSync(join(root, 'outside'));
  valueOf(await forbidPlace(lab.session, homedir()));
  valueOf(await allowPlace(lab.session, place));
});

const names = ({ entries }: PlaceList) => entries.map(({ name }) => name);

describe('a place', () => {
  it('is at first the home folder, and the list is kept', async () => {
    const fresh = await testLab();
    expect(names(valueOf(await listPlaces(fresh.session, null)))).toEqual([homedir()]);
    valueOf(await allowPlace(fresh.session, place));
    fresh.close();
    const again = await testLab(fresh.home);
    expect(names(valueOf(await listPlaces(again.session, null)))).toEqual([place, homedir()].toSorted());
  });

  it('opens what lies in it', async () => {
    expect(valueOf(await allowedFolder(lab.session, place))).toBe(place);
    expect(valueOf(await allowedFolder(lab.session, join(place, 'inner')))).toBe(join(place, 'inner'));
  });

  it('does not open what lies outside, beside it, or above it', async () => {
    symlinkSync(join(root, 'outside'), join(place, 'way-out'));
    for (const path of [
      root,
      join(root, 'outside'),
      join(root, 'place-beside'),
      join(place, 'way-out'),
      `${place}${sep}..${sep}outside`,
      `${place}${sep}inner${sep}..${sep}..`,
    ])
      for (const way of [allowedFolder, listPlaces])
        expect(faultOf(await way(lab.session, path)), path).toBe('place_not_allowed');
  });

  it('is no file, no relative path and nothing with a NUL in it', async () => {
    writeFileSync(join(place, 'file'), '');
    for (const path of ['place', `.${sep}place`, join(place, 'file'), `${place}\0`, join(place, 'nowhere')]) {
      expect(faultOf(await allowPlace(lab.session, path)), path).toBe('not_found');
      expect(faultOf(await allowedFolder(lab.session, path)), path).toBe('not_found');
    }
  });

  it('can be taken off again', async () => {
    valueOf(await forbidPlace(lab.session, place));
    expect(faultOf(await allowedFolder(lab.session, place))).toBe('place_not_allowed');
    expect(names(valueOf(await listPlaces(lab.session, null)))).toEqual([]);
  });

  it('lists folders only, tells days apart, and leads up no further than itself', async () => {
    await buildDay({}, join(place, 'a day'));
    mkdirSync(join(place, '.hidden'));
    writeFileSync(join(place, 'file'), '');
    symlinkSync(join(root, 'outside'), join(place, 'way-out'));
    const list = valueOf(await listPlaces(lab.session, place));
    expect(list.entries.map(({ name, isDay }) => [name, isDay])).toEqual([
      ['a day', true],
      ['inner', false],
    ]);
    expect(list.parent).toBeNull();
    expect(valueOf(await listPlaces(lab.session, join(place, 'inner'))).parent).toBe(place);
  });
});

describe('opening a day by a call', () => {
  async function ended(host: Lab, started: unknown): Promise<JobView> {
    let answer = started as { readonly value: JobView };
    while (answer.value.state === 'running') {
      await new Promise((resolve) => setTimeout(resolve, 10));
      answer = (await host.carry('jobs.get', { job: answer.value.job })) as typeof answer;
    }
    return answer.value;
  }

  it('works in an allowed place, fails outside, and can be cancelled', async () => {
    const day = await buildDay({}, join(place, 'a day'));
    const other = await buildDay({}, join(root, 'outside', 'a day'));
    lab.close();
    const host = await openLab({ home: lab.home, sampleFolder: null, version: '1.2.3' });
    try {
      expect(await host.carry('days.open', { path: other })).toMatchObject({
        error: { code: 'place_not_allowed' },
      });
      const started = (await host.carry('days.open', { path: day })) as { readonly value: JobView };
      await host.carry('jobs.cancel', { job: started.value.job });
      expect(await ended(host, started)).toMatchObject({ state: 'cancelled', day: null });
      expect(await host.carry('days.list', {})).toEqual({ ok: true, value: [] });
      const job = await ended(host, await host.carry('days.open', { path: day }));
      expect(job).toMatchObject({ state: 'done', error: null, done: job.total });
    } finally {
      await host.close();
    }
  });
});
