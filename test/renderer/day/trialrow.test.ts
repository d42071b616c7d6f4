import { cleanup, screen } from '@testing-library/svelte';
import { afterEach, expect, it } from 'vitest';
import TrialRow from '../../../renderer/day/TrialRow.svelte';
import { hashOf, parseRoute } from '../../../renderer/route.ts';
import { trialSummary } from '../fixture.ts';
import { plain, stage } from '../calibrated/stage.ts';

afterEach(cleanup);

it.each(['zeros', 'hands', 'calibration'] as const)('%s of a day has an address of its own', (part) => {
  const place = { screen: part, day: 3 } as const;
  expect(hashOf(place)).toBe(`#/day/3/${part}`);
  expect(parseRoute(hashOf(place))).toEqual(place);
  expect(parseRoute(`#/day/3/${part}/more`)).toEqual({ screen: 'days' });
});

it('marks the force of an estimated area in the day’s list, and only that one', () => {
  const trial = trialSummary('T1', 'S10');
  const left = { cm2: 150, uCm2: 15, method: 'estimated', says: 'Estimated.' } as const;
  stage(TrialRow, {
    trial: { ...trial, areas: { ...trial.areas, left } },
    dayId: 1,
    problem: null,
    decide: () => {},
    exclude: () => {},
  });
  const marked = screen.getAllByText('estimated area').map((mark) => plain(mark.closest('td')));
  expect(marked).toHaveLength(1);
  expect(marked[0]).toContain('Peak force left');
});
