/** The faults are those of RFC 8259's grammar; the words are ours, whatever the engine says. */
import { expect, it } from 'vitest';
import { jsonFaultSays } from '../../../core/base/jsonfault.ts';

const says = (text: string) => {
  try {
    JSON.parse(text);
    return null;
  } catch (error) {
    return jsonFaultSays(error);
  }
};

it('says where a text is no JSON', () => {
  expect(says('{"a": 1')).toMatch(/it ends before it is complete|from line 1, column 8 on/);
  expect(says('')).toBe('it ends before it is complete');
  expect(says('{\n  "a": 1\n  "b": 2\n}')).toBe('it cannot be read from line 3, column 3 on');
  expect(says('{"a": one}')).toBe('it cannot be read at "{"a": one}"');
});

it('says nothing of the engine’s words', () => {
  for (const text of ['{"a" "b"}', '[1,]', 'nul', '{"a":01}', '"a\nb"', '{a:1}', '['])
    expect(says(text), text).toMatch(/^it (cannot be read|ends before it is complete)/);
  expect(jsonFaultSays('no error')).toBe('it cannot be read');
});
