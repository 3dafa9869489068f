import { mixed } from './mixed.js'

const ROUNDS = 8

/**
 * An order of 0 to `count` − 1 in which each comes once, worked out for one place at a time: a Feistel network over the
 * next even number of bits, walked on until it falls inside (J. Black and P. Rogaway, "Ciphers with arbitrary finite
 * domains", CT-RSA 2002, from memory). At most four times as many places are walked over as there are.
 *
 * @param count 1 to 2³⁰
 * @param key another order for every key
 */
export function permutation(count: number, key: number): (place: number) => number {
  const half = Math.max(1, Math.ceil(Math.log2(Math.max(2, count)) / 2))
  const mask = 2 ** half - 1
  const keys = Array.from({ length: ROUNDS }, (_, round) => mixed(key, round))
  const once = (x: number): number => {
    let left = x >>> half
    let right = x & mask
    for (const of of keys) [left, right] = [right, left ^ (mixed(of, right) & mask)]
    return (left << half) | right
  }
  return (place) => {
    let x = once(place)
    while (x >= count) x = once(x)
    return x
  }
}
