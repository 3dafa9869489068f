import { describe, expect, it } from 'vitest'
import { compare, leftBehind, recommend } from '../../src/analysis/index.js'
import { footingText } from '../../src/brief/front/scenarios.js'
import { ENGLISH_WORDS } from '../../src/paper/words.js'
import { amount, openDemo, plansOf, planWith } from '../plan/households.js'

const move = await openDemo('valparaiso-gdynia')
const plans = plansOf(move)
const words = (changes: Record<string, string>) =>
  footingText({ move, plans: [...plans, { ...planWith(move, changes), name: 'Other' }] }, ENGLISH_WORDS)

describe('scenarios side by side', () => {
  it('tell what an employer gives and what is left to pay, and nothing of an employer where there is none', () => {
    const employer = (of: Parameters<typeof compare>[0]) =>
      compare(of).flatMap(({ id, values }) =>
        id.startsWith('employer.') ? [[id, values[0]?.toNumber()]] : [],
      )
    expect(employer(plans)).toEqual([])
    const given = planWith(move, { 'employer.lump-sum': '4000' })
    expect(employer([given])).toEqual([
      ['employer.gives', 4000],
      ['employer.left-to-pay', expect.closeTo(amount(given, 'cost.total') - 4000, 6)],
    ])
  })

  it('say the same goods and dates of scenarios that have them, and of no others', () => {
    expect(footingText({ move, plans }, ENGLISH_WORDS)).toBe(
      'Same goods, same dates and same rules in every column.',
    )
    expect(words({ 'load-on': '2027-02-20' })).toBe(
      'Same goods and same rules in every column, but not the same days.',
    )
    expect(words({ 'take.V-01': 'leave' })).toBe(
      'Same rules in every column, but not the same goods. “Other” leaves Compact estate, silver behind: what that sells for and what replaces it stand in no total.',
    )
  })
})

describe('what a scenario leaves behind that another ships', () => {
  const without = planWith(move, { 'take.V-01': 'leave', 'take.K-01': 'leave' })

  it('is named, vehicles first; what every scenario leaves is not', () => {
    expect(leftBehind(without, [...plans, without]).map(({ mark }) => mark)).toEqual(['V-01', 'K-01'])
    expect(leftBehind(without, [without])).toEqual([])
    for (const plan of plans) expect(leftBehind(plan, plans)).toEqual([])
  })

  it('stands beside the recommendation that leaves it', () => {
    const { sentence } = recommend(move, [...plans, without], without.name)
    expect(sentence).toContain(
      'It leaves Compact estate, silver and Stoneware dinner set for twelve, speckled grey behind, which another scenario ships: what that sells for and what replaces it stand in no total.',
    )
    expect(recommend(move, plans).sentence).not.toContain('behind')
  })
})
