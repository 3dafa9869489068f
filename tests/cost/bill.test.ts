import { describe, expect, it, test } from 'vitest'
import { decidingRates, stalePrices } from '../../src/analysis/index.js'
import { openTradeMove, planAt, readTradeMove, type TradeMove, usd } from '../trade/moves.js'

const base: TradeMove = {
  name: 'Norway to the United States',
  home: '20-foot',
  from: 'NO',
  to: 'US',
  exchange: { NOK: '0.099', EUR: '1.16' },
}
const move = openTradeMove(base)
const at = (changes: Readonly<Record<string, string>>) => planAt(move, { transport: '22G1', ...changes })

describe('freight and its surcharges', () => {
  it('charges surcharges on a base price, and not again on one that is all-in', () => {
    const allIn = at({ 'freight-basis': 'all-in' })
    const before = at({ 'freight-basis': 'base' })
    const surcharges = ['fuel-surcharge', 'currency-adjustment', 'emissions-surcharge', 'route-surcharges']
    for (const id of surcharges) {
      expect(usd(allIn, `cost.crossing.${id}`)).toBe(0)
      expect(usd(before, `cost.crossing.${id}`)).toBeGreaterThan(0)
    }
    expect(usd(before, 'cost.crossing.freight')).toBe(usd(allIn, 'cost.crossing.freight'))
  })

  it('is another price on another lane', () => {
    const south = openTradeMove({ ...base, to: 'ZA', exchange: { ...base.exchange, ZAR: '0.055' } })
    expect(usd(planAt(south, { transport: '22G1' }), 'cost.crossing.freight')).not.toBe(
      usd(at({}), 'cost.crossing.freight'),
    )
  })

  it('refuses a lane without a price, and takes the household’s own instead', () => {
    const to = { ...base, to: 'AQ', rates: ['cost.destination.wage,20,20,20,USD,invented'] }
    const read = readTradeMove(to)
    const problems = read.ok ? [] : read.problems.filter(({ column }) => column === 'destination_country')
    expect(problems.map(({ file, expected }) => [file, expected.includes('Antarctica')])).toContainEqual([
      'household.csv',
      true,
    ])
    const own = ['22G1', '42G1', '45G1', 'L5G1', 'groupage'].map(
      (id) => `price.freight.${id},900,900,900,USD,offer`,
    )
    const paid = openTradeMove({ ...to, rates: [...to.rates, ...own] })
    expect(usd(planAt(paid, { transport: '22G1' }), 'cost.crossing.freight')).toBe(900)
  })
})

describe('papers', () => {
  // Common practice, no source: each bill of lading has its own entry, at both ends, and its own papers.
  const papers = [
    'cost.origin.export-clearance',
    'cost.crossing.documents',
    'cost.crossing.security-filing',
    'cost.destination.import-clearance',
    'cost.destination.delivery-order',
  ]
  const small = { 'packed.22G1': 'not everything', 'packed.22G1.m3': '10' }

  it('are paid once for the containers and once more for what goes in a share', () => {
    const [one, two, share, alone] = [
      at({}),
      at({ ...small }),
      at({ ...small, transport: '22G1+groupage' }),
      at({ transport: 'groupage' }),
    ]
    expect(two.sheet.cells.get('options.22G1.containers')?.value.toNumber()).toBeGreaterThan(1)
    for (const id of papers) {
      expect([id, usd(two, id), usd(alone, id)]).toEqual([id, usd(one, id), usd(one, id)])
      expect([id, usd(share, id)]).toEqual([id, usd(one, id) * 2])
    }
  })
})

describe('services as data', () => {
  const header =
    'quay-lantern,Light on the quay,crossing,container,10,100,200,USD,container,,,,,,,,no,no,0,mover|employer,yes,border,,,365,A lamp,invented,common practice,2026-11-26,'
  const lit = openTradeMove({
    ...base,
    more: { service: header, level: 'quay-lantern,mover,mover,mover,invented,common practice,2026-11-26,' },
  })
  it('a new row reaches the carriage of every option, the customs value and the total without code', () => {
    const [dark, light] = [at({}), planAt(lit, { transport: '22G1' })]
    const more = (id: string) => usd(light, id) - usd(dark, id)
    expect(more('cost.crossing.quay-lantern'.replace('quay-lantern', 'total'))).toBeCloseTo(100, 2)
    expect(more('options.22G1.cost')).toBeCloseTo(100, 2)
    expect(more('options.45G1.cost')).toBeCloseTo(100, 2)
    expect(more('duty.carriage.freight')).toBeCloseTo(100, 2)
  })

  it('asks the importer’s filing and bond only on the way to the United States, biosecurity only where it is the rule', () => {
    const zealand = openTradeMove({ ...base, to: 'NZ', exchange: { ...base.exchange, NZD: '0.57' } })
    const there = planAt(zealand, { transport: '22G1' })
    expect(
      usd(at({}), 'cost.crossing.importer-security-filing', 'cost.crossing.importer-bond'),
    ).toBeGreaterThan(0)
    expect(usd(there, 'cost.crossing.importer-security-filing', 'cost.crossing.importer-bond')).toBe(0)
    expect(usd(at({}), 'cost.destination.biosecurity')).toBe(0)
    expect(usd(there, 'cost.destination.biosecurity')).toBeGreaterThan(0)
    expect(usd(there, 'cost.destination.inspection')).toBe(0)
  })
})

describe('who works', () => {
  const hours = (changes: Readonly<Record<string, string>>) => usd(at(changes), 'work.loading.hours')

  it('shares the hours at the door among family, friends and hired hands', () => {
    const alone = hours({ 'provider.loading': 'self' })
    const few = hours({ 'provider.loading': 'friends', 'friends.loading': '2' })
    const many = hours({ 'provider.loading': 'friends', 'friends.loading': '6' })
    expect(few).toBeLessThan(alone)
    expect(many).toBeLessThan(few)
  })

  it('leaves own hours as they are whatever crew the mover would send', () => {
    expect(hours({ 'provider.loading': 'self', crew: '5' })).toBe(
      hours({ 'provider.loading': 'self', crew: '2' }),
    )
  })

  it('pays hired hands by the day begun, and keeps one of the household there', () => {
    const plan = at({ 'provider.loading': 'hired', 'hired.loading': '3' })
    expect(usd(plan, 'cost.origin.loading')).toBeGreaterThan(0)
    expect(usd(plan, 'work.loading.own-hours')).toBe(usd(plan, 'work.loading.hours'))
  })

  it('sends a larger crew for a larger load, so that the job ends within its day', () => {
    const big = openTradeMove({ ...base, home: 'high cube' })
    const plan = planAt(big, { transport: '45G1' })
    expect(usd(plan, 'work.loading.crew')).toBeGreaterThan(usd(at({}), 'work.loading.crew'))
    expect(usd(plan, 'work.loading.hours')).toBeLessThanOrEqual(8)
  })

  it('counts friends and hired hands of services.csv', () => {
    const stated = openTradeMove({ ...base, services: ['loading,friends,5,,', 'unloading,hired,,2,'] })
    expect(stated.inputs.numbers.get('friends.loading')?.likely.toString()).toBe('5')
    expect(stated.inputs.numbers.get('hired.unloading')?.likely.toString()).toBe('2')
  })
})

describe('the container at the door', () => {
  test.each([
    ['stand', ['wait', 'stand', 'small-trucks']],
    ['wait', ['wait', 'small-trucks']],
    ['small', ['small-trucks']],
  ])('a street that allows %s takes the cheapest of %j', (street, ways) => {
    const plan = at({ 'origin.street': street, 'service-level': 'diy', 'own.people': '1' })
    const cheapest = Math.min(...ways.map((way) => usd(plan, `door.origin.${way}`)))
    expect(usd(plan, 'door.origin.least')).toBe(cheapest)
    expect(usd(plan, 'cost.origin.origin-door')).toBe(cheapest)
    expect(['wait', 'stand', 'small-trucks'][usd(plan, 'door.origin.way') - 1]).toBe(
      ways.find((way) => usd(plan, `door.origin.${way}`) === cheapest),
    )
  })

  it('never asks less than the least charge for small trucks: 5 m³ once came to 132', () => {
    const plan = at({ 'origin.street': 'small', 'line.L-4.quantity': '1', 'line.L-1.quantity': '5' })
    expect(usd(plan, 'door.origin.small-trucks')).toBeGreaterThanOrEqual(350)
  })

  it('pays for parking only where the town asks for a permit', () => {
    expect(usd(at({ 'origin.permit': 'no' }), 'cost.origin.origin-parking')).toBe(0)
    expect(usd(at({ 'origin.permit': 'yes' }), 'cost.origin.origin-parking')).toBeGreaterThan(0)
  })
})

describe('quotes on one footing', () => {
  const all = 'materials|packing|loading|origin-haulage|freight|destination-haulage|unloading'
  const quoted = openTradeMove({
    ...base,
    quotes: [`Small,10,${all},9000,USD,`, `Large,60,${all},9000,USD,`, `Same,23,${all},9000,USD,`],
  })
  const plan = planAt(quoted, { transport: '22G1' })

  it('does not let equal lump prices for 10 and for 60 m³ come out equal', () => {
    expect(usd(plan, 'quotes.Small.like-for-like')).toBeGreaterThan(usd(plan, 'quotes.Large.like-for-like'))
  })

  it('splits a bundle into parts that add up to its price', () => {
    const parts = all.split('|').map((id) => usd(plan, `quotes.Same.part.${id}`))
    expect(parts.reduce((a, b) => a + b)).toBeCloseTo(9000, 1)
    expect(Math.min(...parts)).toBeGreaterThan(0)
  })

  it('says which volumes are too far off to be scaled honestly', () => {
    expect(['Small', 'Large', 'Same'].map((q) => usd(plan, `quotes.${q}.comparable`))).toEqual([0, 0, 1])
  })

  it('is not burdened by the household’s own waiting, which no mover causes', () => {
    const slow = planAt(quoted, { transport: '22G1', 'provider.loading': 'self', 'own.people': '1' })
    const fast = planAt(quoted, { transport: '22G1', 'provider.loading': 'self', 'own.people': '9' })
    expect(usd(slow, 'cost.origin.origin-door')).toBeGreaterThan(usd(fast, 'cost.origin.origin-door'))
    expect(usd(slow, 'quotes.Same.left-out')).toBe(usd(fast, 'quotes.Same.left-out'))
  })
})

describe('money from an employer', () => {
  it('leaves the rest to pay, or is kept: lump sum, share and cap in a currency of their own', () => {
    const facts = {
      employer_lump_sum: '1000',
      employer_share: '0.5',
      employer_cap: '2000',
      employer_currency: 'EUR',
    }
    const plan = planAt(openTradeMove({ ...base, facts }), { transport: '22G1' })
    expect(usd(plan, 'employer.gives')).toBeCloseTo(3000 * 1.16, 2)
    expect(usd(plan, 'employer.left-to-pay')).toBeCloseTo(usd(plan, 'cost.total') - 3480, 2)
    expect(usd(plan, 'employer.kept')).toBe(0)
    const rich = planAt(openTradeMove({ ...base, facts: { employer_lump_sum: '90000' } }), {
      transport: '22G1',
    })
    expect(usd(rich, 'employer.kept')).toBeCloseTo(90_000 - usd(rich, 'cost.total'), 2)
  })
})

describe('covers on the route', () => {
  it('cost more through waters listed for war, and bear premium tax where the insured lives', () => {
    expect(usd(at({ 'route-risk': 'war' }), 'cover.all-risks.premium')).toBeGreaterThan(
      usd(at({}), 'cover.all-risks.premium'),
    )
    const britain = openTradeMove({ ...base, from: 'GB', exchange: { ...base.exchange, GBP: '1.31' } })
    const plan = planAt(britain, { transport: '22G1' })
    // 0.045 of the sum insured, and 12 % insurance premium tax on it: HMRC notice IPT1
    expect(usd(plan, 'cover.all-risks.premium')).toBeCloseTo(usd(plan, 'value.insured') * 0.045 * 1.12, 1)
  })
})

describe('prices and their age', () => {
  it('names what is older than it is good for, and nothing that is not', () => {
    expect(stalePrices(move, at({}))).toEqual([])
    const later = openTradeMove({ ...base, facts: { as_of: '2027-03-01' } })
    const plan = planAt(later, { transport: '22G1' })
    const old = stalePrices(later, plan).map(({ id }) => id)
    expect(old).toContain('price.freight.22G1')
    expect(old).not.toContain('price.materials')
  })

  it('lists the figures of the tables that decide the bill, the most money first, own figures left out', () => {
    const own = openTradeMove({ ...base, rates: ['price.freight.22G1,900,1000,4000,USD,offer'] })
    const rates = decidingRates(own, planAt(own, { transport: '22G1' }))
    const stakes = rates.map(({ atStake }) => atStake)
    expect(stakes.length).toBeGreaterThan(10)
    expect(stakes).toEqual(stakes.toSorted((a, b) => b - a))
    expect(rates.map(({ input }) => input.id)).not.toContain('price.freight.22G1')
  })
})

describe('input that is refused, with place and remedy', () => {
  const problemsOf = (changed: Partial<TradeMove>) => {
    const read = readTradeMove({ ...base, ...changed })
    return read.ok
      ? []
      : read.problems.map(({ file, line, column, found }) => ({ file, line, column, found }))
  }
  test.each([
    [
      'an unknown provider',
      { services: ['loading,elves,,,'] },
      { file: 'services.csv', line: 2, column: 'provider', found: 'elves' },
    ],
    [
      'a bundle with an unknown service',
      { quotes: ['Q1,20,packing|juggling,900,USD,'] },
      { file: 'quotes.csv', line: 2, column: 'services', found: 'juggling' },
    ],
    [
      'a rate in an unknown currency',
      { rates: ['price.freight.22G1,1,1,1,XQX,offer'] },
      { file: 'rates.csv', line: 2, column: 'currency', found: 'XQX' },
    ],
    [
      'a currency on a figure that is no money',
      { rates: ['labour.own-slower,0.5,0.5,0.5,USD,own'] },
      { file: 'rates.csv', line: 2, column: 'currency', found: 'USD' },
    ],
  ] as const)('%s', (_what, changed, problem) => {
    expect(problemsOf(changed)).toContainEqual(problem)
  })

  it('a lump sum in an unknown currency', () => {
    const problems = problemsOf({ facts: { employer_lump_sum: '500', employer_currency: 'XQX' } })
    expect(problems.map(({ file, column, found }) => [file, column, found])).toContainEqual([
      'household.csv',
      'employer_currency',
      'XQX',
    ])
    expect(problems[0]?.line).toBeGreaterThan(1)
  })
})
