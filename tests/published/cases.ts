import { readFileSync } from 'node:fs'
import { parse } from 'csv-parse/sync'
import type { Decimal } from 'decimal.js'
import { describe, expect, test } from 'vitest'
import { type Arithmetic, bounded, exact, type Num, recorded } from '../../src/quantity/index.js'

/** Writes a number of a row in whichever arithmetic the row is run with. */
export type Of<N> = (x: Decimal.Value) => N

/** A published or hand-worked figure: the formula that should yield it, and where the figure is from. */
export interface Case {
  readonly title: string
  /** As printed: its decimals say how far the answer must agree. */
  readonly gives: string
  readonly source: string
  readonly by: <N extends Num<N>>(m: Arithmetic<N>, of: Of<N>) => N
  /** Wrong answers that look right, printed to the same decimals, each with the mistake behind it. */
  readonly never?: Readonly<Record<string, string>>
}

const decimals = (printed: string): number => printed.split('.')[1]?.length ?? 0

/** Runs each case in the exact, the recorded and the bounded arithmetic. */
export function published(subject: string, cases: readonly Case[]): void {
  describe(subject, () => {
    // Titles are put together here because test.each would cut long sources short.
    for (const { title, gives, source, by, never = {} } of cases) {
      test(`${title}: ${gives} (${source})`, () => {
        const value = by(exact, exact.of)
        const as = (printed: string): string =>
          exact.round(value, decimals(printed), 'half-up').toFixed(decimals(printed))
        expect(as(gives)).toBe(gives)
        for (const [trap, mistake] of Object.entries(never)) expect(as(trap), mistake).not.toBe(trap)
        expect(by(recorded, recorded.of).value.eq(value)).toBe(true)
        const range = by(bounded, bounded.of)
        expect(range.low.lte(value) && range.high.gte(value)).toBe(true)
      })
    }
  })
}

type Row = Readonly<Record<string, string>>
const table = (name: string): readonly Row[] =>
  parse(readFileSync(new URL(`../../data/reference/${name}.csv`, import.meta.url), 'utf8'), {
    columns: true,
  }) as Row[]

const figures = [...table('figures'), ...table('background')]
const containers = table('containers')
const portCharges = table('port-charges-published')

function cell(row: Row | undefined, column: string, where: string): string {
  const value = row?.[column]
  if (value === undefined || value === '') throw new Error(`${where}: no ${column}`)
  return value
}

/** Likely value of a row of figures.csv or background.csv, the one in force on a day where the row is dated. */
export function figure(id: string, on = ''): string {
  const rows = figures.filter((row) => row.id === id)
  const inForce = rows.filter(
    (row) => on === '' || ((row.from ?? '') <= on && (row.until === '' || (row.until ?? '') >= on)),
  )
  if (inForce.length !== 1)
    throw new Error(`figures.csv, background.csv: ${inForce.length} rows "${id}" on "${on}"`)
  return cell(inForce[0], 'likely', id)
}

/** A column of a row of containers.csv. */
export const box = (id: string, column: string): string =>
  cell(
    containers.find((row) => row.id === id),
    column,
    `containers.csv ${id}`,
  )

/** The steps of a published daily tariff, its prices in the arithmetic at hand. */
export const tariff = <N>(id: string, of: Of<N>) =>
  portCharges
    .filter((row) => row.id?.startsWith(`${id}.`))
    .map((row) => ({
      fromDay: Number(cell(row, 'from_day', id)),
      untilDay: row.until_day === '' ? undefined : Number(row.until_day),
      price: of(cell(row, 'price', id)),
    }))
