import type { Decimal } from 'decimal.js'
import type { InputTable } from '../../src/plan/inputs.js'
import { type Cell, Ledger } from '../../src/plan/ledger.js'
import type { Arithmetic, Num, NumberInput } from '../../src/quantity/arithmetic.js'
import { exact } from '../../src/quantity/exact.js'
import { recorded } from '../../src/quantity/recorded.js'
import type { RecordedSheet } from '../../src/workbook/index.js'

const row = (
  id: string,
  label: string,
  unit: string,
  likely: Decimal.Value,
  low = likely,
  high = likely,
): NumberInput => ({
  id,
  label,
  unit,
  low: exact.of(low),
  likely: exact.of(likely),
  high: exact.of(high),
  source: 'made up for this test',
  confirmed: 'stated',
})

const LINES = 260

/** Inputs of a made-up plan that uses every operation, ids and labels awkward on purpose. */
export function smallInputs(changes: Readonly<Record<string, Decimal.Value>> = {}): InputTable {
  const rows = [
    row('origin.carry-m', 'Carry at the old home', 'm', 75, 10, 120),
    row('origin.carry-free', 'Carry that is free', 'm', 25),
    row('price.hour', 'Hour of one mover', 'EUR/h', '41.35', '36', '52.5'),
    row('price.m3', '=2+3 "Sea freight" <per> m³ & more', 'EUR/m3', '187.4', '150', '260'),
    row('exchange.NOK', 'NOK in EUR', 'EUR/NOK', '0.08437', '0.08', '0.09'),
    row('rate', 'Rate of premium', '1', '0.0275'),
    row('air.m3-per-kg', 'Space of a kilogram', 'm3/kg', '0.006'),
    row('tax1', 'A name like an address', '1', '0.1'),
    row('TAX1_', 'The same name but for a mark', '1', '0.2'),
    row('r', 'A name like a row', '1', '0.3'),
    row('vat', 'Value added tax', '1', '0.19'),
    row('tie', 'Makes half a cent', 'EUR', '0.125'),
    ...Array.from({ length: LINES }, (_, i) => [
      row(`line.K-${i}.quantity`, i === 3 ? '@SUM(1)' : `Thing ${i}: how many`, '1', (i % 5) + 1),
      row(`line.K-${i}.volume`, i === 4 ? '-cmd' : `Thing ${i}: volume`, 'm3', exact.of(i * 7 + 3).div(1000)),
    ]).flat(),
  ]
  return {
    numbers: new Map(
      rows.map((r) => {
        const value = changes[r.id]
        return [r.id, value === undefined ? r : { ...r, likely: exact.of(value) }]
      }),
    ),
    choices: new Map([
      ['cover', { id: 'cover', label: 'Cover', kind: 'option', value: 'none', allowed: ['none'] }],
    ]),
  }
}

/** A made-up plan that uses every operation of the arithmetic, its edges first. */
export function smallPlan<N extends Num<N>>(
  m: Arithmetic<N>,
  inputs: InputTable,
): ReadonlyMap<string, Cell<N>> {
  const p = new Ledger(m, inputs, 'EUR', 2)
  const zero = m.of(0)
  const lines = Array.from({ length: LINES }, (_, i) =>
    p.put(
      `volume.K-${i}.net`,
      `Thing ${i}: net`,
      'm3',
      p.input(`line.K-${i}.quantity`).times(p.input(`line.K-${i}.volume`)),
    ),
  )
  const net = p.put('volume.net', 'Net volume', 'm3', m.sum(lines))
  p.put('volume.even', 'Every second line', 'm3', m.sum(lines.filter((_, i) => i % 2 === 0)))
  const chain = lines.reduce((total, line) => total.plus(line.div(m.of(7))), zero)
  p.put('volume.chain', 'A long chain', 'm3', chain)
  p.put(
    'volume.deep',
    'A deep nest',
    'm3',
    lines.reduce((a, line) => m.max(line.minus(a.times(m.of('0.5'))), m.min(a, line)), zero),
  )
  const hours = p.put('cost.hours', 'Hours', 'h', net.div(m.of(3)).plus(m.of('0.125')))
  const steps = p.put(
    'cost.steps',
    'Steps of carry',
    '1',
    m.ceil(m.max(zero, p.input('origin.carry-m').minus(p.input('origin.carry-free'))).div(m.of(50))),
  )
  const factor = m.of(1).plus(steps.times(m.of('0.1')))
  const packing = p.putStatementLine(
    'cost.packing',
    'Packing',
    hours.times(p.input('price.hour')).times(factor),
  )
  const carrying = p.putStatementLine(
    'cost.carrying',
    'Carrying',
    hours.times(factor).div(m.of(3)).times(p.input('price.hour')),
  )
  const freight = p.putStatementLine(
    'cost.freight',
    'Freight',
    m.max(m.of(250), m.min(m.of(9000), net.times(p.input('price.m3')))),
  )
  const tied = p.putStatementLine('cost.tie', 'Half a cent', p.input('tie'))
  p.putStatementLine('cost.tie-up', 'Half a cent the other way', p.input('tie').plus(m.of('0.01')))
  p.putStatementLine('cost.tie-below', 'Half a cent below zero', zero.minus(p.input('tie')))
  p.put('cost.total', 'All', 'EUR', m.sum([packing, carrying, freight, tied]))
  p.put(
    'duty.half-up',
    'Tax rounded half up',
    'EUR',
    m.round(p.input('tie').times(p.input('vat')).times(m.of(100)), 2, 'half-up'),
  )
  p.put(
    'duty.half-up-below',
    'Tax rounded half up, refund',
    'EUR',
    m.round(zero.minus(p.input('tie')), 2, 'half-up'),
  )
  p.put('duty.down', 'Tax rounded down', 'EUR', m.round(freight.times(p.input('vat')), 0, 'down'))
  p.put(
    'duty.down-below',
    'Tax rounded down, refund',
    'EUR',
    m.round(zero.minus(freight.times(p.input('vat'))), 0, 'down'),
  )
  p.put('duty.total', 'All tax', 'EUR', m.round(freight.times(p.input('vat')), 0))
  p.put(
    'cover.small',
    'Premium by threshold',
    'EUR',
    m.choose(p.input('tax1').plus(p.input('TAX1_')), p.input('r'), m.of(1), m.of(2)),
  )
  p.put(
    'cover.premium',
    'Premium',
    'EUR',
    m.choose(zero, packing, zero, m.max(packing.times(p.input('rate')), m.of(100))),
  )
  p.put('cover.krone', 'In another currency', 'NOK', packing.div(p.input('exchange.NOK')))
  p.put(
    'cover.guarded',
    'Nothing to divide by',
    'EUR',
    m.choose(
      zero,
      p.input('tie').minus(p.input('tie')),
      m.of(7),
      m.of(1).div(p.input('tie').minus(p.input('tie'))),
    ),
  )
  p.put('time.air', 'Chargeable weight', 'kg', m.ceil(m.of('0.09').div(p.input('air.m3-per-kg'))))
  p.put(
    'time.below',
    'A step up from below zero',
    '1',
    m.ceil(m.of('-2.5').times(p.input('vat').plus(m.of(1)))),
  )
  p.put('time.third', 'A constant with many digits', '1', p.input('vat').times(m.of(exact.of(1).div(3))))
  p.put(
    'other.negative',
    'Constants below zero',
    '1',
    m
      .of(-4)
      .minus(m.of(-3))
      .times(m.of('-1e-12'))
      .plus(p.input('vat').minus(p.input('tie').minus(m.of(2)))),
  )
  p.put(
    'other.quotients',
    'Quotients in quotients',
    '1',
    p
      .input('vat')
      .div(p.input('tie').div(p.input('rate').times(m.of(3))))
      .times(p.input('r').div(m.of(7))),
  )
  p.put('other.copy', 'The same as another', 'EUR', freight)
  return p.cells
}

export const smallSheet = (changes: Readonly<Record<string, Decimal.Value>> = {}): RecordedSheet => ({
  cells: smallPlan(recorded, smallInputs(changes)),
  choices: new Map([['cover', '=none']]),
  warnings: [{ step: 'cost', severity: 'care', text: '+1 and <so on>' }],
})
