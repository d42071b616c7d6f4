/**
 * What may be shown of a person, as a type: a view of the contract takes no raw code and no raw sentence. Only the
 * consent veil makes one: `core/day/book.ts` of swimmers who consent, `core/deck/veil.ts` of texts that name nobody
 * hidden, `core/deck/board.ts` of a running day's state; the lint refuses the assertion anywhere else.
 */
declare const shown: unique symbol;

export type Shown<T> = T & { readonly [shown]: true };
