import { readFileSync } from 'node:fs'
import { Decimal } from 'decimal.js'
import { expect, test } from 'vitest'
import {
  assessFor,
  CUSTOMS_FILES,
  type CustomsTables,
  type DutyLine,
  type DutyMove,
  type DutyPerson,
  type LineAssessment,
  lineSentence,
  type RouteAssessment,
  readCustomsTables,
  type Verdict,
} from '../../src/customs/index.js'
import { problemText } from '../../src/tables/problem.js'

const folder = new URL('../../data/reference/customs/', import.meta.url)

export const customsFiles = () =>
  CUSTOMS_FILES.map((file) => ({ file, text: readFileSync(new URL(file, folder), 'utf8') }))

/** The rules as the package ships them. */
export function shippedRules(): CustomsTables {
  const read = readCustomsTables(customsFiles())
  if (!read.ok) throw new Error(read.problems.map(problemText).join('\n'))
  return read.value
}

/** A person who passes every usual test, with what a case changes. */
export const person = (change: Partial<DutyPerson> = {}): DutyPerson => ({
  person: 'A',
  status: 'settler',
  adult: true,
  abroad_since: '2015-01-01',
  leaves_on: '2026-03-01',
  arrives_on: '2026-03-05',
  permit_months: 48,
  ...change,
})

/** A thing owned for years, with what a case changes. */
export const thing = (change: Partial<DutyLine> = {}): DutyLine => ({
  id: 'L-1',
  label: 'table',
  kind: 'goods',
  class: 'furniture',
  quantity: 1,
  value: new Decimal(1000),
  held: 'own',
  acquiredOn: '2018-01-01',
  condition: 'good',
  ...change,
})

export const move = (change: Partial<DutyMove> = {}): DutyMove => ({
  origin: 'ZZ',
  destination: 'DE',
  loadOn: '2026-02-20',
  importOn: '2026-04-20',
  people: [person()],
  lines: [thing()],
  ...change,
})

/** One person, one thing, one destination. */
export function assessOne(
  tables: CustomsTables,
  destination: string,
  who: Partial<DutyPerson>,
  what: Partial<DutyLine>,
  dates: Partial<DutyMove> = {},
): LineAssessment {
  const there = move({ destination, people: [person(who)], lines: [thing(what)], ...dates })
  const [one] = assessFor(tables, there, person(who))
  if (one === undefined) throw new Error('no line assessed')
  return one
}

/** The route of that name, as tried. */
export function route(assessment: LineAssessment, id: string): RouteAssessment {
  const found = assessment.routes.find(({ row }) => row.id === id)
  if (found === undefined)
    throw new Error(`no route ${id}; tried ${assessment.routes.map(({ row }) => row.id)}`)
  return found
}

/** The days a test of that name is short; undefined where it was not run. */
export const daysShort = (tried: RouteAssessment, test: string): number | undefined =>
  tried.tests.find((each) => each.test === test)?.daysShort

/** A case of relief: what a title with article and mark says, where, and what differs from who passes every test. */
export type ReliefCase = readonly [
  title: string,
  destination: string,
  who: Partial<DutyPerson>,
  what: Partial<DutyLine>,
  dates: Partial<DutyMove>,
  expected: Verdict,
]

/** Runs a table of cases, each a test of its own. */
export function reliefCases(tables: CustomsTables, cases: readonly ReliefCase[]): void {
  test.each(cases)('%s', (_title, destination, who, what, dates, expected) => {
    const one = assessOne(tables, destination, who, what, dates)
    expect(one.verdict, lineSentence(one)).toBe(expected)
  })
}

export const n = (x: Decimal.Value): Decimal => new Decimal(x)

/** Nothing paid for carriage, and one currency for all. */
export const noCarriage = { freight: n(0), insurance: n(0), inland: n(0), exchange: n(1) }

export const car = { kind: 'car', class: 'car', condition: 'good' } as const
