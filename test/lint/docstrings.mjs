/**
 * The docstring rule of core: every exported function says what it returns. One that returns numbers says in which
 * unit (or that they have none, or that they count), and there or at the head of its module where they come from: a
 * published source, formats.md, our own definition, or common practice.
 */

/** A unit. */
const UNIT =
  /(?<![\w.'’])(?:s|ms|m|mm|cm|kPa|Pa|N|Hz|kg|V|px|raw)(?![\w-])(?!\.\w)|m\/s|N·s|m²|cm²|kg\/m³|\/min|s⁻|°|%|0…1|−1…1/u;
/** A word for having the unit of what is given, or none. */
const UNITLESS = /\b(?:units?|dimensionless|ratio|share|proportion|probability|power|bits?)\b/iu;
/** A count, or a place in a list: nothing that is computed from a definition of somebody's. */
const COUNT = /^\*\s*(?:\*\s*)?(?:how many|(?:the )?number of|counts? of|the place of)\b/iu;
/** A published source by its standard, edition or year; formats.md; our own definition; the trade's. */
const SOURCE =
  /formats\.md|our (?:own )?definition|common practice|JCGM|\b(?:ISO|IEC|RFC|NIST|GRS80|IAPWS|W3C|ECMA)\b|\b(?:1[6-9]|20)\d\d\b|\dth ed\.|\d(?:st|nd|rd) ed\./iu;
const NUMBERS = /\b(?:number|Float64Array|Float32Array|Measured|Uncertain)\b/;

const docstring = (context, node) =>
  context.sourceCode
    .getCommentsBefore(node)
    .filter(({ type, value }) => type === 'Block' && value.startsWith('*'))
    .at(-1)?.value ?? null;

/** The functions that an export makes: their names, and the types they say they return. */
function functionsOf({ declaration }) {
  if (declaration?.type === 'FunctionDeclaration' || declaration?.type === 'TSDeclareFunction')
    return [{ name: declaration.id.name, node: declaration, type: declaration.returnType }];
  if (declaration?.type !== 'VariableDeclaration') return [];
  return declaration.declarations
    .filter(({ init }) => init?.type === 'ArrowFunctionExpression' || init?.type === 'FunctionExpression')
    .map(({ id, init }) => ({ name: id.name, node: init, type: init.returnType ?? id.typeAnnotation }));
}

export const docstrings = {
  meta: {
    type: 'problem',
    schema: [],
    messages: {
      missing: '{{ name }} has no docstring: say what it returns.',
      untyped: '{{ name }} does not write down the type that it returns.',
      unit: '{{ name }} returns numbers: say in which unit, or that they have none or count something.',
      source: '{{ name }} returns numbers: name their source, there or at the head of the module.',
    },
  },
  create(context) {
    const [first] = context.sourceCode.ast.comments;
    const head =
      first?.type === 'Block' && first.value.startsWith('*') && first.loc.start.line === 1 ? first.value : '';
    const overloaded = new Set();
    return {
      ExportNamedDeclaration(exported) {
        for (const { name, node, type } of functionsOf(exported)) {
          const report = (messageId) => context.report({ node: exported, messageId, data: { name } });
          if (node.type === 'TSDeclareFunction') overloaded.add(name);
          else if (overloaded.has(name)) continue;
          const says = docstring(context, exported);
          if (says === null) {
            report('missing');
            continue;
          }
          if (type == null) {
            report('untyped');
            continue;
          }
          if (!NUMBERS.test(context.sourceCode.getText(type))) continue;
          if (COUNT.test(says)) continue;
          if (!UNIT.test(says) && !UNITLESS.test(says)) report('unit');
          if (!SOURCE.test(says) && !SOURCE.test(head)) report('source');
        }
      },
    };
  },
};
