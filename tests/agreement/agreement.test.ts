// A reader who opens any two pages must find no two answers: each question is read out of every output and compared.
import { describe, expect, it, test } from 'vitest'
import { compare, type Recommendation, recommend, totalRanges, whatIf } from '../../src/analysis/index.js'
import { briefJson } from '../../src/brief/json.js'
import { briefFiles } from '../../src/brief/write.js'
import { exploreData } from '../../src/explore/data.js'
import { Calculator } from '../../src/explore/state.js'
import { carriageOf } from '../../src/explore/words.js'
import { numberText } from '../../src/paper/format.js'
import { type Move, type Plan, planScenarios, recordedSheet } from '../../src/plan/index.js'
import { workbook } from '../../src/workbook/index.js'
import { CELL_SHEETS } from '../../src/workbook/layout.js'
import { openDemo, value } from '../plan/households.js'
import { recalculatedByEngine, valuesById } from '../workbook/oracles.js'
import { readBook } from '../workbook/read-book.js'
import { homeOf, numbers, references } from './homes.js'
import { ASKED } from './questions.js'

const reference = await references()
const demos = [
  ['leeuwarden-nanaimo', await openDemo('leeuwarden-nanaimo')],
  ['valparaiso-gdynia', await openDemo('valparaiso-gdynia')],
  ['student-tromso-wellington', await openDemo('student-tromso-wellington')],
] as const
const generated = Array.from({ length: 20 }, (_, i) => [`home ${i + 1}`, homeOf(reference, i + 1)] as const)

interface Answers {
  readonly move: Move
  readonly recommendation: Recommendation
}

const known = new Map<Move, Answers>()
function answersOf(move: Move): Answers {
  const found = known.get(move) ?? { move, recommendation: recommend(move, value(planScenarios(move))) }
  known.set(move, found)
  return found
}

const exactOf = (plan: Plan, id: string) => plan.sheet.cells.get(id)?.value.toFixed()

interface JsonScenario {
  readonly name: string
  readonly choices: Readonly<Record<string, string>>
  readonly cells: readonly { readonly id: string; readonly value: string }[]
}

describe.each([...demos, ...generated])('%s', (_name, move) => {
  it('has one recommendation in brief.json, on the page of trade-offs and in the comparison', () => {
    const { recommendation } = answersOf(move)
    const json = JSON.parse(briefJson(move, recommendation))
    const page = exploreData(move, value(planScenarios(move)))
    expect(json.recommended).toBe(recommendation.plan.name)
    expect(page.scenarios[page.recommended]?.name).toBe(recommendation.plan.name)
    expect(page.recommendation.sentence).toBe(recommendation.sentence)
    const total = recommendation.plan.sheet.cells.get('cost.total')?.value
    if (!total) throw new Error('no total')
    expect(recommendation.sentence).toContain(numberText(total, 0))
    const ranges = totalRanges(move, recommendation.plans)
    expect(json.ranges).toEqual(ranges)
    expect(page.ranges).toEqual(ranges.map(({ p10, p50, p90 }) => ({ p10, p50, p90 })))
  })

  it('has one figure and one choice for each question, whichever output is opened', () => {
    const { recommendation } = answersOf(move)
    const { plans } = recommendation
    const json: { scenarios: readonly JsonScenario[] } = JSON.parse(briefJson(move, recommendation))
    const page = exploreData(move, value(planScenarios(move)))
    const figures = new Calculator(page).figures(new Map())
    const rows = new Map(
      compare(
        plans,
        ASKED.filter((id) => plans.every((p) => p.sheet.cells.has(id))),
      ).map((row) => [row.id, row]),
    )
    plans.forEach((plan, s) => {
      const recorded = recordedSheet(move, plan)
      const scenario = json.scenarios.find(({ name }) => name === plan.name)
      expect(scenario?.choices.transport).toBe(plan.sheet.choices.get('transport'))
      expect(scenario?.choices.cover).toBe(plan.sheet.choices.get('cover'))
      const onPage = page.scenarios[s]
      if (onPage)
        expect(carriageOf(onPage, figures[s] ?? new Map())).toBe(plan.sheet.choices.get('transport'))
      for (const id of ASKED) {
        const said = exactOf(plan, id)
        if (said === undefined) continue
        const unit = plan.sheet.cells.get(id)?.unit
        const cell = scenario?.cells.find((c) => c.id === id)
        if (unit !== 'date') expect(cell?.value, `brief.json ${id}`).toBe(said)
        expect(recorded.cells.get(id)?.value.value.toFixed(), `formulas ${id}`).toBe(said)
        if (rows.has(id)) expect(rows.get(id)?.values[s]?.toFixed(), `compare ${id}`).toBe(said)
        const shown = figures[s]?.get(id)
        if (shown !== undefined) expect(shown, `explore ${id}`).toBeCloseTo(Number(said), 6)
      }
    })
  })
})

describe('the brief of a demo household', () => {
  test.each(demos)('prints the total, container and cover of its JSON: %s', async (_name, move) => {
    const { recommendation } = answersOf(move)
    const files = await briefFiles(move, value(planScenarios(move)))
    const html = String(files.get('brief.html'))
    const { plan } = recommendation
    const total = plan.sheet.cells.get('cost.total')?.value
    if (!total) throw new Error('no total')
    expect(html).toContain(numberText(total, 0))
    expect(html).toContain(plan.name)
  })
})

describe('a what-if', () => {
  const [, demo] = demos[0]
  const plans = value(planScenarios(demo))

  it('without a change is the plan itself, set or not', () => {
    for (const plan of plans)
      expect(exactOf(whatIf(demo, plan, plan.name, {}), 'cost.total')).toBe(exactOf(plan, 'cost.total'))
    const set = value(planScenarios(demo, [{ id: 'delay.days', value: '25' }]))
    for (const plan of set)
      expect(exactOf(whatIf(demo, plan, plan.name, {}), 'cost.total')).toBe(exactOf(plan, 'cost.total'))
  })

  it('gives the same on the page of trade-offs as when it is planned: 60 changes of numbers', () => {
    const page = exploreData(demo, plans)
    const calculator = new Calculator(page)
    const stated = recommend(demo, plans).plans
    const next = numbers(20261126)
    for (let run = 0; run < 60; run++) {
      const moved = new Map<string, string>()
      for (let k = 0; k <= next(3); k++) {
        const input = page.inputs[next(page.inputs.length)]
        if (!input) continue
        const steps = Math.round((Number(input.max) - Number(input.min)) / Number(input.step))
        moved.set(
          input.id,
          String(Number((Number(input.min) + next(steps + 1) * Number(input.step)).toFixed(9))),
        )
      }
      const figures = calculator.figures(moved)
      const s = next(stated.length)
      const plan = stated[s]
      const scenario = page.scenarios[s]
      if (!plan || !scenario) throw new Error('no plan')
      const used = [...moved].filter(([id]) => plan.sheet.cells.has(id))
      const again = whatIf(demo, plan, plan.name, Object.fromEntries(used))
      const said = JSON.stringify([...moved])
      expect(carriageOf(scenario, figures[s] ?? new Map()), said).toBe(again.sheet.choices.get('transport'))
      expect(figures[s]?.get('cost.total'), said).toBeCloseTo(Number(exactOf(again, 'cost.total')), 2)
    }
  })

  it('of any kind gives the same in brief, formulas, trade-offs and workbook: 60 changes of all kinds', async () => {
    const [, student] = demos[1]
    const next = numbers(20261127)
    const oneOf = <T>(list: readonly T[]): T => list[next(list.length)] as T
    const inputs = [...student.inputs.numbers.values()].filter(({ low, high }) => low.lt(high))
    const lines = student.household.inventory.map(({ line }) => line)
    const choices = [...student.inputs.choices.values()].filter(
      ({ id, kind }) => kind === 'option' && !/^(take|packed|deck)\./.test(id),
    )
    let planned = 0
    for (let run = 0; run < 60; run++) {
      const change = [
        () => {
          const { id, low, high } = oneOf(inputs)
          return { id, value: low.plus(high.minus(low).times(next(101)).div(100)).toFixed() }
        },
        () => {
          const { id, allowed } = oneOf(choices)
          return { id, value: oneOf(allowed) }
        },
        () => ({ id: 'import-on', value: `2027-0${4 + next(3)}-${10 + next(19)}` }),
        () => ({ id: `take.${oneOf(lines)}`, value: oneOf(['ship', 'leave', 'carry']) }),
        () => ({ id: `line.${oneOf(lines)}.value`, value: String(50 * next(200)) }),
      ][run % 5]?.()
      if (!change) throw new Error('no change')
      const said = `${change.id}=${change.value}`
      const read = planScenarios(student, [change])
      // What the plan refuses (a street that lets nothing in, say) has no figures to compare.
      if (!read.ok) continue
      planned++
      const recommendation = recommend(student, read.value)
      const { plans: all } = recommendation
      const json: { scenarios: readonly JsonScenario[] } = JSON.parse(briefJson(student, recommendation))
      const page = exploreData(student, read.value)
      const figures = new Calculator(page).figures(new Map())
      const sheets = all.map((plan) => ({ name: plan.name, sheet: recordedSheet(student, plan) }))
      const book =
        run % 6 === 0
          ? valuesById(recalculatedByEngine(readBook(workbook(sheets))), CELL_SHEETS, sheets.length)
          : undefined
      all.forEach((plan, s) => {
        const total = exactOf(plan, 'cost.total')
        const inBrief = json.scenarios.find(({ name }) => name === plan.name)
        expect(inBrief?.cells.find(({ id }) => id === 'cost.total')?.value, `brief ${said}`).toBe(total)
        expect(inBrief?.choices.transport, `brief ${said}`).toBe(plan.sheet.choices.get('transport'))
        expect(sheets[s]?.sheet.cells.get('cost.total')?.value.value.toFixed(), `formulas ${said}`).toBe(
          total,
        )
        expect(figures[s]?.get('cost.total'), `explore ${said}`).toBeCloseTo(Number(total), 6)
        if (book)
          expect(Number(book.get('cost.total')?.[s]), `workbook ${said}`).toBeCloseTo(Number(total), 6)
      })
    }
    expect(planned).toBeGreaterThan(45)
  })

  it('of a thing’s value reaches what customs charges and what is declared', () => {
    const [plan] = plans
    if (!plan) throw new Error('no plan')
    const line = plan.shipment.lines.find(({ value }) => value !== undefined)
    if (!line) throw new Error('no line with a value')
    const dear = whatIf(demo, plan, 'dear', { [`line.${line.line}.value`]: 20_000 })
    expect(dear.shipment.lines.find((l) => l.line === line.line)?.value?.toNumber()).toBe(20_000)
    const charged = dear.sheet.customs.move.lines.find(({ id }) => id === line.line)?.value
    expect(charged?.gte(20_000)).toBe(true)
    expect(
      dear.sheet.cells.get('value.declared')?.value.gt(plan.sheet.cells.get('value.declared')?.value ?? 0),
    ).toBe(true)
  })

  it('that leaves a thing behind takes it out of volume, customs and lists alike', () => {
    const [plan] = plans
    const line = plan?.shipment.lines[0]
    if (!plan || !line) throw new Error('no plan')
    const without = whatIf(demo, plan, 'without', { [`take.${line.line}`]: 'leave' })
    expect(without.sheet.cells.has(`volume.line.${line.line}.net`)).toBe(false)
    expect(without.sheet.customs.move.lines.some(({ id }) => id === line.line)).toBe(false)
    expect(without.shipment.left.lines.some((l) => l.line === line.line)).toBe(true)
  })
})
