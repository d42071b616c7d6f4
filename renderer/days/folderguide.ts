/** What a day folder holds, for the person who puts one together (formats.md section 1). */
export const FOLDER_GUIDE: readonly { readonly file: string; readonly holds: string }[] = [
  { file: 'day.json', holds: 'the pool, the protocol, cameras, sensors and the columns of the traces' },
  { file: 'roster.csv', holds: 'swimmers by code, never by name: hand areas and consent' },
  { file: 'calibration.csv', holds: 'pressures applied to each sensor, and what it read' },
  { file: 'zeros.csv', holds: 'each sensor’s zero before and after a trial' },
  { file: 'trials.csv', holds: 'who swam which attempt, the section times, the trace and the film' },
  { file: 'traces/*.csv', holds: 'the samples of both hands, one file per trial' },
  { file: 'videos.csv', holds: 'films of further cameras' },
  { file: 'sync.csv', holds: 'moments seen both on a film and in the trace' },
  { file: 'events.csv', holds: 'the marks of each arm stroke' },
  { file: 'strokes.csv', holds: 'entry position and breath of each stroke, and strokes to leave out' },
];
