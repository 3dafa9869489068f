import { breakEvenChance, breakEvenDamage } from '../../src/insurance/break-even.js'
import {
  actualCashValue,
  claimPaid,
  constructiveTotalLossPaid,
  type DeductibleOrder,
  damagedGoodsPaid,
  franchisePaid,
  insuredShare,
  partLostPaid,
} from '../../src/insurance/claim.js'
import { indifferentSum } from '../../src/insurance/expected-loss.js'
import { premium, sumInsuredCif } from '../../src/insurance/premium.js'
import { type Case, published } from './cases.js'

// loss, sum insured, value at risk, deductible, order, paid, source, traps
const claims: readonly Case[] = (
  [
    [
      '10000',
      '30000',
      '50000',
      '0',
      'after average',
      '6000.00',
      'Marine Insurance Act 1906 ss 67(2), 81',
      { '10000.00': 'average left out' },
    ],
    [
      '10000',
      '30000',
      '50000',
      '500',
      'after average',
      '5500.00',
      'a mover’s published order: average first',
      { '5700.00': 'deductible first', '9500.00': 'average left out' },
    ],
    [
      '10000',
      '30000',
      '50000',
      '500',
      'before average',
      '5700.00',
      'forms that deduct first, by hand',
      { '5500.00': 'average first' },
    ],
    [
      '1000',
      '25000',
      '50000',
      '250',
      'after average',
      '250.00',
      'a consolidator’s published example, half insured',
      { '375.00': 'deductible first' },
    ],
    [
      '10000',
      '70000',
      '50000',
      '0',
      'after average',
      '10000.00',
      'Marine Insurance Act 1906 s. 67: over-insured, unvalued',
      { '14000.00': 'ratio not capped at one' },
    ],
    [
      '50000',
      '30000',
      '50000',
      '0',
      'after average',
      '30000.00',
      'Marine Insurance Act 1906 s. 68: total loss, never over the sum',
      {},
    ],
    [
      '30000',
      '50000',
      '150000',
      '0',
      'after average',
      '10000.00',
      'a cargo agency’s published co-insurance example',
      {},
    ],
    [
      '750000',
      '1300000',
      '1500000',
      '0',
      'after average',
      '650000.00',
      'a published fire-policy example of average',
      {},
    ],
    [
      '3000000',
      '5000000',
      '10000000',
      '0',
      'after average',
      '1500000.00',
      'a published encyclopaedia example of average',
      {},
    ],
    [
      '400',
      '50000',
      '50000',
      '500',
      'after average',
      '0.00',
      'by hand: below the deductible',
      { '-100.00': 'the insured pays the insurer' },
    ],
    ['500', '50000', '50000', '500', 'after average', '0.00', 'by hand: just the deductible', {}],
    [
      '600',
      '50000',
      '50000',
      '500',
      'after average',
      '100.00',
      'by hand',
      { '600.00': 'a deductible taken for a franchise' },
    ],
  ] as const
).map(([loss, sumInsured, valueAtRisk, deductible, order, gives, source, never]) => ({
  title: `paid for ${loss} lost, ${sumInsured} of ${valueAtRisk} insured, ${deductible} off ${order}`,
  gives,
  source,
  by: (m, of) =>
    claimPaid(
      m,
      { loss: of(loss), sumInsured: of(sumInsured), valueAtRisk: of(valueAtRisk) },
      of(deductible),
      order satisfies DeductibleOrder,
    ),
  never,
}))
published('average and deductible', claims)

published('other measures of a claim', [
  {
    title: 'share answered for, 30 000 of 50 000 insured',
    gives: '0.6',
    source: 'Marine Insurance Act 1906 s. 81',
    by: (m, of) => insuredShare(m, of(30000), of(50000)),
  },
  {
    title: 'share answered for, 80 000 of 100 000 insured',
    gives: '0.8',
    source: 'Swiss Insurance Contract Act art. 69(2) (from memory): the same ratio on land',
    by: (m, of) => insuredShare(m, of(80000), of(100_000)),
  },
  {
    title: 'franchise of 500, loss 400',
    gives: '0',
    source: 'Marine Insurance Act 1906 s. 76 (from memory)',
    by: (m, of) => franchisePaid(m, of(400), of(500)),
  },
  {
    title: 'franchise of 500, loss 500',
    gives: '0',
    source: 'equality as the policy says; none paid here',
    by: (m, of) => franchisePaid(m, of(500), of(500)),
  },
  {
    title: 'franchise of 500, loss 600',
    gives: '600',
    source: 'a published insurance page: the whole of a greater loss',
    by: (m, of) => franchisePaid(m, of(600), of(500)),
    never: { 100: 'a franchise taken for a deductible' },
  },
  {
    title: 'agreed 40 000, sound 50 000, damaged 35 000',
    gives: '12000',
    source: 'Marine Insurance Act 1906 s. 71(3)',
    by: (_, of) => damagedGoodsPaid(of(40000), of(50000), of(35000)),
    never: { 15000: 'the fall in price itself', 5000: 'agreed less damaged value' },
  },
  {
    title: 'the same in a fallen market, sound 30 000, damaged 21 000',
    gives: '12000',
    source: 'Marine Insurance Act 1906 s. 71(3): both at destination',
    by: (_, of) => damagedGoodsPaid(of(40000), of(30000), of(21000)),
    never: { 19000: 'agreed less damaged value' },
  },
  {
    title: 'part worth 9 000 of 60 000 lost, agreed 48 000',
    gives: '7200',
    source: 'Marine Insurance Act 1906 s. 71(1)',
    by: (_, of) => partLostPaid(of(48000), of(9000), of(60000)),
    never: { 9000: 'the part’s own value' },
  },
  {
    title: 'repair 5 500 and forwarding 3 100, worth 8 000 on arrival, agreed 10 000',
    gives: '10000',
    source: 'Marine Insurance Act 1906 s. 60(2)(iii): constructive total loss',
    by: (m, of) =>
      constructiveTotalLossPaid(m, {
        repair: of(5500),
        forwarding: of(3100),
        valueOnArrival: of(8000),
        agreedValue: of(10000),
      }),
    never: { 8600: 'repaired at more than the worth', 8000: 'worth on arrival, not the agreed value' },
  },
  {
    title: 'repair 4 800 instead: not total',
    gives: '7900',
    source: 'Marine Insurance Act 1906 s. 60(2)(iii)',
    by: (m, of) =>
      constructiveTotalLossPaid(m, {
        repair: of(4800),
        forwarding: of(3100),
        valueOnArrival: of(8000),
        agreedValue: of(10000),
      }),
    never: { 10000: 'total though repair is cheaper' },
  },
  {
    title: 'repair that costs just the worth on arrival: not total',
    gives: '8000',
    source: 'Marine Insurance Act 1906 s. 60(2)(iii): must exceed',
    by: (m, of) =>
      constructiveTotalLossPaid(m, {
        repair: of(4900),
        forwarding: of(3100),
        valueOnArrival: of(8000),
        agreedValue: of(10000),
      }),
  },
  {
    title: 'repair 9 000 of goods worth 10 000 on arrival and agreed at 8 000',
    gives: '8000',
    source: 'Marine Insurance Act 1906 s. 67(1): never over the agreed value',
    by: (m, of) =>
      constructiveTotalLossPaid(m, {
        repair: of(9000),
        forwarding: of(0),
        valueOnArrival: of(10000),
        agreedValue: of(8000),
      }),
    never: { 9000: 'more than was agreed' },
  },
  {
    title: 'new 1 200, 4 of 10 years old',
    gives: '720',
    source: 'by hand: straight line',
    by: (m, of) => actualCashValue(m, of(1200), of(4), of(10)),
  },
  {
    title: 'new 1 200, 12 of 10 years old',
    gives: '0',
    source: 'by hand: not under zero',
    by: (m, of) => actualCashValue(m, of(1200), of(12), of(10)),
  },
])

const rate = 'a mover’s published rate card: 4.0 % without, 3.5 % with 250 deductible'
published('premiums and break-even', [
  {
    title: 'premium on 40 000 at 4 %',
    gives: '1600.00',
    source: rate,
    by: (m, of) => premium(m, of(40000), of('0.04'), of(0)),
  },
  {
    title: 'premium on 40 000 at 3.5 %',
    gives: '1400.00',
    source: rate,
    by: (m, of) => premium(m, of(40000), of('0.035'), of(0)),
  },
  {
    title: 'premium on 1 000 at 3.5 %, least 100',
    gives: '100.00',
    source: 'by hand',
    by: (m, of) => premium(m, of(1000), of('0.035'), of(100)),
  },
  {
    title: 'premium on nothing, least 100',
    gives: '0.00',
    source: 'by hand: nothing insured costs nothing',
    by: (m, of) => premium(m, of(0), of('0.035'), of(100)),
    never: { '100.00': 'a least premium without any cover' },
  },
  {
    title: 'chance of a claim from which 1 600 beats 1 400 with 250 deductible',
    gives: '0.80',
    source: rate,
    by: (_, of) => breakEvenChance(of(1600), of(1400), of(250)),
  },
  {
    title: 'sum at which the two are alike when one claim in five is expected',
    gives: '10000',
    source: `${rate}, by hand: 0.2 × 250 ÷ 0.005`,
    by: (_, of) => indifferentSum(of('0.2'), of(250), of('0.04'), of('0.035')),
  },
  {
    title: 'damage from which all risks at 4.5 % beats narrow named perils at 1.25 % on 60 000',
    gives: '1950',
    source: 'by hand: 2 700 − 750; rates common practice, no source',
    by: (m, of) =>
      breakEvenDamage(
        m,
        { premium: premium(m, of(60000), of('0.045'), of(0)), deductible: of(0), forcedServices: of(0) },
        { premium: premium(m, of(60000), of('0.0125'), of(0)), deductible: of(0), forcedServices: of(0) },
      ),
  },
  {
    title: 'chance at which that pays with a mean loss of 3 900',
    gives: '0.50',
    source: 'by hand: 1 950 ÷ 3 900',
    by: (_, of) => breakEvenChance(of(2700), of(750), of(3900)),
  },
  {
    title: 'the same damage with 1 200 of packing forced and 250 deductible',
    gives: '3400',
    source: 'by hand: 1 950 + 1 200 + 250',
    by: (m, of) =>
      breakEvenDamage(
        m,
        { premium: of(2700), deductible: of(250), forcedServices: of(1200) },
        { premium: of(750), deductible: of(0), forcedServices: of(0) },
      ),
    never: { 1950: 'the services that the cover forces left out' },
  },
  {
    title: 'damage where the cheaper cover forces 300 of services too',
    gives: '2850',
    source: 'by hand: 1 950 + 1 200 − 300',
    by: (m, of) =>
      breakEvenDamage(
        m,
        { premium: of(2700), deductible: of(0), forcedServices: of(1200) },
        { premium: of(750), deductible: of(0), forcedServices: of(300) },
      ),
  },
  {
    title: 'sum insured for 40 000 of goods and 6 000 of freight, 10 % up, rate 3 %',
    gives: '52326.78',
    source: 'ICC UCP 600 art. 28(f)(ii) practice, by hand: 1.1 × 46 000 ÷ 0.967',
    by: (_m, of) => sumInsuredCif(_m, of(40000), of(6000), of('1.1'), of('0.03')),
    never: { '50600.00': 'premium left out of the sum', '52118.00': 'premium added once, not solved for' },
  },
  {
    title: 'its premium',
    gives: '1569.80',
    source: 'by hand: 3 % of it',
    by: (m, of) =>
      premium(m, sumInsuredCif(m, of(40000), of(6000), of('1.1'), of('0.03')), of('0.03'), of(0)),
    never: { '1518.00': '3 % of 50 600' },
  },
  {
    title: 'premium on 26 750 of goods and 6 000 of freight, 10 % up, rate 0.35 %',
    gives: '126.57',
    source: 'a published examination question worked by hand: 36 025 ÷ 0.99615 × 0.0035',
    by: (m, of) =>
      premium(m, sumInsuredCif(m, of(26750), of(6000), of('1.1'), of('0.0035')), of('0.0035'), of(0)),
    never: {
      '126.09': 'premium left out of the sum',
      '126.53': 'premium added once: the nearest of its answers',
    },
  },
  {
    title: 'premium on 110 % of 100 000 at 0.5 %, premium not insured',
    gives: '550.00',
    source: 'a published forwarder’s example',
    by: (m, of) => premium(m, of(100_000).times(of('1.1')), of('0.005'), of(0)),
  },
  {
    title: 'loss to be expected from boxes lost at sea on 60 000',
    gives: '0.31',
    source: 'liner council surveys: mean 1 274 of 250 million boxes a year',
    by: (_, of) => of(60000).times(of(1274).div(of(250_000_000))),
    never: { '6600.00': '11 % of claims taken for 11 % of boxes' },
  },
  {
    title: 'share of boxes lost in a low year, %',
    gives: '0.000264',
    source: 'liner council survey 2022: 661 of 250 million, printed 0.00026 %',
    by: (_, of) => of(661).div(of(250_000_000)).times(of(100)),
  },
])
