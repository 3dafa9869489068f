import { ENGLISH } from '../paper/figure-text.js'
import { firstOf } from '../paper/format.js'
import type { Move } from '../plan/move.js'
import type { LeaveItem } from './items.js'
import type { LeaveSet } from './sets.js'

/** Why a thing should be shipped, sold or given away, in a sentence with its figures. */
export function itemReason(move: Move, item: LeaveItem): string {
  const money = (value: LeaveItem['marginal'] | undefined) =>
    value === undefined ? 'not stated' : ENGLISH.money(value, move.household.facts.currency, 0)
  if (item.advice === 'must travel') return 'Marked to travel, whatever it costs.'
  if (item.gain === undefined || item.breakEven === undefined)
    return `Shipping it costs ${money(item.marginal)}; ${
      item.resale === undefined ? 'what it would sell for' : 'what replacing it costs'
    } is not stated.`
  return `Shipping it costs ${money(item.marginal)}, selling it brings ${money(item.resale)}, replacing it costs ${money(item.replacement)}: ${
    item.gain.gt(0)
      ? `leaving it gains ${money(item.gain)}`
      : `shipping it is ${money(item.gain.neg())} cheaper`
  }. Break-even at a replacement cost of ${money(item.breakEven)}.`
}

/** A set in one sentence. */
export function setSentence(move: Move, set: LeaveSet): string {
  const money = (value: LeaveSet['gain']) => ENGLISH.money(value, move.household.facts.currency, 0)
  const things = firstOf(
    set.items.map(({ label }) => label),
    4,
  )
  return `Leave ${ENGLISH.number(set.m3, 1)} m³ (${things}) and everything else goes in one ${set.label.toLowerCase()}: the move costs ${money(set.saved)} less; with ${money(set.resale)} from sales and ${money(set.replacement)} to replace, that ${
    set.gain.gte(0) ? `gains ${money(set.gain)}` : `loses ${money(set.gain.neg())}`
  }. By volume, not yet packed.`
}
