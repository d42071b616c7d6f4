/**
 * The bench without a mouse: a sensor is registered, calibrated by depth up and down in two runs, judged, kept, and its
 * certificate read. What the screen says is held against core/metrology.ts on depths turned into pressures here by
 * Tanaka's density and GRS80 gravity (core/hydrostatics.ts, checked against published values in test/reference).
 */
import { expect, it } from 'vitest';
import { depthToKpa, localGravity, waterDensity } from '../../core/sensor/hydrostatics.ts';
import { assessCalibration, type BenchPoint } from '../../core/sensor/metrology.ts';
import { coverageText, expandedText } from '../../renderer/sensors/estimates.ts';
import { journey } from './journey.ts';
import { readList } from './shown.ts';

const DEPTHS = [0, 0.3, 0.6, 0.9, 1.2, 1.5] as const;
const WATER = { temperatureC: 26.4, latitudeDeg: 52.5, altitudeM: 40, columnM: 1.6 };
const RANGE_KPA = 16;
const SHARED_KPA = 0.02;

/** An invented sensor: nearly straight, reading a little more on the way down. */
function reading(depthM: number, direction: 'up' | 'down', run: number): number {
  const curve = 40 * Math.sin(4 * depthM);
  return Math.round(8200 + 35_700 * depthM + curve + (direction === 'down' ? 22 : 0) + 6 * run);
}

const water = {
  densityKgM3: waterDensity(WATER.temperatureC)!,
  gravityMS2: localGravity(WATER.latitudeDeg, WATER.altitudeM)!,
};
const points: BenchPoint[] = [1, 2].flatMap((run) =>
  (['up', 'down'] as const).flatMap((direction) =>
    (direction === 'up' ? DEPTHS : DEPTHS.toReversed()).map((depthM) => ({
      appliedKpa: depthToKpa(depthM, water),
      raw: reading(depthM, direction, run),
      direction,
      run,
      setAside: null,
    })),
  ),
);
const expected = assessCalibration(points, RANGE_KPA, { sharedKpa: SHARED_KPA, scale: 0, perPointKpa: 0 })!;

journey('the bench by keyboard', [], (scene) => {
  const focused = () =>
    scene.page.evaluate(() => {
      const element = document.activeElement as HTMLInputElement;
      const name = element.getAttribute('aria-label') ?? element.labels?.[0]?.innerText ?? element.innerText;
      return (name ?? '').replace(/\s+/g, ' ').replace(/ ,/g, ',').trim();
    });
  const press = async (key: string) => {
    await scene.page.keyboard.press(key);
    await scene.page.waitForTimeout(20);
  };
  const tabTo = async (name: string | RegExp, key = 'Tab') => {
    const seen: string[] = [];
    for (let stop = 0; stop < 90; stop++) {
      await press(key);
      const here = await focused();
      if (typeof name === 'string' ? here === name : name.test(here)) return;
      seen.push(here.slice(0, 24));
    }
    throw new Error(`${key} never came to ${name}: ${seen.join(' › ')}`);
  };
  const type = (text: string | number) => scene.page.keyboard.type(String(text));
  const verdict = () => scene.page.getByRole('region', { name: 'Verdict' }).getByRole('status').innerText();

  it('registers a sensor', async () => {
    await scene.page.getByRole('link', { name: 'Sensors' }).waitFor();
    await tabTo('Sensors');
    await press('Enter');
    await scene.page.getByRole('heading', { name: 'Sensors', exact: true }).waitFor();
    await press('n');
    await tabTo('Sensor id');
    await type('Q-7');
    await tabTo('Range (full scale), kPa');
    await type(RANGE_KPA);
    await tabTo('Raw unit');
    await type('counts');
    await tabTo('Highest raw value');
    await type(65535);
    await press('Enter');
    await scene.page.getByRole('link', { name: 'Q-7', exact: true }).waitFor();
    await tabTo(/^Calibrate ?Q-7$/);
    await press('Enter');
    await scene.page.getByRole('heading', { name: 'Calibrate Q-7' }).waitFor();
  });

  it('takes a depth calibration, up and down, in two runs', async () => {
    expect(await verdict()).toBe('No verdict yet: no point has been read.');
    await tabTo('Water temperature, °C');
    await type(WATER.temperatureC);
    await tabTo('Column height, m');
    await type(WATER.columnM);
    await tabTo('Latitude, °');
    await type('52,5');
    await tabTo('Altitude, m');
    await type(WATER.altitudeM);
    await tabTo(/^Reference/);
    await press('Enter');
    await tabTo('Shared by all points, kPa');
    await type(SHARED_KPA);
    await tabTo('Depth below the surface, m');
    for (const depthM of DEPTHS) {
      await type(depthM);
      await press('Enter');
      expect(await focused()).toBe('Raw value, counts');
      await type(reading(depthM, 'up', 1));
      await press('Enter');
      expect(await focused()).toBe('Depth below the surface, m');
    }
    // From here on the depths are proposed, selected to be typed over: Enter goes on to what the sensor reads.
    await press('ArrowDown');
    for (const { raw } of points.slice(DEPTHS.length)) {
      expect(await focused()).toBe('Depth below the surface, m');
      await press('Enter');
      expect(await focused()).toBe('Raw value, counts');
      await type(raw);
      await press('Enter');
    }
    await scene.page.getByText('Point 24 taken.').waitFor();
    expect(await verdict()).toMatch(/^Accepted: all \d+ limits that could be judged are held\.$/);
  });

  it('shows the numbers of the assessment', async () => {
    const shown = await readList(scene.page, 'section[aria-labelledby="fit-numbers"]');
    const plain = (text: string) => text.replaceAll('\u00a0', ' ');
    const { sensitivity, zero, probability, correlation, hysteresisPctFs, repeatabilityPctFs } = expected;
    expect(shown.get('Sensitivity')).toBe(
      plain(`${expandedText(sensitivity, 'counts/kPa')} ${coverageText(sensitivity, probability)}`),
    );
    expect(shown.get('Zero')).toBe(
      plain(`${expandedText(zero, 'counts')} ${coverageText(zero, probability)}`),
    );
    expect(shown.get('Correlation of the two')).toContain(correlation!.toFixed(3).replace('-', '\u2212'));
    expect(shown.get('Non-linearity, independent')).toMatch(`${expected.nonlinearityPctFs!.toFixed(2)} %`);
    expect(shown.get('Hysteresis, within a run')).toMatch(`${hysteresisPctFs!.toFixed(2)} %`);
    expect(shown.get('Repeatability, over the runs')).toMatch(`${repeatabilityPctFs!.toFixed(2)} %`);
  });

  it('finds everything as it was after a reload', async () => {
    await scene.page.waitForTimeout(400);
    await scene.page.reload();
    await scene.page.getByRole('button', { name: /^Change… ?point 24$/ }).waitFor();
    expect(await verdict()).toMatch(/^Accepted/);
  });

  it('keeps it, takes it back and keeps it again', async () => {
    await tabTo('Keep this calibration');
    await press('Enter');
    await scene.page.getByRole('heading', { name: /^Calibration of Q-7 kept/ }).waitFor();
    await press('Control+z');
    await scene.page.getByRole('button', { name: /^Change… ?point 24$/ }).waitFor();
    await tabTo('Keep this calibration', 'Shift+Tab');
    await press('Enter');
    await scene.page.getByRole('heading', { name: /^Calibration of Q-7 kept/ }).waitFor();
  });

  it('opens the certificate, and the PDF where a browser can print it', async () => {
    await tabTo('Read or print the certificate');
    const opened = scene.page.waitForEvent('popup');
    await press('Enter');
    const certificate = await opened;
    await certificate.waitForLoadState();
    const text = (await certificate.locator('body').innerText()).replaceAll('\u00a0', ' ');
    expect(text).toContain('Q-7');
    expect(text).toMatch(/accredit/i);
    await certificate.close();
    const pdf = await scene.page.getByRole('link', { name: 'Certificate as PDF' }).getAttribute('href');
    const answer = await scene.page.context().request.get(new URL(pdf!, scene.program.origin).href);
    // Off Linux the program is started without a browser of its own, and so cannot print.
    if (process.platform === 'linux') expect((await answer.body()).subarray(0, 5).toString()).toBe('%PDF-');
    else expect(answer.status()).toBe(404);
  });

  it('lists it with the sensor', async () => {
    await tabTo('Go to the sensor');
    await press('Enter');
    await scene.page.getByRole('heading', { name: 'Sensor Q-7' }).waitFor();
    const row = scene.page.locator('section[aria-labelledby="calibrations"] tbody tr');
    expect((await row.innerText()).replaceAll('\u00a0', ' ')).toContain(
      expandedText(expected.sensitivity, '').replaceAll('\u00a0', ' ').trim(),
    );
  });
});
