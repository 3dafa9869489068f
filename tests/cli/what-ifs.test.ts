import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parquetReadObjects } from 'hyparquet'
import { afterEach, beforeEach, describe, expect, it, test } from 'vitest'
import { run } from '../command.js'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'quaybook-what-ifs-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

// Under one cover the scenarios of this household are close enough to change places.
const sameCover = 'cover=all-risks'
const close = 'data/households/valparaiso-gdynia'

const demo = 'data/households/leeuwarden-nanaimo'
const stated = ['Do it ourselves', 'Share the work', 'Movers do it all']

/** Totals of the household's own scenarios by `compare`, which reckons in decimals and may add the recommended plan. */
async function totals(...set: string[]): Promise<number[]> {
  return totalsOf(demo, ...set)
}

async function totalsOf(household: string, ...set: string[]): Promise<number[]> {
  const changes = set.flatMap((s) => ['--set', s])
  const { out } = await run('compare', household, '--json', '--cells', 'cost.total', ...changes)
  const { scenarios, rows } = JSON.parse(out)
  return stated.map((name) =>
    Number(rows[0].values[scenarios.findIndex((s: { name: string }) => s.name === name)]),
  )
}

describe('quaybook sweep', () => {
  const wage = 'cost.origin.wage=5000..30000/6'

  it('prints rows that are those of compare with the input set', async () => {
    const { code, out } = await run('sweep', '--over', wage)
    expect(code).toBe(0)
    const [head, ...rows] = out.trimEnd().split('\n')
    expect(head).toBe(
      'cost.origin.wage,Do it ourselves: cost.total,Share the work: cost.total,Movers do it all: cost.total',
    )
    expect(rows).toHaveLength(6)
    expect(rows[2]?.split(',').map(Number)).toEqual([15000, ...(await totals('cost.origin.wage=15000'))])
  })

  it('solves where scenarios change places: compare agrees on both sides', async () => {
    const { err } = await run(
      'sweep',
      close,
      '--over',
      'door.small-trucks.price=18..45/10',
      '--set',
      sameCover,
    )
    const [, value = '', lower = '', higher = ''] =
      /door\.small-trucks\.price = ([\d.,]+)\sUSD\/m³ “(.+?)” has the lower cost\.total, from there on “(.+?)”/.exec(
        err,
      ) ?? []
    expect([lower, higher]).toEqual(['Do it ourselves', 'Share the work'])
    const at = Number(value.replaceAll(',', ''))
    const before = await totalsOf(close, sameCover, `door.small-trucks.price=${at - 0.01}`)
    const after = await totalsOf(close, sameCover, `door.small-trucks.price=${at + 0.01}`)
    expect(before[0]).toBeLessThan(before[1] ?? 0)
    expect(after[0]).toBeGreaterThan(after[1] ?? 0)
  })

  it('cut into parts concatenates to the whole byte for byte, in a file and on standard output', async () => {
    const grid = ['--over', wage, '--over', 'volume.carton-fill=0.75..0.95/7', '--cell', 'cost.total']
    const whole = (await run('sweep', ...grid)).out
    const parts = []
    for (const part of ['1/4', '2/4', '3/4', '4/4'])
      parts.push((await run('sweep', ...grid, '--part', part)).out)
    expect(parts.join('')).toBe(whole)
    const file = join(folder, 'grid.csv')
    expect((await run('sweep', ...grid, '--out', file)).code).toBe(0)
    expect(readFileSync(file, 'utf8')).toBe(whole)
    expect(readdirSync(folder)).toEqual(['grid.csv'])
  })

  it('writes Parquet that another reader reads, with the same figures', async () => {
    const file = join(folder, 'wages.parquet')
    expect((await run('sweep', '--over', wage, '--cell', 'cost.origin.total', '--out', file)).code).toBe(0)
    const bytes = readFileSync(file)
    const rows = await parquetReadObjects({ file: new Uint8Array(bytes).buffer })
    const csv = (await run('sweep', '--over', wage, '--cell', 'cost.origin.total')).out.trimEnd().split('\n')
    expect(rows.map((row) => Object.values(row).join(','))).toEqual(csv.slice(1))
  })

  it('varies an input that every scenario states only when told to', async () => {
    const refused = await run('sweep', '--over', 'delay.days=0..14/8')
    expect(refused.code).toBe(2)
    expect(refused.err).toContain('--everywhere')
    const { out } = await run('sweep', '--over', 'delay.days=0..14/8', '--everywhere')
    expect(out.trimEnd().split('\n').at(-1)?.split(',').slice(1).map(Number)).toEqual(
      await totals('delay.days=14'),
    )
  })

  test.each([
    [[], 'which input?'],
    [['--over', 'cost.origin.wage'], 'write id=from..to/steps'],
    [['--over', 'cost.orign.wage=1..2/3'], 'Nearest: cost.origin.wage'],
    [['--over', 'cost.origin.wage=2..1/3'], 'lower value first'],
    [['--over', 'cost.origin.wage=1..2/1'], '2 or more'],
    [['--over', 'cost.origin.wage=-4..2/3'], '0 or more'],
    [['--over', 'transport=1..2/3'], 'choice of words'],
    [['--over', wage, '--over', wage], 'given twice'],
    [['--over', wage, '--part', '5/4'], 'i from 1 to n'],
    [['--over', wage, '--cell', 'cost.totl'], 'nearest: cost.total'],
    [['--over', wage, '--out', 'sweep.xls'], '.csv or .parquet'],
  ])('%s is refused with what to type instead', async (words, says) => {
    const { code, err, out } = await run('sweep', ...words)
    expect([code, out]).toEqual([2, ''])
    expect(err).toContain(says)
  })
})

describe('quaybook tornado', () => {
  it('sorts inputs by effect, each as compare has it with the input at its ends', async () => {
    const { inputs } = JSON.parse((await run('tornado', '--json', '--scenario', 'Share the work')).out)
    const effects: number[] = inputs.map((bar: { effect: number }) => bar.effect)
    expect(effects).toEqual(effects.toSorted((a, b) => b - a))
    // An input of the volume might change the container that compare chooses; a tornado keeps the one planned.
    const first = inputs.find(({ id }: { id: string }) => id.startsWith('price.'))
    expect(first.atLow).toBe((await totals(`${first.id}=${first.low}`))[1])
    expect(first.atHigh).toBe((await totals(`${first.id}=${first.high}`))[1])
  })

  it('tells the inputs that can change the order of the scenarios, and at what value', async () => {
    const { out } = await run('tornado', close, '--set', sameCover)
    expect(out).toContain('in “Do it ourselves”')
    const [, value] = /door\.small-trucks\.price at ([\d.]+)/.exec(out) ?? []
    const ownFirst = async (x: number) => {
      const [own = 0, shared = 0] = await totalsOf(close, sameCover, `door.small-trucks.price=${x}`)
      return own < shared
    }
    expect([await ownFirst(Number(value) - 0.01), await ownFirst(Number(value) + 0.01)]).toEqual([
      true,
      false,
    ])
  })

  test.each([
    [['--cell', 'cost.totl'], 'nearest: cost.total'],
    [['--scenario', 'No such'], 'there are:'],
  ])('%s is refused with what to type instead', async (words, says) => {
    const { code, err } = await run('tornado', ...words)
    expect(code).toBe(2)
    expect(err).toContain(says)
  })
})

describe('quaybook simulate', () => {
  it('gives the same figures for the same start, others for another', async () => {
    const one = await run('simulate', '--draws', '2000', '--json')
    const again = await run('simulate', '--draws', '2000', '--json', '--start', '1')
    const other = await run('simulate', '--draws', '2000', '--json', '--start', '2')
    expect(again.out).toBe(one.out)
    expect(other.out).not.toBe(one.out)
  })

  it('with every range fixed bills what compare says, the delay apart', async () => {
    // With a spread of nothing only the days of delay are drawn, whole days from 1; what is booked stays booked.
    const { scenarios } = JSON.parse(
      (await run('simulate', '--draws', '2000', '--spread', 'fixed', '--json')).out,
    )
    const { out } = await run('compare', demo, '--json')
    const booked = JSON.parse(out).scenarios.map(
      (one: { choices: { transport: string } }) => one.choices.transport,
    )
    expect(new Set(booked).size).toBe(1)
    const least = await totals('delay.days=1', `transport=${booked[0]}`)
    expect(scenarios.map((s: { billed: { least: number } }) => s.billed.least)).toEqual(least)
  })

  it('prints percentiles, budget, duels, convergence, the cover decision and the caution', async () => {
    const { code, out } = await run('simulate', '--draws', '2000', '--budget', '18000')
    expect(code).toBe(0)
    for (const words of ['P10', 'P90', '±', 'worst 5 %', 'chance over 18,000', 'than Share the work']) {
      expect(out).toContain(words)
    }
    expect(out.match(/Which cover, for/g)).toHaveLength(3)
    expect(out).toContain('Ask a licensed broker')
    const one = await run('simulate', '--draws', '2000', '--scenario', 'Share the work')
    expect(one.out.match(/Which cover, for/g)).toHaveLength(1)
  })

  it('recommends what the household can bear: nothing where it can bear everything', async () => {
    const bearsAll = ['--set', 'loss.tolerance=1000000', '--set', 'loss.ruin=1000000']
    const rich = await run('simulate', '--draws', '2000', ...bearsAll, '--json')
    const poor = await run('simulate', '--draws', '2000', '--set', 'loss.tolerance=300', '--json')
    const advised = (text: string) =>
      JSON.parse(text).scenarios.map((s: { advice: { cover: string } }) => s.advice.cover)
    expect(advised(rich.out)).toEqual(['none', 'none', 'none'])
    expect(advised(poor.out)).toEqual(['all-risks', 'all-risks', 'all-risks'])
  })

  it('keeps every draw as Parquet', async () => {
    const file = join(folder, 'draws.parquet')
    expect((await run('simulate', '--draws', '2000', '--out', file)).code).toBe(0)
    const rows = await parquetReadObjects({ file: new Uint8Array(readFileSync(file)).buffer })
    expect(rows).toHaveLength(2000)
    expect(Object.keys(rows[0] ?? {})).toContain('Share the work: cost.total')
  })

  test.each([
    [['--draws', '1e3'], 'whole number'],
    [['--draws', '5'], '1000 or more'],
    [['--draws', '2000000000'], 'do not fit'],
    [['--budget', '18,000'], 'without separators'],
    [['--start', '-1'], 'whole number'],
    [['--spread', 'normal'], 'pert'],
    [['--out', 'draws.csv'], '.parquet'],
    [['--scenario', 'No such'], 'there are:'],
  ])('%s is refused with what to type instead', async (words, says) => {
    const { code, err, out } = await run('simulate', ...words)
    expect([code, out]).toEqual([2, ''])
    expect(err).toContain(says)
    expect(existsSync('draws.csv')).toBe(false)
  })
})
