/**
 * The rooms of core, of main/lab and of the renderer, from the ground up. A room may import itself and any room of a
 * step below; rooms of one step do not know one another. `''` stands for the files that lie in the folder itself.
 */
export const ROOMS = {
  core: [
    ['base'],
    ['clock', 'sensor'],
    ['force'],
    ['stroke'],
    ['protocol'],
    ['day'],
    ['marking'],
    ['trial'],
    ['deck', 'rater', 'dataset'],
    ['arrival', 'lists', 'pages', 'findings', 'follow', 'live', 'people'],
    ['gather'],
    ['contract'],
  ],
  'main/lab': [
    ['shapes'],
    ['kept'],
    ['answer', 'days', 'watch', 'gather', 'live'],
    ['bench'],
    ['review', 'protocols', 'deck', 'findings'],
    ['people'],
    // What opens the lab, and the table of its calls: it knows every room, and none knows it.
    [''],
  ],
  renderer: [
    ['', 'theme'],
    ['components'],
    ['fields', 'plot'],
    ['calibrated', 'days', 'protocols', 'sensors'],
    ['day', 'review'],
    ['deck', 'findings', 'second'],
    ['shell'],
    ['entry'],
  ],
};

/** The house that a path below the project's root lies in, and its room there; null where houses have no rooms. */
function roomOf(relative) {
  const house = Object.keys(ROOMS).find((name) => relative.startsWith(`${name}/`));
  if (house === undefined) return null;
  const [first, ...rest] = relative.slice(house.length + 1).split('/');
  return { house, room: rest.length === 0 ? '' : first };
}

const stepOf = (house, room) => ROOMS[house].findIndex((step) => step.includes(room));
const named = (house, room) => (room === '' ? `the files of ${house}/ itself` : `${house}/${room}`);

/** Why a file must not import another one of its house, both below the project's root; null where it may. */
export function roomFault(from, to) {
  const [here, there] = [roomOf(from), roomOf(to)];
  if (here === null) return null;
  const { house, room } = here;
  if (stepOf(house, room) < 0)
    return `${room === '' ? `A file in ${house}/ itself` : `${house}/${room}`} is in no room that test/lint/rooms.mjs knows`;
  if (there === null || there.house !== house || there.room === room) return null;
  const step = stepOf(house, there.room);
  if (step >= 0 && step < stepOf(house, room)) return null;
  return `${named(house, room)} must not import ${named(house, there.room)}`;
}
