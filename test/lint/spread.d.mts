import type { Rule } from 'eslint';

export declare const spread: Rule.RuleModule;
