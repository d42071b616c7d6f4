/** Where the focus goes when the control that had it is gone. */
import { tick } from 'svelte';

export async function focusOn(id: string): Promise<void> {
  await tick();
  document.getElementById(id)?.focus();
}
