import { contributoryValue, madeGoodValue } from '../../src/insurance/declared-value.js'
import {
  averageSecurity,
  contributionPaid,
  generalAverageBalance,
} from '../../src/insurance/general-average.js'
import type { Arithmetic, Num } from '../../src/quantity/index.js'
import { type Case, figure, type Of, published } from './cases.js'

// What each interest saved and sacrificed, then the expenses.
type Voyage = readonly [readonly (readonly [saved: number, sacrificed: number])[], expenses: number]
const balance = <N extends Num<N>>(
  m: Arithmetic<N>,
  of: Of<N>,
  [interests, expenses]: Voyage,
): readonly N[] =>
  generalAverageBalance(
    m,
    interests.map(([saved, sacrificed]) => ({ saved: of(saved), sacrificed: of(sacrificed) })),
    of(expenses),
  )
function at<N>(xs: readonly N[], i: number): N {
  const x = xs[i]
  if (x === undefined) throw new RangeError(`no interest ${i}`)
  return x
}

const fourInterests: Voyage = [
  [
    [16_000_000, 0],
    [7_000_000, 0],
    [6_000_000, 0],
    [410_000, 0],
  ],
  610_000,
]
// A public solution adds up to the total and has every part wrong.
const shares: readonly Case[] = (
  [
    ['ship of 16.0 m', '331859.91', '331847.11'],
    ['cargo of 7.0 m', '145188.71', '145198.60'],
    ['cargo of 6.0 m', '124447.47', '124512.51'],
    ['freight of 0.41 m', '8503.91', '8441.78'],
  ] as const
).map(([who, gives, trap], i) => ({
  title: `share of a ${who} in 610 000`,
  gives,
  source: 'York-Antwerp Rules 2016 rule XVII, a public exercise worked by hand: 610 000 ÷ 29.41 m each',
  by: (m, of) => at(balance(m, of, fourInterests), i),
  never: { [trap]: 'a public solution, right in total only' },
}))

// Ship, other cargo, and goods of which 60 000 arrived and 40 000 were thrown over; tugs cost 960 000.
const jettison: Voyage = [
  [
    [20_000_000, 0],
    [29_900_000, 0],
    [60_000, 40_000],
  ],
  960_000,
]
// One box of three thrown over, worth 20 each; the ship is worth 100.
const grain: Voyage = [
  [
    [100, 0],
    [20, 0],
    [20, 0],
    [0, 20],
  ],
  0,
]
const rule = 'York-Antwerp Rules 2016 rule XVII(b), by hand: 2 % of 50 m'
const university = 'a university’s published example of a grain ship: 12.5 %'

published('general average', [
  ...shares,
  {
    title: 'the shares together',
    gives: '610000.00',
    source: 'by hand',
    by: (m, of) => m.sum(balance(m, of, fourInterests)),
  },
  {
    title: 'rate, %',
    gives: '2.074124',
    source: 'by hand: 610 000 ÷ 29.41 m',
    by: (m, of) => at(balance(m, of, fourInterests), 0).div(of(160_000)),
  },
  {
    title: 'ship, after a jettison',
    gives: '400000',
    source: rule,
    by: (m, of) => at(balance(m, of, jettison), 0),
  },
  { title: 'other cargo', gives: '598000', source: rule, by: (m, of) => at(balance(m, of, jettison), 1) },
  {
    title: 'goods of which 40 000 were thrown over: owed less made good',
    gives: '-38000',
    source: rule,
    by: (m, of) => at(balance(m, of, jettison), 2),
    never: {
      '-40000': 'the sacrificed goods do not contribute',
      '-38799': 'contributing on what arrived only',
      2000: 'the sacrifice not made good',
    },
  },
  {
    title: 'grain ship pays',
    gives: '12.5',
    source: university,
    by: (m, of) => at(balance(m, of, grain), 0),
  },
  {
    title: 'each saved box pays',
    gives: '2.5',
    source: university,
    by: (m, of) => at(balance(m, of, grain), 1),
  },
  {
    title: 'owner of the lost box gets',
    gives: '-17.5',
    source: `${university}: 17.5 of 20`,
    by: (m, of) => at(balance(m, of, grain), 3),
    never: { '-20.0': 'made whole while the others bear all' },
  },
  {
    title: 'security on 10 000 of goods after the fire of 2018',
    gives: '5400',
    source: 'two published pages: salvage 42.5 %, general average 11.5 %',
    by: (_, of) =>
      averageSecurity(
        of(10000),
        of(figure('general-average.fire-2018.salvage')).plus(
          of(figure('general-average.fire-2018.general-average')),
        ),
      ),
    never: { 1150: 'salvage left out' },
  },
  {
    title: 'security on 100 000',
    gives: '54000',
    source: 'the same pages',
    by: (_, of) => averageSecurity(of(100_000), of('0.54')),
  },
  {
    title: 'contribution at 2 % of goods worth 80 000 and declared at 50 000',
    gives: '1600',
    source: 'York-Antwerp Rules 2016 rule XIX: on the higher',
    by: (m, of) => contributoryValue(m, of(80000), of(50000)).times(of('0.02')),
    never: { 1000: 'on the declared value' },
  },
  {
    title: 'the same goods made good when sacrificed',
    gives: '50000',
    source: 'York-Antwerp Rules 2016 rule XIX: at the lower',
    by: (m, of) => madeGoodValue(m, of(80000), of(50000)),
    never: { 80000: 'at the true value' },
  },
  {
    title: 'repaid of 1 000, 40 000 of 50 000 insured',
    gives: '800',
    source: 'Marine Insurance Act 1906 s. 73 (from memory)',
    by: (m, of) => contributionPaid(m, of(1000), of(40000), of(50000)),
  },
  {
    title: 'repaid of 1 000, 60 000 of 50 000 insured',
    gives: '1000',
    source: 'Marine Insurance Act 1906 s. 73 (from memory)',
    by: (m, of) => contributionPaid(m, of(1000), of(60000), of(50000)),
    never: { 1200: 'more than was paid' },
  },
])
