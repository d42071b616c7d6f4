/** Files that arrive in a watched folder, as computers write them: slowly, together, twice, broken. */
import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import {
  appendFileSync,
  copyFileSync,
  cpSync,
  mkdirSync,
  readFileSync,
  readdirSync,
  renameSync,
  rmSync,
  symlinkSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { describe, expect, onTestFinished, test, vi } from 'vitest';
import { placeFiles } from '../../../../core/arrival/places.ts';
import { plannedTrial } from '../../../../core/deck/order.ts';
import { failed } from '../../../../core/base/refusal.ts';
import { forbidPlace } from '../../../../main/lab/kept/places.ts';
import { modifiedOf } from '../../../../main/lab/watch/watchcopy.ts';
import { swimmer } from '../../../core/deck/build.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { NO_DISK, tinyDisk } from '../../store/support.ts';
import { faultOf, sha256Of, valueOf } from '../support.ts';
import { beginDay, openSession, QUICK, rawBytes, watchLab, type WatchLab } from './watchlab.ts';

const summary = (lab: WatchLab) => lab.rows().map(({ name, outcome }) => `${name} ${outcome}`);
const watched = async (lab: WatchLab) => valueOf(await lab.watches.watch(lab.day, lab.folder));

/** A lab that watches its folder. */
async function watching(wishes: Parameters<typeof watchLab>[0] = {}): Promise<WatchLab> {
  const lab = await watchLab(wishes);
  await watched(lab);
  return lab;
}

describe('a file in a watched folder', () => {
  test('is copied, hashed and recorded, and the version tells of it', async () => {
    const lab = await watching();
    await wait(50);
    const before = lab.watches.version(lab.day);
    const path = lab.put('P01-1.csv', 'time,L,R\n0,1,2\n');
    const [row] = await lab.came(1);
    expect(row).toMatchObject({ name: 'P01-1.csv', bytes: 15, kind: 'trace', outcome: 'taken', reason: '' });
    expect(row!.sha256).toBe(sha256Of(path));
    expect(readFileSync(lab.session.store.rawPath(row!.sha256!), 'utf8')).toBe('time,L,R\n0,1,2\n');
    expect(lab.watches.view(lab.day)).toMatchObject({ state: 'watching', says: '', arriving: [] });
    const after = lab.watches.version(lab.day);
    expect(after).toBeGreaterThan(before);
    await wait(60);
    expect(lab.watches.version(lab.day)).toBe(after);
  });

  test('that grows slowly is taken once, whole, and said to grow meanwhile', async () => {
    const lab = await watching();
    const path = lab.put('P01-1.csv', 'time,L,R\n');
    const seen = new Set<string>();
    for (let n = 0; n < 25; n += 1) {
      appendFileSync(path, `${n},1,2\n`);
      await wait(20);
      seen.add(lab.arriving('P01-1.csv')?.state ?? 'none');
    }
    const [row] = await lab.came(1);
    expect(row).toMatchObject({ outcome: 'taken', sha256: sha256Of(path) });
    expect(seen).toContain('growing');
    expect(seen).not.toContain('copying');
  });

  test('that is empty waits until there is something in it', async () => {
    const lab = await watching();
    const path = lab.put('P01-1.csv', '');
    await wait(250);
    expect(lab.rows()).toEqual([]);
    expect(lab.arriving('P01-1.csv')).toMatchObject({ state: 'growing', says: 'It is empty so far.' });
    writeFileSync(path, 'abc');
    expect((await lab.came(1))[0]).toMatchObject({ bytes: 3, outcome: 'taken' });
  });

  test('whose size stays but whose content is still written is not taken before it rests', async () => {
    const lab = await watching();
    const path = lab.put('P01-1.csv', 'x'.repeat(100));
    for (let n = 0; n < 15; n += 1) {
      const text = `${n}`.padEnd(100, 'y');
      writeFileSync(path, text);
      await wait(20);
    }
    const [row] = await lab.came(1);
    expect(row!.sha256).toBe(sha256Of(path));
  });

  test('is one of several that come together, in sub-folders too; what is no delivery is passed over', async () => {
    const lab = await watching();
    const names = ['P01-1.csv', 'P01-1.mp4', 'P02-1.csv', 'morning/P02-1.mp4', 'notes.docx'];
    for (const name of names) lab.put(name, `content of ${name}`);
    for (const name of [
      '.hidden.csv',
      'a.csv.part',
      'b.tmp',
      'c.crdownload',
      'd.csv~',
      '~$e.csv',
      'Thumbs.db',
    ])
      lab.put(name, name);
    lab.put('deep/er/P03-1.csv', 'too deep');
    lab.put('exported/day.json', '{}');
    lab.put('exported/roster.csv', 'ours');
    const rows = await lab.came(5);
    expect(rows.map(({ name, kind }) => `${name} ${kind}`).toSorted()).toEqual(
      [
        'P01-1.csv trace',
        'P01-1.mp4 film',
        'P02-1.csv trace',
        'morning/P02-1.mp4 film',
        'notes.docx other',
      ].toSorted(),
    );
    expect(rows.find(({ kind }) => kind === 'other')).toMatchObject({ outcome: 'unreadable' });
    expect(rows.find(({ kind }) => kind === 'other')!.reason).toMatch(/^notes.docx is neither .*\.$/);
    expect((await lab.session.store.checkIntegrity()).sound).toBe(true);
  });

  test('that comes twice, under its name or another, is recognised and names the first', async () => {
    const lab = await watching();
    const path = lab.put('P01-1.csv', 'same');
    await lab.came(1);
    copyFileSync(path, join(lab.folder, 'copy of P01-1.csv'));
    const rows = await lab.came(2);
    expect(summary(lab)).toEqual(['P01-1.csv taken', 'copy of P01-1.csv twice']);
    expect(rows[1]!.reason).toMatch(/^copy of P01-1.csv has the content of P01-1.csv, which came on .*\.$/);
    utimesSync(path, new Date(), new Date(Date.now() + 5_000));
    await lab.came(3);
    expect(summary(lab)[2]).toBe('P01-1.csv twice');
    renameSync(path, join(lab.folder, 'moved.csv'));
    await lab.came(4);
    expect(summary(lab)[3]).toBe('moved.csv twice');
  });

  test('that changes after it was taken comes again', async () => {
    const lab = await watching();
    const path = lab.put('P01-1.csv', 'half');
    const [first] = await lab.came(1);
    appendFileSync(path, ' and half');
    const [, second] = await lab.came(2);
    expect(summary(lab)).toEqual(['P01-1.csv taken', 'P01-1.csv taken']);
    expect(rawBytes(lab, first!.sha256!)).toBe(4);
    expect(second!.sha256).toBe(sha256Of(path));
  });

  test('whose writer pauses for long goes on from its earlier parts, and the trial has the whole of it', async () => {
    const lab = await watching();
    const path = lab.put('P01-1.csv', 'time,L,R\n0,1,2\n');
    for (const [count, line] of ['0.01,1,2\n', '0.02,1,2\n'].entries()) {
      await lab.came(count + 1);
      appendFileSync(path, line);
    }
    const rows = await lab.came(3);
    expect(rows.map(({ bytes, continues }) => [bytes, continues])).toEqual([
      [15, null],
      [24, rows[0]!.id],
      [33, rows[1]!.id],
    ]);
    const about = {
      names: ['{trial}'],
      cameras: [],
      swimmers: [swimmer('P01')],
      staleBefore: null,
    };
    const files = placeFiles(rows, { trials: [plannedTrial('P01', 1, null)], given: [] }, about);
    expect(files.map(({ state }) => state)).toEqual(['twice', 'twice', 'placed']);
    expect(rows.at(-1)!.sha256).toBe(sha256Of(path));
  });

  test('of a name that came before goes on only from what it begins with and is longer than', async () => {
    let isReadable = false;
    const lab = await watching({ readable: () => Promise.resolve(isReadable ? null : 'It is no table.') });
    const contents = ['ab', 'a', 'abX', 'aY', 'b', 'abXY', 'abXZ'];
    for (const [count, text] of contents.entries()) {
      isReadable = count > 0;
      lab.put('P01-1.csv', text);
      lab.put('other.csv', `other ${text}`);
      await lab.came(2 * count + 2);
    }
    const rows = lab.rows().filter(({ name }) => name === 'P01-1.csv');
    expect(rows.map(({ outcome }) => outcome)).toEqual(['unreadable', ...Array(6).fill('taken')]);
    const from = rows.map(({ continues }) => rows.findIndex(({ id }) => id === continues));
    expect(from.map((at) => contents[at] ?? null)).toEqual([null, null, 'ab', 'a', null, 'abX', 'abX']);
  });

  test('of many megabytes goes on from a part that ends anywhere', async () => {
    const lab = await watching();
    const content = randomBytes((3 << 20) + 5);
    const lengths = [(1 << 20) - 1, 1 << 20, (1 << 20) + 1, content.length];
    for (const [count, length] of lengths.entries()) {
      lab.put('a.mp4', content.subarray(0, length));
      await lab.came(count + 1);
    }
    const ids = lab.rows().map(({ id }) => id);
    expect(lab.rows().map(({ continues }) => continues)).toEqual([null, ...ids.slice(0, -1)]);
  });

  test('that cannot be read is kept with the reason; read again when a person asks or it comes again', async () => {
    let works = false;
    const asked: unknown[] = [];
    const lab = await watching({
      readable: (path, name, kind, day) => {
        asked.push([readFileSync(path, 'utf8'), name, kind, day]);
        return Promise.resolve(works ? null : `${name} has no column "L".`);
      },
    });
    const path = lab.put('P01-1.csv', 'abc');
    const [row] = await lab.came(1);
    expect(row).toMatchObject({ outcome: 'unreadable', reason: 'P01-1.csv has no column "L".' });
    expect(asked).toEqual([['abc', 'P01-1.csv', 'trace', lab.day]]);
    expect(readFileSync(lab.session.store.rawPath(row!.sha256!), 'utf8')).toBe('abc');
    valueOf(lab.watches.take(lab.day, 'P01-1.csv'));
    await lab.until(() => asked.length === 2);
    await lab.came(1);
    works = true;
    valueOf(lab.watches.take(lab.day, 'P01-1.csv'));
    await lab.came(2);
    copyFileSync(path, join(lab.folder, 'again.csv'));
    await lab.came(3);
    expect(summary(lab)).toEqual(['P01-1.csv unreadable', 'P01-1.csv taken', 'again.csv twice']);
  });

  test('that changes while it is copied is dropped and waits again', async () => {
    let path = '';
    let times = 0;
    const lab = await watching({
      store: (store) => ({
        addRaw: async (from, ...rest) => {
          const added = await store.addRaw(from, ...rest);
          if (++times === 1) appendFileSync(path, 'more');
          return added;
        },
      }),
    });
    path = lab.put('P01-1.csv', 'some');
    const [row] = await lab.came(1);
    expect(row!.sha256).toBe(sha256Of(path));
    expect(times).toBe(2);
    expect(await lab.session.store.checkIntegrity()).toMatchObject({ sound: true, rawFiles: 1 });
  });

  test('that a link leads to is taken only where it lies in the folder', async () => {
    const lab = await watchLab();
    writeFileSync(join(lab.root, 'secret.csv'), 'outside');
    mkdirSync(join(lab.root, 'outside'));
    writeFileSync(join(lab.root, 'outside', 'secret.csv'), 'outside');
    lab.put('sub/P01-1.csv', 'inside');
    symlinkSync(join(lab.root, 'secret.csv'), join(lab.folder, 'link.csv'));
    symlinkSync(join(lab.root, 'outside'), join(lab.folder, 'way-out'));
    symlinkSync(join(lab.folder, 'sub', 'P01-1.csv'), join(lab.folder, 'good.csv'));
    symlinkSync('/dev/zero', join(lab.folder, 'endless.csv'));
    await watched(lab);
    await lab.came(2);
    expect(summary(lab).toSorted()).toEqual(['good.csv taken', 'sub/P01-1.csv twice'].toSorted());
  });

  test('with a moment of writing that no calendar holds is taken all the same', async () => {
    const lab = await watching();
    utimesSync(lab.put('old.csv', 'old'), new Date(-86_400_000), new Date(-86_400_000));
    const [row] = await lab.came(1);
    expect(row!.modified).toBe('1970-01-01T00:00:00.000Z');
    expect(modifiedOf({ modifiedMs: 1e16 })).toBe('9999-12-31T23:59:59.999Z');
  });

  test('that may not be read yet is waited for', async () => {
    let locked = true;
    const lab = await watching({
      store: (store) => ({
        addRaw: (...from) =>
          locked
            ? Promise.resolve(failed({ code: 'source_unreadable', says: 'It is locked.', todo: 'Wait.' }))
            : store.addRaw(...from),
      }),
    });
    lab.put('P01-1.csv', 'abc');
    await lab.until(() => lab.arriving('P01-1.csv')?.says === 'It is locked. Wait.');
    expect(lab.arriving('P01-1.csv')).toMatchObject({ state: 'waiting', copied: null });
    expect(lab.rows()).toEqual([]);
    locked = false;
    await lab.came(1);
  });
});

describe('a large film', () => {
  const LARGE = 64 << 20;
  const sparse = (lab: WatchLab, name: string, bytes = LARGE) => truncateSync(lab.put(name, 'film'), bytes);

  test('shows how far it is, and does not hold up a trace; films come one after the other', async () => {
    const gate = Promise.withResolvers<null>();
    const lab = await watchLab({
      store: (store) => ({
        addRaw: async (path, ...rest) => {
          const added = await store.addRaw(path, ...rest);
          if (path.endsWith('a.mp4')) await gate.promise;
          return added;
        },
      }),
    });
    sparse(lab, 'a.mp4');
    sparse(lab, 'b.mp4', LARGE + 1);
    await watched(lab);
    const copied = new Set<number>();
    await lab.until(() => {
      copied.add(lab.arriving('a.mp4')?.copied ?? 0);
      return copied.has(LARGE);
    });
    expect(copied.size).toBeGreaterThan(2);
    expect(lab.arriving('a.mp4')).toMatchObject({ state: 'copying', bytes: LARGE });
    const waits = { state: 'waiting', copied: null, says: 'It waits for its turn.' };
    expect(lab.arriving('b.mp4')).toMatchObject(waits);
    lab.put('P01-1.csv', 'trace');
    await lab.came(1);
    expect(summary(lab)).toEqual(['P01-1.csv taken']);
    expect(lab.arriving('b.mp4')).toMatchObject(waits);
    gate.resolve(null);
    await lab.came(3);
    expect(summary(lab)).toEqual(['P01-1.csv taken', 'a.mp4 taken', 'b.mp4 taken']);
  });

  test('stopped half-way leaves nothing behind, and is taken after all when asked for, also after a restart', async () => {
    const lab = await watchLab();
    sparse(lab, 'a.mp4');
    await watched(lab);
    await lab.until(() => (lab.arriving('a.mp4')?.copied ?? 0) > 0);
    valueOf(lab.watches.stop(lab.day, 'a.mp4'));
    expect(summary(lab)).toEqual(['a.mp4 stopped']);
    expect(lab.arriving('a.mp4')).toMatchObject({ state: 'stopped', says: 'A person stopped its copying.' });
    valueOf(lab.watches.stop(lab.day, 'a.mp4'));
    await lab.came(1);
    expect(readdirSync(join(lab.root, 'lab', 'raw', 'incoming'))).toEqual([]);
    expect((await lab.session.store.checkIntegrity()).rawFiles).toBe(0);
    await lab.close();

    const again = await watchLab({ root: lab.root });
    await again.until(() => again.arriving('a.mp4')?.state === 'stopped');
    await again.came(1);
    valueOf(again.watches.take(again.day, 'a.mp4'));
    await again.close();

    const third = await watchLab({ root: lab.root });
    await third.came(2);
    expect(summary(third)).toEqual(['a.mp4 stopped', 'a.mp4 taken']);
    expect(rawBytes(third, third.rows()[1]!.sha256!)).toBe(LARGE);
    expect(faultOf(third.watches.stop(third.day, 'a.mp4'))).toBe('not_found');
  });

  test('stopped while it grows stays stopped, however it grows on', async () => {
    const lab = await watching();
    const path = lab.put('a.mp4', 'some');
    await lab.until(() => lab.arriving('a.mp4') !== null);
    valueOf(lab.watches.stop(lab.day, 'a.mp4'));
    appendFileSync(path, 'more');
    await wait(250);
    expect(summary(lab)).toEqual(['a.mp4 stopped']);
    expect(lab.arriving('a.mp4')?.state).toBe('stopped');
    valueOf(lab.watches.take(lab.day, 'a.mp4'));
    await lab.came(2);
  });

  test('is given up when the program closes, and taken at the next start', async () => {
    const lab = await watchLab();
    sparse(lab, 'a.mp4');
    await watched(lab);
    await lab.until(() => (lab.arriving('a.mp4')?.copied ?? 0) > 0);
    await lab.close();
    const again = await watchLab({ root: lab.root });
    await again.came(1);
    expect(rawBytes(again, again.rows()[0]!.sha256!)).toBe(LARGE);
  });

  test.each([1, 15])(
    'survives kill -9 in the middle of its copying (after %d looks): taken once, whole, at the next start',
    { timeout: 180_000 },
    async (looks) => {
      const lab = await watchLab();
      await watched(lab);
      lab.put('P01-1.csv', 'trace');
      await lab.came(1);
      await lab.close();
      sparse(lab, 'a.mp4', 200 << 20);
      const child = spawn(process.execPath, [
        fileURLToPath(new URL('watching.ts', import.meta.url)),
        lab.root,
        String(lab.day),
      ]);
      onTestFinished(() => {
        child.kill('SIGKILL');
      });
      let [out, errors] = ['', ''];
      child.stderr.on('data', (piece: Buffer) => (errors += piece.toString()));
      child.stdout.on('data', (piece: Buffer) => {
        out += piece.toString();
        if ((out.match(/a\.mp4:[1-9]/g) ?? []).length >= looks) child.kill('SIGKILL');
      });
      const signal = await new Promise((resolve) => child.once('close', (_code, by) => resolve(by)));
      expect(signal, errors).toBe('SIGKILL');
      expect(out, 'killed before it was recorded').not.toMatch(/^2/m);
      expect(readdirSync(join(lab.root, 'lab', 'raw', 'incoming'))).toHaveLength(1);

      const again = await watchLab({ root: lab.root });
      expect(summary(again)).toEqual(['P01-1.csv taken']);
      await again.came(2);
      expect(summary(again)).toEqual(['P01-1.csv taken', 'a.mp4 taken']);
      expect(rawBytes(again, again.rows()[1]!.sha256!)).toBe(200 << 20);
      expect(readdirSync(join(again.root, 'lab', 'raw', 'incoming'))).toEqual([]);
      expect(await again.session.store.checkIntegrity()).toMatchObject({ sound: true, rawFiles: 2 });
    },
  );
});

describe('a watch', () => {
  test('goes on where it was after a restart, and takes nothing twice', async () => {
    const lab = await watching();
    lab.put('P01-1.csv', 'one');
    await lab.came(1);
    await lab.close();
    lab.put('P01-2.csv', 'two');
    // A crash after the copy and before the row: the content lies there and nothing names it.
    const between = await openSession(lab.root);
    lab.put('P01-3.csv', 'three');
    await between.store.addRaw(join(lab.folder, 'P01-3.csv'));
    between.store.close();
    const again = await watchLab({ root: lab.root });
    expect(again.watches.view(again.day)).toMatchObject({ folder: lab.folder, state: 'watching' });
    await again.came(3);
    expect(summary(again)).toEqual(['P01-1.csv taken', 'P01-2.csv taken', 'P01-3.csv taken']);
    expect(await again.session.store.checkIntegrity()).toMatchObject({ sound: true, rawFiles: 3 });
  });

  test('that is ended stays ended, and can be begun with another folder', async () => {
    const lab = await watching();
    valueOf(await lab.watches.watch(lab.day, null));
    expect(lab.watches.view(lab.day)).toEqual({ folder: null, state: 'off', says: '', arriving: [] });
    lab.put('P01-1.csv', 'one');
    await wait(200);
    expect(lab.rows()).toEqual([]);
    expect(faultOf(lab.watches.stop(lab.day, 'P01-1.csv'))).toBe('not_found');
    await lab.close();
    const again = await watchLab({ root: lab.root });
    expect(again.watches.view(again.day).state).toBe('off');
    const other = join(lab.root, 'other');
    cpSync(lab.folder, other, { recursive: true });
    valueOf(await again.watches.watch(again.day, other));
    await again.came(1);
  });

  test('of a drive that is pulled says so, and goes on when it is back', async () => {
    const lab = await watching();
    lab.put('P01-1.csv', 'one');
    await lab.came(1);
    const version = lab.watches.version(lab.day);
    renameSync(lab.folder, join(lab.root, 'pulled'));
    await lab.until(() => lab.watches.view(lab.day).state === 'gone');
    expect(lab.watches.view(lab.day)).toMatchObject({ arriving: [] });
    expect(lab.watches.view(lab.day).says).toMatch(/cannot be reached/);
    expect(lab.watches.version(lab.day)).toBeGreaterThan(version);
    writeFileSync(join(lab.root, 'pulled', 'P01-2.csv'), 'two');
    renameSync(join(lab.root, 'pulled'), lab.folder);
    await lab.came(2);
    expect(lab.watches.view(lab.day)).toMatchObject({ state: 'watching', says: '' });
    expect(summary(lab)).toEqual(['P01-1.csv taken', 'P01-2.csv taken']);
  });

  test('of a folder that is gone while a film is copied shows nothing as taken', async () => {
    const lab = await watchLab();
    truncateSync(lab.put('a.mp4', 'film'), 200 << 20);
    await watched(lab);
    await lab.until(() => (lab.arriving('a.mp4')?.copied ?? 0) > 0);
    rmSync(lab.folder, { recursive: true });
    await lab.until(() => lab.watches.view(lab.day).state === 'gone');
    await lab.until(() => lab.arriving('a.mp4') === null);
    await wait(100);
    expect(lab.rows()).toEqual([]);
    expect((await lab.session.store.checkIntegrity()).rawFiles).toBe(0);
  });

  test('is only of a folder in an allowed place, which is not the lab folder', async () => {
    const lab = await watchLab();
    const elsewhere = await tempFolder();
    for (const [folder, code] of [
      [elsewhere, 'place_not_allowed'],
      [join(lab.root, 'none'), 'not_found'],
      [join(lab.root, 'lab'), 'bad_input'],
      [join(lab.root, 'lab', 'raw'), 'bad_input'],
    ] as const)
      expect(faultOf(await lab.watches.watch(lab.day, folder)), folder).toBe(code);
    expect(lab.watches.view(lab.day).state).toBe('off');
    valueOf(await lab.watches.watch(lab.day, lab.root));
    lab.put('P01-1.csv', 'one');
    await lab.came(1);
    expect(summary(lab)).toEqual(['in/P01-1.csv taken']);
  });

  test('of a place that is no longer allowed takes nothing', async () => {
    const lab = await watching();
    valueOf(await forbidPlace(lab.session, lab.root));
    await lab.until(() => lab.watches.view(lab.day).state === 'gone');
    lab.put('P01-1.csv', 'one');
    await wait(200);
    expect(lab.rows()).toEqual([]);
    expect(lab.watches.view(lab.day).says).toContain('allowed');
  });

  test('of another day does not share its folder', async () => {
    const lab = await watching();
    const other = beginDay(lab.session, 'D2');
    mkdirSync(join(lab.folder, 'inner'));
    for (const folder of [lab.folder, join(lab.folder, 'inner'), lab.root])
      expect(faultOf(await lab.watches.watch(other, folder))).toBe('bad_input');
    valueOf(await lab.watches.watch(lab.day, null));
    valueOf(await lab.watches.watch(other, lab.folder));
    lab.put('P01-1.csv', 'one');
    await lab.until(() => lab.session.store.arrivals(other).length === 1);
    expect(lab.rows()).toEqual([]);
  });

  test('leaves files of swimmers who do not consent where they are, unnamed, until they do', async () => {
    let without = ['P02'];
    const lab = await watching({
      options: { withheld: () => (name) => without.some((code) => name.startsWith(code)) },
    });
    lab.put('P01-1.csv', 'one');
    lab.put('P02-1.csv', 'two');
    await lab.came(1);
    const { arriving } = lab.watches.view(lab.day);
    expect(arriving).toMatchObject([{ name: 'withheld file 1', state: 'waiting' }]);
    expect(JSON.stringify(arriving)).not.toContain('P02');
    expect((await lab.session.store.checkIntegrity()).rawFiles).toBe(1);
    without = [];
    await lab.came(2);
  });

  test('of a swimmer who withdraws in the middle of the copying gives it up', async () => {
    let without = false;
    const lab = await watchLab({ options: { withheld: () => () => without } });
    truncateSync(lab.put('a.mp4', 'film'), 200 << 20);
    await watched(lab);
    await lab.until(() => (lab.arriving('a.mp4')?.copied ?? 0) > 0);
    without = true;
    await lab.until(() => lab.arriving('withheld file 1') !== null);
    await lab.came(0);
    expect((await lab.session.store.checkIntegrity()).rawFiles).toBe(0);
  });
});

describe('what fails', () => {
  test('a full disk is told, nothing is shown as taken, and it is tried again', async (context) => {
    const root = await tempFolder();
    const disk = tinyDisk(4 << 20);
    if (disk === null) return context.skip(NO_DISK);
    symlinkSync(disk.folder, join(root, 'lab'));
    const lab = await watchLab({ root });
    const ballast = join(disk.folder, 'ballast');
    writeFileSync(ballast, Buffer.alloc(2 << 20));
    lab.put('a.mp4', Buffer.alloc(3 << 20, 7));
    lab.put('P01-1.csv', 'small');
    await watched(lab);
    await lab.until(() => lab.arriving('a.mp4')?.says.includes('no room left') ?? false);
    expect(lab.arriving('a.mp4')).toMatchObject({ state: 'waiting', copied: null });
    await lab.came(1);
    expect(summary(lab)).toEqual(['P01-1.csv taken']);
    rmSync(ballast);
    await lab.came(2);
    expect(await lab.session.store.checkIntegrity()).toMatchObject({ sound: true, rawFiles: 2 });
  });

  test('a row that cannot be written leaves the file to be taken later', async () => {
    let full = true;
    const lab = await watching({
      store: (store) => ({
        addArrival: (row) =>
          full
            ? failed({ code: 'disk_full', says: 'There is no room left.', todo: 'Make room.' })
            : store.addArrival(row),
      }),
    });
    lab.put('P01-1.csv', 'one');
    await lab.until(() => lab.arriving('P01-1.csv')?.says === 'There is no room left. Make room.');
    expect((await lab.session.store.checkIntegrity()).rawFiles).toBe(0);
    full = false;
    await lab.came(1);
  });

  test('it is tried again after waits that grow', async () => {
    const times: number[] = [];
    const lab = await watching({
      store: () => ({
        addRaw: () => {
          times.push(performance.now());
          return Promise.resolve(failed({ code: 'disk_full', says: 'Full.', todo: 'Make room.' }));
        },
      }),
    });
    lab.put('P01-1.csv', 'one');
    await lab.until(() => times.length >= 5);
    const waits = times.slice(1).map((time, index) => time - times[index]!);
    for (const [index, time] of waits.entries())
      expect(time).toBeGreaterThanOrEqual(QUICK.retryMs * 2 ** index);
  });

  test('a fault of the program comes to the surface, is told, and holds up nothing else', async () => {
    const onBug = vi.fn();
    const lab = await watching({
      options: { onBug },
      readable: (_path, name) =>
        name === 'bad.csv' ? Promise.reject(new Error('a slip')) : Promise.resolve(null),
    });
    lab.put('bad.csv', 'bad');
    await lab.until(() => onBug.mock.calls.length > 0);
    lab.put('good.csv', 'good');
    await lab.came(1);
    expect(onBug.mock.calls).toEqual([[new Error('a slip')]]);
    expect(lab.arriving('bad.csv')?.says).toBe('The program met a fault of its own: a slip.');
  });

  test('a fault while looking ends the watch, with a sentence', async () => {
    const onBug = vi.fn();
    const lab = await watching({
      options: {
        onBug,
        withheld: () => {
          throw new Error('a slip');
        },
      },
    });
    lab.put('P01-1.csv', 'one');
    await lab.until(() => onBug.mock.calls.length > 0);
    expect(lab.watches.view(lab.day)).toMatchObject({ state: 'gone' });
    expect(lab.watches.view(lab.day).says).toContain('a slip');
    await wait(100);
    expect(onBug).toHaveBeenCalledTimes(1);
  });

  test('closing at any moment waits for what is in hand and touches nothing afterwards', async () => {
    for (const afterMs of [0, 20, 80, 120]) {
      const lab = await watching();
      truncateSync(lab.put('a.mp4', 'film'), 30 << 20);
      lab.put('P01-1.csv', 'one');
      await wait(afterMs);
      await lab.close();
      await wait(60);
    }
  });
});
