/** Whether a call changes a day is what its contract entry says: the day's history is longer after it, or is not. */
import { expect, it } from 'vitest';
import { CONTRACT, type CallInput, type CallName } from '../../../core/contract/contract.ts';
import { buildDay } from '../files/day-builder.ts';
import { benchLab } from './benchlab.ts';

type Asked = { readonly [N in CallName]: readonly [N, CallInput<N>] }[CallName];

it('a call adds a step to the day exactly where the contract says so', async () => {
  const lab = await benchLab();
  const day = await lab.bring(await buildDay());
  const steps = async () => (await lab.ask('history.list', { day })).length;
  const { trials } = await lab.ask('days.get', { day });
  const { trial, participant } = trials[0]!;
  const { marking } = await lab.ask('trials.get', { day, trial });
  const { readings } = await lab.ask('zeros.get', { day });
  const zero = readings.find((one) => one.trial === trial)!;
  const area = {
    method: 'typed',
    cm2: 150,
    uCm2: 3,
    scaleUCm2: null,
    repeatUCm2: 3,
    planeUCm2: null,
    offsetUCm2: null,
    count: 1,
    says: 'Typed',
  } as const;
  const asked: readonly Asked[] = [
    ['days.list', {}],
    ['days.get', { day }],
    ['trials.get', { day, trial }],
    ['trials.decide', { day, trial, seen: trials[0]!.status, status: 'excluded', reason: 'a lane rope' }],
    ['section.edit', { day, trial, seen: marking.section, now: null, says: 'No section.' }],
    ['zeros.get', { day }],
    ['zeros.confirm', { day, trial, sensor: zero.sensor, when: 'before', raw: 1234, seen: zero.before }],
    ['areas.get', { day }],
    ['areas.keep', { day, participant, hand: 'left', area, seen: null }],
    ['choice.get', { day }],
    ['choice.try', { day, rule: 'latest' }],
    ['choice.keep', { day, rule: 'latest', seen: 'day' }],
    ['blind.list', { day }],
    ['blind.start', { day, rater: 'second', seed: 'noon', trials: [trial] }],
    ['agreement.get', { day }],
    ['history.list', { day }],
  ];
  for (const [name, input] of asked) {
    const before = await steps();
    await lab.ask(name, input as CallInput<typeof name>);
    expect([name, (await steps()) > before]).toEqual([name, CONTRACT[name].changesDay]);
  }
});
