/** Brings the film into sight: what was chosen further down the screen is to be seen or drawn there. */
export function showFilm(): void {
  document.getElementById('film-title')?.scrollIntoView();
}
