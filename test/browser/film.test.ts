/** The film in step with the cursor, by both ways to a picture at rest; `test/bench/frames.ts` does it at length. */
import { expect, it } from 'vitest';
import { journey } from './journey.ts';
import { disagreement, FILMS, filmMoves, look, seeded, settle, showFilm, takeWay, WAYS } from './filmlook.ts';

const MOVES = 14;
const LATE_PICTURE_MS = 250;

journey('the film', ['--sample'], (scene) => {
  for (const way of WAYS) {
    it(`shows the frame of the cursor, always, ${way}`, async () => {
      const page = way === 'decoded' ? scene.page : await scene.anotherWindow('#/day/1');
      await takeWay(page, way);
      await page.reload();
      const wrong: string[] = [];
      for (const film of FILMS) {
        await showFilm(page, film);
        const moves = Object.entries(filmMoves(page, seeded(film.what.length)));
        let inside = 0;
        for (let move = 0; inside < MOVES && move < 4 * MOVES; move++) {
          const [name, act] = moves[move % moves.length]!;
          await act();
          await settle(page);
          const shown = await look(page);
          if (shown.frame === null) continue;
          inside++;
          expect(shown.way).toBe(way);
          const fault = disagreement(shown, film);
          if (fault !== null) wrong.push(`${film.what}, ${name}: ${fault}`);
        }
        expect(inside).toBe(MOVES);
      }
      expect(wrong).toEqual([]);
    });

    it(`carries the cursor along while it plays, and rests on it when paused, ${way}`, async () => {
      const page = way === 'decoded' ? scene.page : await scene.anotherWindow('#/day/1');
      await takeWay(page, way);
      await page.reload();
      await showFilm(page, FILMS[0]!);
      await page.getByRole('button', { name: 'Section', exact: true }).click();
      const wrong: string[] = [];
      const stage = (await page.locator('.stage').boundingBox())!;
      for (let pause = 0; pause < 6; pause++) {
        // From the start of the section each time: a film that comes to its end meanwhile plays from its beginning.
        await page.mouse.click(stage.x + 80, stage.y + 90);
        await settle(page);
        const before = (await look(page)).cursorS;
        await page.getByRole('button', { name: 'Play', exact: true }).click();
        await page.waitForFunction(
          (from) =>
            Number(document.querySelector('[role="slider"]')!.getAttribute('aria-valuenow')) > from + 0.1,
          before,
        );
        await page.getByRole('button', { name: 'Pause', exact: true }).click();
        await settle(page);
        const atOnce = disagreement(await look(page), FILMS[0]!);
        // A picture that was on its way when the film was paused may come by, and is then taken back.
        await page.waitForTimeout(LATE_PICTURE_MS);
        await settle(page);
        for (const fault of [atOnce, disagreement(await look(page), FILMS[0]!)])
          if (fault !== null) wrong.push(`pause ${pause}: ${fault}`);
      }
      expect(wrong).toEqual([]);
    });
  }
});
