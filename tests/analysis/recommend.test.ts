import { describe, expect, it } from 'vitest'
import { type Candidate, recommend } from '../../src/analysis/index.js'
import { type Change, type Move, type Plan, planOf } from '../../src/plan/index.js'
import { amount, openDemo, plansOf, value } from '../plan/households.js'

const move = await openDemo('valparaiso-gdynia')
const plans = plansOf(move)
const scenario = (name: string): readonly Change[] =>
  move.household.scenarios.find((s) => s.name === name)?.changes ?? []
const planned = (name: string, changes: Readonly<Record<string, string>>, of: Move = move): Plan =>
  value(
    planOf(of, name, [...scenario(name), ...Object.entries(changes).map(([id, to]) => ({ id, value: to }))]),
  )
const [diy, share, movers] = ['Do it ourselves', 'Share the work', 'Movers do it all']
const of = (candidates: readonly Candidate[], name: string): Candidate => {
  const found = candidates.find((c) => c.scenario === name)
  if (!found) throw new Error(`no candidate ${name}`)
  return found
}

describe('the recommendation', () => {
  it('asks least of the household: money, own hours, and the cover it can bear, each from the plan compared', () => {
    const { scenario: best, candidates, plan } = recommend(move, plans)
    const least = candidates.toSorted((a, b) => a.asks.cmp(b.asks))[0]
    expect(best).toBe(least?.scenario)
    expect(plan.sheet.choices.get('cover')).toBe('all-risks')
    for (const c of candidates) {
      const { compared } = c
      const own = compared.sheet.cells.get('work.own.value')?.value.toNumber() ?? 0
      const kept = 1.5 * c.cover.expectedRetained
      expect(c.asks.toNumber()).toBeCloseTo(amount(compared, 'cost.total') + own + kept, 1)
    }
  })

  it('gives one plan with one total: where the stated cover cannot be borne, the plan with the cover that can', () => {
    const cheapHours = plans.map((p) => planned(p.name, { 'own.hour-value': '0' }))
    const {
      plan,
      scenario: best,
      coverChanged,
      plans: shown,
      sentence,
    } = recommend(
      move,
      cheapHours.filter((p) => p.name === 'Do it ourselves'),
    )
    expect(coverChanged).toBe(true)
    const again = planned(best, {
      'own.hour-value': '0',
      cover: 'all-risks',
      'provider.packing': 'mover',
      'provider.unpacking': 'mover',
    })
    expect(amount(plan, 'cost.total')).toBe(amount(again, 'cost.total'))
    expect(shown).toContain(plan)
    expect(new Set(shown.map((p) => p.name)).size).toBe(shown.length)
    expect(sentence).toContain('with all risks')
    expect(sentence).toContain('the mover does the packing and unpacking')
  })

  it('a cheaper total that only insures less does not win by it', () => {
    const bare = { ...planned(movers, { cover: 'none' }), name: 'The same without cover' }
    const { candidates } = recommend(move, [planned(movers, {}), bare])
    expect(of(candidates, bare.name).asks.toString()).toBe(of(candidates, movers).asks.toString())
    expect(recommend(move, [bare, planned(movers, {})]).plan.sheet.choices.get('cover')).toBe('all-risks')
  })

  it('counts own hours at the value the household gave', () => {
    const dear = recommend(
      move,
      [diy, movers].map((name) => planned(name, { 'own.hour-value': '100' })),
    )
    expect(dear.scenario).toBe(movers)
  })

  it('obeys what forbids a scenario, and says so where everything is forbidden', () => {
    const bad = { ...planned(share, { transport: 'groupage' }), name: 'By share' }
    expect(recommend(move, [bad, planned(diy, {})]).scenario).toBe(diy)
    const none = recommend(move, [bad])
    expect(none.stops.length).toBeGreaterThan(0)
    expect(none.sentence).toContain('It cannot be carried out as it stands')
  })

  it('follows a scenario that is named, and refuses one that is not there', () => {
    const named = recommend(move, plans, diy)
    expect([named.scenario, named.named]).toEqual([diy, true])
    expect(() => recommend(move, plans, 'Nobody')).toThrow('unknown scenario "Nobody"; scenarios: Do it')
  })
})

describe('the cover `advised`', () => {
  it('is replaced by the least-cost cover that the household can bear, with the services it asks for', () => {
    const plan = planned(diy, { cover: 'advised' })
    expect(plan.sheet.choices.get('cover')).toBe('all-risks')
    const stated = planned(diy, {
      cover: 'all-risks',
      'provider.packing': 'mover',
      'provider.unpacking': 'mover',
    })
    expect(amount(plan, 'cost.total')).toBe(amount(stated, 'cost.total'))
    expect(recommend(move, [plan]).coverChanged).toBe(false)
  })

  it('is none for a household that can bear anything', () => {
    const plan = planned(diy, { cover: 'advised', 'loss.tolerance': '1000000', 'loss.ruin': '0' })
    expect(plan.sheet.choices.get('cover')).toBe('none')
  })

  it('follows the tolerance and the figures of a scenario', () => {
    const bold = planned(movers, { cover: 'advised', 'loss.tolerance': '20000', 'loss.ruin': '0' })
    expect(bold.sheet.choices.get('cover')).not.toBe('all-risks')
    const safe = planned(movers, {
      cover: 'advised',
      'loss.tolerance': '20000',
      'loss.ruin': '0',
      'insurance.claim-probability': '1',
    })
    expect(safe.sheet.choices.get('cover')).toBe('all-risks')
  })
})
