/** Which theme is on, chosen by a person or by what their system asks for. */
import { cssVariables, THEMES, THEME_NAMES, type Theme, type ThemeName } from './tokens.ts';

const KEPT = 'lanebench.theme';

/** The theme a system's settings ask for. */
function preferredTheme(): ThemeName {
  if (window.matchMedia('(prefers-contrast: more)').matches) return 'daylight';
  return window.matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light';
}

class Look {
  #name = $state<ThemeName>('light');

  get name(): ThemeName {
    return this.#name;
  }

  /** Colours and line widths, for charts. */
  get theme(): Theme {
    return THEMES[this.#name];
  }

  /** Takes the theme chosen last time, else the system's; call once at the start. */
  start(): void {
    const kept = localStorage.getItem(KEPT);
    this.#show(THEME_NAMES.find((name) => name === kept) ?? preferredTheme());
  }

  choose(name: ThemeName): void {
    localStorage.setItem(KEPT, name);
    this.#show(name);
  }

  #show(name: ThemeName): void {
    this.#name = name;
    const { style, dataset } = document.documentElement;
    for (const [variable, value] of Object.entries(cssVariables(THEMES[name])))
      style.setProperty(variable, value);
    style.colorScheme = name === 'dark' ? 'dark' : 'light';
    dataset.theme = name;
  }
}

export const look = new Look();
