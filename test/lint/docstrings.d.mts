import type { Rule } from 'eslint';

export const docstrings: Rule.RuleModule;
