/**
 * Items in groups by a key, groups and items in the order they come in: `Map.groupBy`, which Node 20 lacks.
 *
 * Example: 3, 5 and 4 by whether they are even → odd: 3, 5; even: 4.
 */
export function groupBy<T, K>(items: Iterable<T>, keyOf: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>()
  for (const item of items) {
    const key = keyOf(item)
    const group = groups.get(key)
    if (group) group.push(item)
    else groups.set(key, [item])
  }
  return groups
}
