/** Long work ends as done, cancelled or failed, and always says so; a fault of the program takes nothing else along. */
import { expect, test, vi } from 'vitest';
import { failed } from '../../../../core/base/refusal.ts';
import { Jobs } from '../../../../main/lab/kept/jobs.ts';

test('work that throws ends as a failed job that says so, and the next one runs', async () => {
  const onBug = vi.fn();
  const jobs = new Jobs(onBug);
  const { job } = jobs.start('Opening a day', async () => {
    throw new RangeError('Maximum call stack size exceeded');
  });
  await vi.waitFor(() => expect(jobs.get(job)?.state).toBe('failed'));
  expect(jobs.get(job)?.error).toMatchObject({
    code: 'fault',
    says: 'The program met a fault of its own: Maximum call stack size exceeded.',
  });
  expect(onBug).toHaveBeenCalledOnce();
  const next = jobs.start('Opening another', async () => ({ ok: true, value: { day: 2, says: '' } }));
  await vi.waitFor(() => expect(jobs.get(next.job)).toMatchObject({ state: 'done', day: 2 }));
  await jobs.close();
});

test('what a person caused is no bug', async () => {
  const onBug = vi.fn();
  const jobs = new Jobs(onBug);
  const error = { code: 'bad_input', says: 'No.', todo: 'Try again.' } as const;
  const { job } = jobs.start('Opening a day', async () => failed(error));
  await vi.waitFor(() => expect(jobs.get(job)).toMatchObject({ state: 'failed', error }));
  expect(onBug).not.toHaveBeenCalled();
});
