/** Where in the program a person is, as the address after `#`: so back, forward and a reload keep their meaning. */
import { isCode } from '../core/base/table.ts';

/** What makes the numbers of a day believable, each on a screen of its own. */
const DAY_PARTS = ['zeros', 'hands', 'calibration', 'queue', 'second'] as const;
export type DayPartName = (typeof DAY_PARTS)[number];

/** The parts of a day that is run here. */
const DECK_PARTS = ['prepare', 'deck', 'files', 'close'] as const;
export type DeckPartName = (typeof DECK_PARTS)[number];

/** What the parts of a day are called. */
export const PART_WORDS: Readonly<Record<DayPartName, string>> = {
  zeros: 'Zeros',
  hands: 'Hand areas',
  calibration: 'Calibration in use',
  queue: 'To mark',
  second: 'Second opinion',
};

/** What the parts of a day that is run here are called. */
export const DECK_WORDS: Readonly<Record<DeckPartName, string>> = {
  prepare: 'Prepare',
  deck: 'On deck',
  files: 'Files',
  close: 'Close the day',
};

/** The parts of the findings. */
const FINDINGS_PARTS = ['clean', 'compare', 'overtime', 'releases', 'versions'] as const;
export type FindingsPartName = (typeof FINDINGS_PARTS)[number];

/** What the parts of the findings are called. */
export const FINDINGS_WORDS: Readonly<Record<FindingsPartName, string>> = {
  clean: 'Clean',
  compare: 'Compare',
  overtime: 'Over time',
  releases: 'Freeze and hand over',
  versions: 'Program versions',
};

export type Route =
  | { readonly screen: 'days' }
  | { readonly screen: 'newday' }
  | { readonly screen: 'protocols' }
  | { readonly screen: 'protocol'; readonly protocol: string }
  | { readonly screen: 'day' | DayPartName | DeckPartName; readonly day: number }
  | { readonly screen: 'trial'; readonly day: number; readonly trial: string }
  | { readonly screen: 'agreement'; readonly day: number }
  | { readonly screen: 'blind'; readonly day: number; readonly session: number; readonly item: number }
  | { readonly screen: FindingsPartName }
  | { readonly screen: 'plan'; readonly plan: string }
  | { readonly screen: 'sensors' }
  | { readonly screen: 'sensor' | 'calibrate'; readonly sensor: string };

const DAY =
  /^#\/day\/([1-9]\d{0,14})(?:\/trial\/([^/]+)|\/(zeros|hands|calibration|queue|second|prepare|deck|files|close))?$/;
const SECOND = /^#\/day\/([1-9]\d{0,14})\/second\/(?:(agreement)|([1-9]\d{0,14})\/([1-9]\d{0,14}))$/;
const PROTOCOL = /^#\/protocols\/([^/]+)$/;
const SENSORS = /^#\/sensors(?:\/([^/]+)(\/calibrate)?)?$/;

const FINDINGS = /^#\/findings\/(clean|compare|overtime|releases|versions)(?:\/([^/]+))?$/;

/** Reads an address; anything that is none leads to the days. */
export function parseRoute(hash: string): Route {
  const sensors = SENSORS.exec(hash);
  if (sensors !== null) return sensorsRoute(sensors[1], sensors[2] !== undefined);
  const findings = FINDINGS.exec(hash);
  if (findings !== null) return findingsRoute(findings);
  const second = SECOND.exec(hash);
  if (second !== null) return secondRoute(second);
  if (hash === '#/new-day') return { screen: 'newday' };
  if (hash === '#/protocols') return { screen: 'protocols' };
  const protocol = PROTOCOL.exec(hash)?.[1];
  if (protocol !== undefined)
    return isCode(protocol) ? { screen: 'protocol', protocol } : { screen: 'protocols' };
  const found = DAY.exec(hash);
  if (found === null) return { screen: 'days' };
  const day = Number(found[1]);
  const trial = found[2];
  const part = [...DAY_PARTS, ...DECK_PARTS].find((name) => name === found[3]);
  if (trial === undefined) return { screen: part ?? 'day', day };
  return isCode(trial) ? { screen: 'trial', day, trial } : { screen: 'day', day };
}

function sensorsRoute(sensor: string | undefined, calibrates: boolean): Route {
  if (sensor === undefined || !isCode(sensor)) return { screen: 'sensors' };
  return { screen: calibrates ? 'calibrate' : 'sensor', sensor };
}

function findingsRoute([, name, plan]: RegExpExecArray): Route {
  const screen = FINDINGS_PARTS.find((part) => part === name)!;
  return screen === 'compare' && plan !== undefined && isCode(plan) ? { screen: 'plan', plan } : { screen };
}

function secondRoute([, day, agreement, session, item]: RegExpExecArray): Route {
  if (agreement !== undefined) return { screen: 'agreement', day: Number(day) };
  return { screen: 'blind', day: Number(day), session: Number(session), item: Number(item) };
}

/** The address of a place in the program. */
export function hashOf(route: Route): string {
  switch (route.screen) {
    case 'days':
      return '#/days';
    case 'day':
      return `#/day/${route.day}`;
    case 'zeros':
    case 'hands':
    case 'calibration':
    case 'queue':
    case 'second':
    case 'prepare':
    case 'deck':
    case 'files':
    case 'close':
      return `#/day/${route.day}/${route.screen}`;
    case 'newday':
      return '#/new-day';
    case 'protocols':
      return '#/protocols';
    case 'protocol':
      return `#/protocols/${route.protocol}`;
    case 'trial':
      return `#/day/${route.day}/trial/${route.trial}`;
    case 'agreement':
      return `#/day/${route.day}/second/agreement`;
    case 'blind':
      return `#/day/${route.day}/second/${route.session}/${route.item}`;
    case 'clean':
    case 'compare':
    case 'overtime':
    case 'releases':
    case 'versions':
      return `#/findings/${route.screen}`;
    case 'plan':
      return `#/findings/compare/${route.plan}`;
    case 'sensors':
      return '#/sensors';
    case 'sensor':
      return `#/sensors/${route.sensor}`;
    case 'calibrate':
      return `#/sensors/${route.sensor}/calibrate`;
  }
}
