import { configure } from '@testing-library/svelte';

// A machine with two cores may be busy: what is waited for gets the time it needs.
configure({ asyncUtilTimeout: 60_000 });

// jsdom looks through the whole page, label by label, for the labels of each field, so that asking a long form for one
// button by its name takes seconds. These are the same labels (HTML, 4.10.4), found by `for` and by what stands around.
const LABELABLE = 'button, input:not([type="hidden"]), meter, output, progress, select, textarea';

function labelsOf(field: HTMLElement): readonly HTMLLabelElement[] {
  const around = field.closest('label');
  const holds =
    around !== null && !around.hasAttribute('for') && around.querySelector(LABELABLE) === field
      ? [around]
      : [];
  if (field.id === '') return holds;
  const labels = field.isConnected ? document.getElementsByTagName('label') : [];
  return [...holds, ...[...labels].filter((label) => label.htmlFor === field.id)];
}

const LABELLED = [
  HTMLButtonElement,
  HTMLInputElement,
  HTMLMeterElement,
  HTMLOutputElement,
  HTMLProgressElement,
  HTMLSelectElement,
  HTMLTextAreaElement,
];
for (const { prototype } of LABELLED)
  Object.defineProperty(prototype, 'labels', {
    configurable: true,
    get(this: HTMLElement) {
      return this.matches(LABELABLE) ? labelsOf(this) : null;
    },
  });
