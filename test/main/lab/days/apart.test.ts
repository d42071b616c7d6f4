/** Each day is listed and shown apart from the others: what befalls one is said of it, and of it alone. */
import { expect, test, vi } from 'vitest';
import { listDays } from '../../../../main/lab/days/daylist.ts';
import { viewDay } from '../../../../main/lab/days/dayview.ts';
import { buildDay, dayJson } from '../../files/day-builder.ts';
import { testLab, valueOf } from '../support.ts';

test('a day that makes the program fail is listed with its fault beside the others', async () => {
  const lab = await testLab();
  const dayOf = (code: string) => buildDay({ 'day.json': dayJson((day) => (day['day'] = code)) });
  const [torn, whole] = [await lab.bring(await dayOf('torn')), await lab.bring(await dayOf('whole'))];
  const said = vi.spyOn(console, 'error').mockImplementation(() => undefined);
  const { store } = lab.session;
  const session = {
    ...lab.session,
    store: {
      ...store,
      dayFiles: (id: number) => {
        if (id === torn) throw new RangeError('Maximum call stack size exceeded');
        return store.dayFiles(id);
      },
    },
  };
  const days = valueOf(await listDays(session));
  expect(days.find(({ id }) => id === torn)?.fault?.says).toMatch(/Maximum call stack/);
  expect(days.find(({ id }) => id === whole)).toMatchObject({ fault: null, trials: 2 });
  expect(said).toHaveBeenCalledOnce();
  expect(valueOf(await viewDay(session, whole)).trials).toHaveLength(2);
});
