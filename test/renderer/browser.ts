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
  window.location.hash = hash;
  await new Promise((resolve) => setTimeout(resolve, 10));
}
