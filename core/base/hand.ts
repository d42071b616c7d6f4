export type Hand = 'left' | 'right';

export const HANDS = ['left', 'right'] as const;
