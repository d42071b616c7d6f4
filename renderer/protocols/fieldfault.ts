/** What is wrong with a value before it is taken into the protocol: the schema's rules, as a sentence. */
import { protocolContent, type ProtocolContent } from '../../core/protocol/content.ts';

type Issue = NonNullable<ReturnType<typeof protocolContent.safeParse>['error']>['issues'][number];

/** The first thing wrong with a protocol, as a sentence for beside the field; null where nothing is. */
export function faultOf(content: ProtocolContent): string | null {
  const issue = protocolContent.safeParse(content).error?.issues[0];
  return issue === undefined ? null : sentenceOf(issue);
}

function sentenceOf(issue: Issue): string {
  switch (issue.code) {
    case 'too_big':
      return bound('at most', issue.maximum, issue.inclusive !== false, issue.origin, 'below');
    case 'too_small':
      return issue.message.startsWith('must')
        ? `It ${issue.message}.`
        : bound('at least', issue.minimum, issue.inclusive !== false, issue.origin, 'above');
    case 'invalid_type':
      return issue.expected === 'int' ? 'It must be a whole number.' : 'It takes a number.';
    case 'custom':
      return `It ${issue.message} and no spaces.`;
    default:
      return `It ${issue.message}.`;
  }
}

function bound(
  most: string,
  limit: number | bigint,
  inclusive: boolean,
  origin: string,
  beyond: string,
): string {
  if (origin === 'string')
    return limit === 1 ? 'It must not be empty.' : `It takes ${most} ${limit} characters.`;
  if (origin === 'array') return `It takes ${most} ${limit} of them.`;
  return inclusive ? `It must be ${most} ${limit}.` : `It must be ${beyond} ${limit}.`;
}
