/** What jsdom lacks of a browser: modal dialogs, media queries, scrolling. Import before rendering. */
HTMLDialogElement.prototype.showModal = function () {
  this.setAttribute('open', '');
  this.querySelector<HTMLElement>('button, input')?.focus();
};
window.matchMedia = (media) => ({ media, matches: false }) as MediaQueryList;
window.scrollTo = () => {};
Element.prototype.scrollIntoView = () => {};

/** Goes to an address and waits until the window has told of it, so that no test hears of an earlier one's. */
export async function goTo(hash: string): Promise<void> {
  if (window.location.hash === hash) return;
  const told = new Promise<void>((resolve) => {
    const hear = ({ newURL }: HashChangeEvent) => {
      if (new URL(newURL).hash !== hash) return;
      window.removeEventListener('hashchange', hear);
      resolve();
    };
    window.addEventListener('hashchange', hear);
  });
  window.location.hash = hash;
  await told;
}
