/**
 * A map with some of its entries replaced or added, on top of one that stays as it is: a plan changes a few inputs of
 * ten thousand, and what hangs on none of those can be found again by the map below.
 */
export class LayeredMap<K, V> implements ReadonlyMap<K, V> {
  constructor(
    /** What was there before: never itself layered. */
    readonly below: ReadonlyMap<K, V>,
    /** What was replaced or added since. */
    readonly above: ReadonlyMap<K, V>,
  ) {}

  get(key: K): V | undefined {
    return this.above.get(key) ?? this.below.get(key)
  }
  has(key: K): boolean {
    return this.above.has(key) || this.below.has(key)
  }
  get size(): number {
    let added = 0
    for (const key of this.above.keys()) if (!this.below.has(key)) added += 1
    return this.below.size + added
  }
  /** In the order of the map below; what was added comes last, as in a copy. */
  *entries(): MapIterator<[K, V]> {
    for (const [key, value] of this.below) yield [key, this.above.get(key) ?? value]
    for (const [key, value] of this.above) if (!this.below.has(key)) yield [key, value]
  }
  *keys(): MapIterator<K> {
    yield* this.below.keys()
    for (const key of this.above.keys()) if (!this.below.has(key)) yield key
  }
  *values(): MapIterator<V> {
    for (const [, value] of this.entries()) yield value
  }
  [Symbol.iterator](): MapIterator<[K, V]> {
    return this.entries()
  }
  forEach(tell: (value: V, key: K, map: ReadonlyMap<K, V>) => void): void {
    for (const [key, value] of this.entries()) tell(value, key, this)
  }
}

/** The layers of a map: a plain one has nothing above it. */
export function layersOf<K, V>(
  map: ReadonlyMap<K, V>,
): {
  readonly below: ReadonlyMap<K, V>
  readonly above: ReadonlyMap<K, V>
} {
  return map instanceof LayeredMap ? map : { below: map, above: new Map() }
}
