/** How far a film and the trace cover one another, in sentences: a film may begin late, end early or go on too long. */
import { toTrace } from '../../../core/clock/clock.ts';
import type { FilmView, TrialView } from '../../../core/contract/views.ts';
import { formatValue } from '../../format.ts';
import { filmEndS } from '../frames.ts';

/** Less than this is not worth a sentence, s. */
const WORTH_S = 0.1;

type Seen = Pick<TrialView, 'trace' | 'section'>;

/** What a film leaves without a picture; empty where it covers the section and the trace. */
export function coverageSentences(view: Seen, film: FilmView): readonly string[] {
  const end = filmEndS(film);
  const first = film.frameTimesS[0];
  if (film.clock === null || first === undefined || end === null) return [];
  const [from, to] = [toTrace(film.clock, first), toTrace(film.clock, end)];
  const says: string[] = [];
  const { section, trace } = view;
  if (section !== null && (from > section.startS + WORTH_S || to < section.endS - WORTH_S))
    says.push(
      `The film does not show the whole measured section: it covers ${formatValue(from, 's')} to ${formatValue(to, 's')}, the section ${formatValue(section.startS, 's')} to ${formatValue(section.endS, 's')}. Look whether the right file is named, or was cut off in copying.`,
    );
  if (trace === null) return says;
  const traceEnd = trace.startS + (trace.count - 1) / trace.rateHz;
  const late = from - trace.startS;
  const early = traceEnd - to;
  const alone = [
    late > WORTH_S ? `its first ${formatValue(late, 's')}` : null,
    early > WORTH_S ? `its last ${formatValue(early, 's')}` : null,
  ].filter((part) => part !== null);
  if (alone.length > 0)
    says.push(`The trace has no picture for ${alone.join(' and ')}; marks there go on the trace.`);
  const over = [
    -late > WORTH_S ? `${formatValue(-late, 's')} before the trace begins` : null,
    -early > WORTH_S ? `${formatValue(-early, 's')} after it ends` : null,
  ].filter((part) => part !== null);
  if (over.length > 0) says.push(`The film runs ${over.join(' and ')}.`);
  return says;
}
