/**
 * No list of data is spread into a call's arguments: they lie on the stack, and a hundred thousand of them overflow
 * it. Allowed is what somebody wrote down: an array literal, a constant in capitals and what each of its entries is
 * mapped to, a function's own rest parameter.
 */
const CONSTANT = /^[A-Z][A-Z0-9_]*$/;

function isConstant(node) {
  return node.type === 'Identifier' && CONSTANT.test(node.name);
}

/** `NAMES.map(…)` or `NAMES.flatMap(…)` of a constant: what somebody wrote down for each of its entries. */
function isMapped({ type, callee }) {
  return (
    type === 'CallExpression' &&
    callee.type === 'MemberExpression' &&
    (callee.property.name === 'map' || callee.property.name === 'flatMap') &&
    isConstant(callee.object)
  );
}

/** True where an identifier is the rest parameter of a function around it. */
function isRest(context, node) {
  for (let scope = context.sourceCode.getScope(node); scope !== null; scope = scope.upper) {
    const variable = scope.set.get(node.name);
    if (variable === undefined) continue;
    return variable.defs.some(({ type, name }) => type === 'Parameter' && name.parent.type === 'RestElement');
  }
  return false;
}

export const spread = {
  meta: {
    type: 'problem',
    schema: [],
    messages: {
      forbidden:
        'A list spread into a call lies on the stack: use a loop, or largest, smallest, addAll of core/base/extent.ts.',
    },
  },
  create(context) {
    const check = ({ arguments: given }) => {
      for (const argument of given) {
        if (argument.type !== 'SpreadElement') continue;
        const { argument: list } = argument;
        if (list.type === 'ArrayExpression') continue;
        if (isConstant(list) || isMapped(list)) continue;
        if (list.type === 'Identifier' && isRest(context, list)) continue;
        context.report({ node: argument, messageId: 'forbidden' });
      }
    };
    return { CallExpression: check, NewExpression: check };
  },
};
