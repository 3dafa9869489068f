import type { Decimal } from 'decimal.js'
import { describe, expect, it, test } from 'vitest'
import {
  type ChargeLine,
  chargeRules,
  customsOutcome,
  type DutyLine,
  type DutyMove,
  importCharges,
  lineSentence,
  restrictions,
  shipOrLeave,
  stops,
  vehicleCharges,
  vehicleDeadlines,
} from '../../src/customs/index.js'
import { exact } from '../../src/quantity/index.js'
import { assessOne, car, move, n, noCarriage, person, reliefCases, shippedRules, thing } from './rules.js'

const tables = shippedRules()
const carriage = noCarriage

const wed = {
  status: 'marriage',
  married_on: '2026-06-20',
  arrives_on: '2026-06-01',
  leaves_on: '2026-05-30',
} as const

describe('rows put right in November 2026', () => {
  reliefCases(tables, [
    [
      'US: clothing of an immigrant, bought a month ago: HTSUS 9804.00.20, 19 CFR 148.42 (looked up)',
      'US',
      {},
      { class: 'clothing', acquiredOn: '2026-02-01' },
      {},
      'qualifies',
    ],
    [
      'US: furniture of an immigrant, bought a month ago: still a year of use: 19 CFR 148.52 (looked up)',
      'US',
      {},
      { acquiredOn: '2026-02-01' },
      {},
      'refused',
    ],
    [
      'US: tools of an immigrant, no length of use: HTSUS 9804.00.15, 19 CFR 148.53(a) (looked up)',
      'US',
      {},
      { class: 'professional', acquiredOn: '2026-02-01', held: 'business' },
      {},
      'qualifies',
    ],
    [
      'US: effects taken abroad by a returning resident: HTSUS 9804.00.45 (looked up)',
      'US',
      { status: 'returning', abroad_since: '2025-08-01' },
      { acquiredOn: '2025-07-31' },
      {},
      'qualifies',
    ],
    [
      'US: bought abroad by a returning resident within the year: HTSUS 9804.00.05 (looked up)',
      'US',
      { status: 'returning', abroad_since: '2025-08-01' },
      { acquiredOn: '2025-08-02' },
      {},
      'refused',
    ],
    ['US: car of an immigrant for own use: HTSUS 9804.00.35 (looked up)', 'US', {}, car, {}, 'qualifies'],
    [
      'CA: household effects for a seasonal home: tariff item 9829.00.00, D2-2-3 (looked up)',
      'CA',
      { status: 'second-home' },
      {},
      {},
      'qualifies',
    ],
    [
      'CA: a second time in a life: D2-2-3 (looked up)',
      'CA',
      { status: 'second-home', relief_used_on: '1999-05-01' },
      {},
      {},
      'refused',
    ],
    [
      'CA: permit of exactly 36 months is not more than 36 (secondary)',
      'CA',
      { status: 'permit-worker', permit_months: 36 },
      {},
      {},
      'refused',
    ],
    [
      'CA: permit without end: the same',
      'CA',
      { status: 'permit-worker', permit_months: 'no end' },
      {},
      {},
      'qualifies',
    ],
    [
      'NZ: permit without end: concession reference 80 (looked up)',
      'NZ',
      { permit_months: 'no end' },
      {},
      {},
      'qualifies',
    ],
    [
      'NZ: clothing after three months abroad: reference 80(a) (looked up)',
      'NZ',
      { abroad_since: '2025-12-05' },
      { class: 'clothing' },
      {},
      'qualifies',
    ],
    [
      'UK: full-time student, no year abroad: SI 1992/3193 art. 16 (looked up)',
      'GB',
      { status: 'student', abroad_since: '2026-01-10' },
      {},
      {},
      'qualifies',
    ],
    [
      'UK: new trousseau three months after the wedding: arts 13-15 (secondary)',
      'GB',
      wed,
      { condition: 'new', acquiredOn: '2026-06-01' },
      { importOn: '2026-09-20' },
      'qualifies',
    ],
    [
      'UK: new trousseau four months and a day after: the same',
      'GB',
      wed,
      { condition: 'new', acquiredOn: '2026-06-01' },
      { importOn: '2026-10-21' },
      'refused',
    ],
    [
      'UK: inherited, two years to the day: art. 21 (looked up)',
      'GB',
      { status: 'inheritance', inherited_on: '2024-04-20' },
      { held: 'inherited' },
      {},
      'qualifies',
    ],
    [
      'UK: inherited, a day later, as the commissioners allow: art. 21 (looked up)',
      'GB',
      { status: 'inheritance', inherited_on: '2024-04-19' },
      { held: 'inherited' },
      {},
      'discretionary',
    ],
    [
      'EU: goods before the person, possessed six months on entry: Regulation (EC) 1186/2009 art. 9(2) (from memory)',
      'DE',
      { leaves_on: '2026-08-28', arrives_on: '2026-09-01' },
      { acquiredOn: '2025-10-20' },
      {},
      'qualifies',
    ],
    [
      'EU: the same, six months on leaving but not on entry',
      'DE',
      { leaves_on: '2026-08-28', arrives_on: '2026-09-01' },
      { acquiredOn: '2025-10-21' },
      {},
      'refused',
    ],
    [
      'EU: tools of the deceased: arts 17-20, German customs page (looked up)',
      'DE',
      { status: 'inheritance', inherited_on: '2025-06-01' },
      { class: 'professional', held: 'inherited' },
      {},
      'qualifies',
    ],
    [
      'CH: second home, six months of use: customs page (secondary)',
      'CH',
      { status: 'second-home' },
      { acquiredOn: '2025-10-20' },
      {},
      'qualifies',
    ],
    ['CH: second home, a car: customs page (secondary)', 'CH', { status: 'second-home' }, car, {}, 'unknown'],
    [
      'CH: bought for the wedding, within six months of it: ZV art. 15 (looked up)',
      'CH',
      wed,
      { condition: 'new', acquiredOn: '2026-06-01' },
      { importOn: '2026-12-20' },
      'qualifies',
    ],
    [
      'NO: inherited: customs page (secondary)',
      'NO',
      { status: 'inheritance', inherited_on: '2025-06-01' },
      { held: 'inherited' },
      {},
      'qualifies',
    ],
    [
      'AU: clothing bought a month ago: customs by-law (secondary)',
      'AU',
      {},
      { class: 'clothing', acquiredOn: '2026-02-01' },
      {},
      'qualifies',
    ],
    [
      'AU: a caravan under conditions not seen (secondary)',
      'AU',
      {},
      { kind: 'trailer', class: 'trailer' },
      {},
      'unknown',
    ],
    [
      'JP: abroad five months, a stay of two years planned: customs answer 7301 (looked up)',
      'JP',
      { status: 'permit-worker', permit_months: 24, abroad_since: '2025-10-01' },
      {},
      {},
      'qualifies',
    ],
    [
      'JP: abroad five months, a stay of exactly a year is not more: customs answer 7301 (looked up)',
      'JP',
      { status: 'permit-worker', permit_months: 12, abroad_since: '2025-10-01' },
      {},
      {},
      'refused',
    ],
    [
      'JP: abroad more than a year, permit of six months: customs answer 7301 (looked up)',
      'JP',
      { status: 'permit-worker', permit_months: 6 },
      {},
      {},
      'qualifies',
    ],
    [
      'BR: exactly a year abroad is not more than a year: IN RFB 1.059/2010 art. 35 (looked up)',
      'BR',
      { status: 'returning', abroad_since: '2025-03-05' },
      {},
      {},
      'refused',
    ],
    [
      'BR: a year and a day: the same',
      'BR',
      { status: 'returning', abroad_since: '2025-03-04' },
      {},
      {},
      'qualifies',
    ],
    [
      'PH: a settler ninety-one days after arriving: tax code s. 109 (secondary)',
      'PH',
      {},
      {},
      { importOn: '2026-06-04' },
      'refused',
    ],
    [
      'MX: a temporary resident: Ley Aduanera art. 106 (from memory)',
      'MX',
      { status: 'permit-worker' },
      {},
      {},
      'qualifies',
    ],
  ])

  it('of several grounds for relief the best is taken and named: a citizen who returns and marries', () => {
    const both = assessOne(
      tables,
      'GB',
      { ...wed, status: 'returning', also: ['marriage'] },
      { condition: 'new', acquiredOn: '2026-06-01' },
      { importOn: '2026-09-20' },
    )
    expect(both.verdict).toBe('qualifies')
    expect(lineSentence(both)).toContain('marriage: trousseau')
  })

  it('says more than, where the law does', () => {
    const one = assessOne(tables, 'BR', { status: 'returning', abroad_since: '2025-03-05' }, {})
    expect(lineSentence(one)).toContain('More than 12 months of living abroad are asked')
    expect(lineSentence(one)).toContain('1 day short; met on 2026-03-06')
  })
})

describe('surcharges and rates have their days', () => {
  const line = (change: Partial<ChargeLine<Decimal>>): ChargeLine<Decimal> => ({
    id: 'L',
    class: 'car',
    value: n(10_000),
    quantity: 1,
    free: { duty: false, excise: false, tax: false, fee: false },
    ...change,
  })
  const dutyOn = (day: string, change: Partial<ChargeLine<Decimal>>, country = 'US') => {
    const { rules } = chargeRules(exact, tables, country, day)
    if (!rules) throw new Error('no rules')
    return importCharges(exact, [line(change)], rules, carriage).duty.toFixed(2)
  }
  test.each([
    ['2025-04-02', '2020-05-01', '250.00', 'the day before Proclamation 10908 took effect'],
    ['2025-04-03', '2020-05-01', '2750.00', '2.5 % and 25 %: Proclamation 10908, 90 FR 14705 (looked up)'],
    [
      '2026-04-20',
      '2001-12-31',
      '250.00',
      'made 25 calendar years before: customs answers on autos (looked up)',
    ],
    ['2025-12-31', '2001-01-01', '2750.00', '24 calendar years, though a day short of 25: the same'],
  ])('a car of 10,000 imported into the US on %s, made %s: %s, %s', (day, madeOn, duty) => {
    expect(dutyOn(day, { madeOn })).toBe(duty)
  })

  test.each([
    ['2025-10-13', '0.00'],
    ['2025-10-14', '2500.00'],
    ['2027-01-01', '3000.00'],
  ])('an upholstered sofa of 10,000 on %s bears %s: section 232 on furniture (secondary)', (day, duty) => {
    expect(dutyOn(day, { class: 'furniture', text: 'three-seat sofa' })).toBe(duty)
  })

  it('a lapsed surcharge is gone the day after: section 122 up to 23 July 2026 (secondary)', () => {
    expect(dutyOn('2026-07-23', { class: 'toys' })).toBe('1000.00')
    expect(dutyOn('2026-07-24', { class: 'toys' })).toBe('0.00')
  })

  // HTSUS 9903.03.01: what bears section 232 on its full value bears no section 122 (secondary 2026-11-26).
  test.each([
    ['2026-02-23', { class: 'furniture', text: 'three-seat sofa' }, '2500.00'],
    ['2026-04-20', { class: 'furniture', text: 'three-seat sofa' }, '2500.00'],
    ['2026-04-20', { class: 'furniture', text: 'oak table' }, '1000.00'],
    ['2026-04-20', { class: 'books' }, '0.00'],
    ['2026-04-20', { madeOn: '2020-05-01' }, '2750.00'],
  ])('two measures do not fall on one thing: on %s, %o of 10,000 bears %s', (day, what, duty) => {
    expect(dutyOn(day, what)).toBe(duty)
  })

  it('Kenyan cars: 25 % to June 2023, 35 % from July: EAC Gazette of 30 June 2023 (secondary)', () => {
    expect(dutyOn('2023-06-30', {}, 'KE')).toBe('2500.00')
    expect(dutyOn('2023-07-01', {}, 'KE')).toBe('3500.00')
  })

  test.each([
    ['2500', '0.00', '2.69', 'at 2,500 the entry is informal: 19 CFR 143.21 (looked up)'],
    ['2500.01', '33.58', '0.00', 'above it is formal: 19 CFR 24.23(b)(1) (looked up)'],
  ])('US fees on %s: %s on a formal entry, %s on an informal one: %s', (value, formal, informal) => {
    const { rules } = chargeRules(exact, tables, 'US', '2026-04-20')
    if (!rules) throw new Error('no rules')
    const goods = line({ class: 'books', value: n(value) })
    const { fees } = importCharges(exact, [goods], rules, carriage)
    const of = (id: string) => fees.find((fee) => fee.id === id)?.amount.toFixed(2)
    expect([of('us.merchandise-processing'), of('us.informal-entry')]).toEqual([formal, informal])
  })

  it('PE: one tax of 12 % of value, freight and cover on what is relieved: government page (looked up)', () => {
    const there = move({ destination: 'PE', lines: [thing({ value: n(9000) })] })
    const { best } = customsOutcome(tables, there, { ...carriage, freight: n(900), insurance: n(100) })
    expect([best.charges?.duty, best.charges?.tax, best.charges?.fee].map(String)).toEqual(['0', '0', '1200'])
  })
})

describe('what nobody can tell', () => {
  const chile = move({ destination: 'CL', people: [person({ status: 'returning' })] })

  it('stands in no total, is listed with whom to ask, and may come to so much', () => {
    const { best } = customsOutcome(tables, chile, carriage)
    expect(best.charges?.total.toString()).toBe('0')
    // 1,000 at 6 % and 3 % for used goods, VAT of 19 %: 90 and 207.
    expect(best.charges?.ifRefused?.toString()).toBe('297')
    expect(best.undetermined).toEqual([
      expect.objectContaining({ what: 'relief', lines: ['L-1'], ask: 'Servicio Nacional de Aduanas' }),
    ])
  })

  it('gets no advice to ship, and what is known already may settle it', () => {
    const weighed = (like: number) =>
      shipOrLeave(
        tables,
        chile,
        carriage,
        () => n(500),
        () => n(like),
      )[0]?.advice
    expect(weighed(5000)).toBe('not determined')
    expect(weighed(1100)).toBe('leave')
  })

  it('alcohol without a rate of excise is not determined, and not advised', () => {
    const wine = thing({ id: 'W', class: 'alcohol', value: n(200) })
    const there = move({ destination: 'CA', lines: [wine] })
    const { best } = customsOutcome(tables, there, carriage)
    expect(best.undetermined.map(({ what }) => what)).toContain('duty, excise and import tax on alcohol')
    expect(
      shipOrLeave(
        tables,
        there,
        carriage,
        () => n(1),
        () => n(9999),
      )[0]?.advice,
    ).toBe('not determined')
  })

  it('an importer of whom less is known does not look cheap', () => {
    const known = person({ person: 'K', status: 'settler', abroad_since: '2026-01-01' })
    const open = person({ person: 'O', status: 'inheritance' })
    const there = move({ destination: 'GB', people: [open, known] })
    expect(customsOutcome(tables, there, carriage).best.importer).toBe('O')
    const { options } = customsOutcome(tables, there, carriage)
    expect(options.map(({ charges }) => charges?.ifRefused?.toFixed(2))).toEqual(['200.00', '200.00'])
  })
})

describe('stops', () => {
  it('are what the law prohibits: a car over eight years old in Kenya', () => {
    const there = move({
      destination: 'KE',
      lines: [thing({ ...car, id: 'V', label: 'Estate', madeOn: '2015-01-01', steering: 'right' })],
    })
    expect(stops(tables, there)).toMatchObject([
      { line: 'V', where: 'destination', certain: true, ask: 'Kenya Revenue Authority' },
    ])
    expect(
      shipOrLeave(
        tables,
        there,
        carriage,
        () => n(1),
        () => n(99_999),
      )[0]?.advice,
    ).toBe('stop')
  })

  it('one whose facts are missing is not certain', () => {
    const there = move({ destination: 'KE', lines: [thing({ ...car, id: 'V', steering: 'right' })] })
    expect(stops(tables, there)).toMatchObject([{ certain: false }])
  })

  it('ZA: a left-hand drive made in 1999 may be let in, one of 2000 is not (secondary)', () => {
    const made = (madeOn: string) =>
      restrictions(
        tables,
        move({ destination: 'ZA', lines: [thing({ ...car, madeOn, steering: 'left' })] }),
      ).flatMap(({ rule }) => (rule.steering === 'left' ? rule.kind : []))
    expect(made('1999-12-31')).toEqual(['restricted'])
    expect(made('2000-01-01')).toEqual(['prohibited'])
  })

  it('a sword needs no firearms form in the United States, and down is no species', () => {
    const there = move({
      destination: 'US',
      lines: [
        thing({ class: 'blade', label: 'sabre' }),
        thing({ id: 'D', class: 'bedding', materials: ['feather'] }),
      ],
    })
    const rules = restrictions(tables, there).map(({ rule }) => rule.id)
    expect(rules).not.toContain('us.weapon')
    expect(rules).not.toContain('any.animal-product')
    expect(rules).toContain('any.blade')
  })

  it('tells the day on which a car is old enough, or too old', () => {
    const young = move({
      destination: 'US',
      lines: [thing({ ...car, madeOn: '2002-02-10', steering: 'left' })],
    })
    expect(vehicleDeadlines(tables, young).map(({ on, change }) => [on, change])).toContainEqual([
      '2027-02-10',
      'no longer binds',
    ])
    const old = move({
      destination: 'KE',
      lines: [thing({ ...car, madeOn: '2019-01-15', steering: 'right' })],
    })
    expect(vehicleDeadlines(tables, old)).toMatchObject([{ on: '2027-01-16', change: 'starts to bind' }])
  })
})

describe('a vehicle after customs', () => {
  const weigh = (destination: string) => {
    const there = move({ destination, lines: [thing({ ...car, id: 'V', label: 'Estate', value: n(8000) })] })
    return vehicleCharges(tables, there, customsOutcome(tables, there, carriage))
  }
  it('registration tax is freed with relief where the law says so: PT', () => {
    const tax = weigh('PT').find(({ what }) => what === 'registration-tax')
    expect(tax?.amount?.toString()).toBe('0')
  })
  it('what is not known is open, with whom to ask: DK', () => {
    const tax = weigh('DK').find(({ what }) => what === 'registration-tax')
    expect(tax).toMatchObject({ amount: undefined, ask: 'the Danish motor agency' })
  })
  it('a fixed fee is a line: GB', () => {
    expect(
      weigh('GB')
        .find(({ id }) => id === 'gb.first-registration')
        ?.amount?.toString(),
    ).toBe('55')
  })
  it('a relieved car is weighed too: ship, or sell and buy there', () => {
    const there = move({ destination: 'DK', lines: [thing({ ...car, id: 'V', value: n(8000) })] })
    const [choice] = shipOrLeave(
      tables,
      there,
      carriage,
      () => n(3000),
      () => n(9000),
    )
    expect(choice).toMatchObject({ id: 'V', advice: 'leave' })
    const dear = shipOrLeave(
      tables,
      there,
      carriage,
      () => n(3000),
      () => n(30_000),
    )[0]
    expect(dear).toMatchObject({ advice: 'not determined' })
    expect(dear?.open.join()).toContain('the Danish motor agency')
  })
})

describe('consignments', () => {
  const second = { consignment: 'air', importOn: '2026-06-10' } as const

  it('a second one has its own window: six months from first arrival in Singapore', () => {
    const late = thing({ id: 'L-2', consignment: 'air', importOn: '2026-09-06' })
    const there = move({ destination: 'SG', lines: [thing(), late] })
    const { best } = customsOutcome(tables, there, carriage)
    expect(best.assessments.map(({ verdict }) => verdict)).toEqual(['qualifies', 'refused'])
    expect(best.charges?.total.toFixed(2)).toBe('90.00')
  })

  it('carries its own freight into its own customs value', () => {
    const lines = [thing({ condition: 'new' }), thing({ id: 'L-2', condition: 'new', ...second })]
    const there = move({ destination: 'NO', lines })
    const air = { ...carriage, freight: n(500) }
    const all = customsOutcome(tables, there, {
      ...carriage,
      freight: n(100),
      consignments: new Map([['air', air]]),
    }).best.charges
    expect(all?.perLine.map(({ customsValue }) => customsValue.toString())).toEqual(['1100', '1500'])
  })

  it('relief that is given once is used up once, by the earlier one', () => {
    const india = { destination: 'IN', people: [person({ status: 'returning' as const })] }
    const big = (more: Partial<DutyLine>) => thing({ value: n(600_000), ...more })
    const apart = move({ ...india, lines: [big({}), big({ id: 'L-2', ...second })] })
    const one = move({ ...india, lines: [big({}), big({ id: 'L-2' })] })
    const total = (there: DutyMove) => customsOutcome(tables, there, carriage).best.charges?.total.toFixed(2)
    // 750,000 free of 1,200,000: 450,000 at 38.5 %.
    expect([total(one), total(apart)]).toEqual(['173250.00', '173250.00'])
  })
})
