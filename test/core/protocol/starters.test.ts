/** The protocols to start from. */
import { describe, expect, test } from 'vitest';
import { powerOf } from '../../../core/protocol/power.ts';
import { protocolContent } from '../../../core/protocol/content.ts';
import { PROTOCOL_STARTERS } from '../../../core/protocol/starters.ts';
import { sectionCosts } from '../../../core/protocol/sectioncost.ts';
import { isCode } from '../../../core/base/table.ts';

test('have codes and names of their own', () => {
  expect(PROTOCOL_STARTERS).toHaveLength(4);
  expect(new Set(PROTOCOL_STARTERS.map(({ code }) => code)).size).toBe(4);
  expect(new Set(PROTOCOL_STARTERS.map(({ name }) => name)).size).toBe(4);
});

describe.each(PROTOCOL_STARTERS)('$code', ({ code, name, content }) => {
  test('is a protocol as it stands', () => {
    expect(isCode(code)).toBe(true);
    expect(content.name).toBe(name);
    expect(protocolContent.parse(content)).toEqual(content);
  });

  test('has no fault', () =>
    expect(sectionCosts(content).filter(({ level }) => level === 'fault')).toEqual([]));

  test('asks for the lifeguard, isolated batteries, skin, consent, pain and a clear lane', () => {
    const asked = content.checklists.before.join('\n');
    for (const word of [/lifeguard/i, /isolated/, /skin/i, /consent/i, /shoulder pain/, /lane is clear/])
      expect(asked).toMatch(word);
    expect(content.checklists.close.join('\n')).toMatch(/dried[\s\S]*away from the water/);
    for (const list of Object.values(content.checklists)) expect(new Set(list).size).toBe(list.length);
  });
});

test('the planned comparison is worth swimming', () => {
  const { comparison } = PROTOCOL_STARTERS.find(({ code }) => code === 'two-conditions')!.content;
  const found = powerOf(comparison!);
  expect(found.ok && found.value.power).toBeGreaterThan(0.8);
});
