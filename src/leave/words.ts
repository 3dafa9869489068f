import { amount, inside, phrase, type Sentence, says, several } from '../paper/sentence.js'
import type { Move } from '../plan/move.js'
import { Exact } from '../quantity/exact.js'
import type { Advice, LeaveItem } from './items.js'
import type { LeaveSet } from './sets.js'

/** What packing a set's container piece by piece found: whether everything goes in, and how many pieces do not. */
export interface SetPacked {
  readonly complete: boolean
  readonly out: number
}

/** The advice on a thing as a table has it. */
export const adviceWords = (advice: Advice): Sentence =>
  ({
    ship: phrase('ship'),
    sell: phrase('sell'),
    'give away': phrase('give away'),
    'must travel': phrase('must travel'),
    'not known': phrase('not known'),
  })[advice]

/** Why a thing should be shipped, sold or given away, in a sentence with its figures. */
export function itemReason(move: Move, item: LeaveItem): Sentence {
  const money = (value: LeaveItem['marginal'] | undefined) =>
    value === undefined ? phrase('not stated') : amount(value, move.household.facts.currency)
  const ships = money(item.marginal)
  if (item.advice === 'must travel') return says`Marked to travel, whatever it costs.`
  if (item.gain === undefined || item.breakEven === undefined)
    return item.resale === undefined
      ? says`Shipping it costs ${ships}; what it would sell for is not stated.`
      : says`Shipping it costs ${ships}; what replacing it costs is not stated.`
  return item.gain.gt(0)
    ? says`Shipping it costs ${ships}, selling it brings ${money(item.resale)}, replacing it costs ${money(item.replacement)}: leaving it gains ${money(item.gain)}. Break-even at a replacement cost of ${money(item.breakEven)}.`
    : says`Shipping it costs ${ships}, selling it brings ${money(item.resale)}, replacing it costs ${money(item.replacement)}: shipping it is ${money(item.gain.neg())} cheaper. Break-even at a replacement cost of ${money(item.breakEven)}.`
}

/** A set in a few sentences. The last one says whether it was packed piece by piece, and what came of it. */
export function setSentence(move: Move, set: LeaveSet, packed?: SetPacked): Sentence {
  const money = (value: LeaveSet['gain']) => amount(value, move.household.facts.currency)
  const things = several(
    set.items.map(({ label }) => label),
    4,
  )
  const [m3, box] = [amount(set.m3, 'm3', 1), inside(`container.${set.transport}`, set.label)]
  return set.gain.gte(0)
    ? says`Leave ${m3} (${things}) and everything else goes in one ${box}: the move costs ${money(set.saved)} less; with ${money(set.resale)} from sales and ${money(set.replacement)} to replace, that gains ${money(set.gain)}. ${packedWords(packed)}`
    : says`Leave ${m3} (${things}) and everything else goes in one ${box}: the move costs ${money(set.saved)} less; with ${money(set.resale)} from sales and ${money(set.replacement)} to replace, that loses ${money(set.gain.neg())}. ${packedWords(packed)}`
}

function packedWords(packed: SetPacked | undefined): Sentence {
  if (packed === undefined) return says`By volume, not yet packed.`
  if (packed.complete) return says`Packed piece by piece: everything goes in.`
  return packed.out === 1
    ? says`That is by volume; packed piece by piece, one piece stays out: leave something more, or book the next size.`
    : says`That is by volume; packed piece by piece, ${amount(new Exact(packed.out), 'piece')} stay out: leave something more, or book the next size.`
}
