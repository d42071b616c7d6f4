/** Changes of a list, each giving a new one. */

export function replaced<T>(list: readonly T[], index: number, value: T): readonly T[] {
  return list.map((one, k) => (k === index ? value : one));
}

/** The list with one line moved up (−1) or down (1); the same list where it stands at that end already. */
export function moved<T>(list: readonly T[], index: number, by: -1 | 1): readonly T[] {
  const [one, other] = [list[index], list[index + by]];
  if (one === undefined || other === undefined) return list;
  return list.map((each, k) => (k === index ? other : k === index + by ? one : each));
}
