/** What really happened, for tests that count strokes or find the clocks again. Nothing of the withdrawn swimmer. */
import { filmFile, lampMoments, nearestFrame, frameTimes } from './cameras.ts';
import { sensorFor, zeroOf } from './physics.ts';
import { HANDS } from './scenario.ts';
import { countedStrokes, EVENTS, type Stroke, type Swim } from './swim.ts';

const microseconds = (t: number): number => Math.round(t * 1e6) / 1e6;

function strokeTruth(stroke: Stroke, counted: boolean): object {
  return {
    stroke: stroke.stroke,
    entry_position: stroke.entry,
    breath: stroke.breath,
    in_section: counted,
    events_s: Object.fromEntries(EVENTS.map((e) => [e, microseconds(stroke.at[e])])),
  };
}

function trialTruth(swim: Swim): object {
  const { trial } = swim;
  return {
    trial: trial.trial,
    participant: trial.participant,
    fault: trial.fault,
    clock: trial.dialect === null ? 'camera A' : 'trace',
    section_start_s: microseconds(swim.sectionStartS),
    section_end_s: microseconds(swim.sectionEndS),
    lamp_s: lampMoments(swim),
    films: trial.films.map((film) => ({
      camera: film.camera,
      file: filmFile(swim, film),
      frames: frameTimes(swim, film).length,
      offset_s: film.offsetS,
      rate: film.rate,
      section_end_frame: nearestFrame(film, frameTimes(swim, film), swim.sectionEndS),
    })),
    hands: Object.fromEntries(
      HANDS.map((hand) => {
        const counted = countedStrokes(swim, hand);
        const zero = zeroOf(swim, hand);
        return [
          hand,
          {
            sensor: trial.dialect === null ? null : sensorFor(swim, hand).sensor,
            zero_shift_kpa: trial.dialect === null ? null : microseconds(zero.afterKpa - zero.beforeKpa),
            strokes_in_section: counted.length,
            strokes: swim.strokes[hand].map((s) => strokeTruth(s, counted.includes(s))),
          },
        ];
      }),
    ),
  };
}

export function truthJson(swims: readonly Swim[]): string {
  const trials = swims.filter((s) => s.swimmer.consent !== 'withdrawn').map(trialTruth);
  const note =
    'Times in s on the clock named by the trial. trace = offset_s + rate * video. strokes_in_section counts ' +
    'strokes whose propulsion lies wholly in the section, excluded ones too.';
  return JSON.stringify({ note, trials }, null, 1) + '\n';
}
