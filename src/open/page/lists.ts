// The words that fields of the page offer, and what each column of a file holds.
import type { z } from 'zod'
import type { References } from '../../plan/index.js'
import { type FieldFacts, factsOf } from '../../tables/fields.js'
import { groupBy } from '../../tables/group-by.js'
import {
  exchangeColumns,
  householdFacts,
  personColumns,
  quoteColumns,
  rateColumns,
  vehicleColumns,
} from '../../tables/household-columns.js'
import type { KnownItem } from './fill.js'

export interface Word {
  readonly id: string
  readonly label: string
}

/** The words that fields of the page offer. */
export interface Lists {
  readonly items: readonly KnownItem[]
  /** What each kind of room is begun with: ids of items, each with how many. */
  readonly starters: ReadonlyMap<string, readonly (readonly [id: string, quantity: number])[]>
  readonly classes: readonly Word[]
  readonly packings: readonly Word[]
  readonly countries: readonly Word[]
  readonly currencies: readonly Word[]
  readonly services: readonly (Word & { readonly phase: string; readonly providers: readonly string[] })[]
  readonly vehicleClasses: readonly Word[]
  /** What each column of a file holds; of household.csv, what each fact is. */
  readonly columns: Readonly<Record<string, readonly ColumnFacts[]>>
}

/** A column of a household's file, as the page asks for it. */
export interface ColumnFacts {
  readonly name: string
  readonly says: string
  readonly example: string
  readonly unit?: string
  readonly kind: NonNullable<FieldFacts['kind']>
  readonly allowed: readonly string[]
  readonly required: boolean
}

/** The words of the reference tables. */
export function listsOf(reference: References): Lists {
  return {
    items: reference.items.map((item) => ({
      id: item.id,
      label: item.label,
      also: item.also?.split('|') ?? [],
      class: item.class,
      packing: item.packing,
      ft3: item.ft3.toNumber(),
      massKg: item.mass_kg.toNumber(),
    })),
    starters: new Map(
      [...groupBy(reference.roomStarters, ({ room }) => room)].map(([room, rows]) => [
        room,
        rows.map(({ item_code, quantity }) => [item_code, quantity] as const),
      ]),
    ),
    classes: [...reference.customs.classes.values()].map(word),
    packings: [
      { id: 'none', label: 'as it is' },
      { id: 'wrapped', label: 'wrapped in blankets' },
      { id: 'crated', label: 'in a wooden crate' },
      ...reference.cartons.map(word),
    ],
    countries: reference.countries.map(({ code, label }) => ({ id: code, label })),
    currencies: reference.currencies.map(({ code, label }) => ({ id: code, label })),
    services: reference.services.map(({ id, label, phase, providers }) => ({
      id,
      label,
      phase,
      providers,
    })),
    vehicleClasses: reference.vehicleClasses.map(word),
    columns: {
      'household.csv': columnsOf(householdFacts),
      'people.csv': columnsOf(personColumns),
      'vehicles.csv': columnsOf(vehicleColumns),
      'exchange.csv': columnsOf(exchangeColumns),
      'rates.csv': columnsOf(rateColumns),
      'quotes.csv': columnsOf(quoteColumns),
    },
  }
}

const columnsOf = (columns: z.ZodObject): ColumnFacts[] =>
  Object.entries(columns.shape).map(([name, schema]) => {
    const { description, example, unit, kind, allowed, required } = factsOf(schema as z.ZodType)
    return {
      name,
      says: description,
      example,
      ...(unit === undefined || unit === '1' ? {} : { unit }),
      kind: kind ?? 'text',
      allowed: kind === 'yes-no' ? ['yes', 'no'] : (allowed ?? []),
      required: required === true,
    }
  })

const word = ({ id, label }: Word): Word => ({ id, label })
