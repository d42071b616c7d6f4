/** axe-core over what is on the screen; colour contrast needs a real browser and is left to those runs. */
import axe from 'axe-core';

export async function axeFaults(): Promise<readonly string[]> {
  const { violations } = await axe.run(document, { rules: { 'color-contrast': { enabled: false } } });
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(' ')}`);
}
